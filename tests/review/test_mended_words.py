"""Names that a machine misheard are mended, nothing else is, and captions cut anew keep every word at its time."""

from itertools import pairwise
from pathlib import Path

import pytest
from class_texts import expand
from taught import planned, shipped_steps

from guide.drawing.text_width import width
from guide.export.captions.base import LINE_CHARS
from guide.export.captions.taught import taught_captions
from guide.review.captions.transcript import Segment, Transcript, read
from guide.review.mended_words import mended
from guide.sequence.reader import read_text

TAUGHT = read(Path(__file__).parents[1] / "readme" / "taught.vtt")


def _said(before: str, after: str) -> Transcript:
    blocks = (Segment(one.start_ms, one.end_ms, one.text.replace(before, after)) for one in TAUGHT.blocks)
    return Transcript("taught.vtt", tuple(blocks))


@pytest.mark.parametrize(
    ("named", "misheard"),
    [("low lunge right side", "Low launch, write side"), ("easy seat", "easy sheet")],
)
def test_a_name_is_written_as_the_class_has_it_and_a_side_as_it_was_said(named: str, misheard: str) -> None:
    _, timeline = planned(shipped_steps("starter"))
    as_was, found = (mended(timeline, one) for one in (TAUGHT, _said(named, misheard)))
    meant = "Low lunge, right side" if "," in misheard else named
    assert [one.text for one in found.transcript.blocks] == [
        one.text.replace(named, meant) for one in as_was.transcript.blocks
    ]
    assert found.places == as_was.places + (2 if "," in misheard else 1)


def test_a_long_name_that_was_heard_as_several_words_is_one_again() -> None:
    said = "now with elbows close beside the ribs."
    text = (
        f"title: T\nlibrary cues: no\nclass:\n  - pose: chaturanga\n    hold: 2 breaths\n    say: Chaturanga {said}\n"
    )
    _, timeline = planned(expand(read_text(text, "t.yaml", Path())))
    found = mended(timeline, Transcript("t.vtt", (Segment(0, 5000, f"Chat to wrong a {said}"),)))
    assert [one.text for one in found.transcript.blocks] == [f"Chaturanga {said}"]
    assert found.places == 1


def test_sides_that_were_exchanged_stay_as_they_were_said() -> None:
    _, timeline = planned(shipped_steps("starter"))
    said = _said("lunge right side", "lunge left side")
    found = mended(timeline, said)
    assert any("low lunge left side" in one.text for one in found.transcript.blocks)
    assert found.places == mended(timeline, TAUGHT).places


def test_captions_cut_for_reading_hold_every_word_in_order() -> None:
    made = list(taught_captions(TAUGHT))
    assert " ".join(one.text for one in made).split() == " ".join(one.text for one in TAUGHT.blocks).split()
    assert all(len(one.lines) in (1, 2) and max(map(width, one.lines)) <= LINE_CHARS for one in made)
    assert all(one.start_ms < one.end_ms for one in made)
    assert all(one.end_ms <= after.start_ms for one, after in pairwise(made))


def test_a_caption_in_mid_sentence_goes_on_in_the_next_and_a_quiet_time_parts_them() -> None:
    blocks = (Segment(0, 2000, "Step your left"), Segment(2000, 4000, "foot back."), Segment(30_000, 31_000, "Rest"))
    made = [(one.start_ms, one.text) for one in taught_captions(Transcript("a.vtt", blocks))]
    assert made == [(0, "Step your left foot back."), (30_000, "Rest")]
