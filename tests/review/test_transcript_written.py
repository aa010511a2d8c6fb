"""What the program writes as captions it reads back as it was written; and what the taught classes of the tests are."""

from collections.abc import Callable, Iterator
from itertools import pairwise

import pytest
from taught import CLEAN, GARBLED, LEVELS, TAUGHT_CLASSES, Noise, exchanged, shipped_plan, taught, webvtt_of

from guide.export.captions.base import Caption, captions
from guide.export.captions.for_reading import reading_captions
from guide.export.captions.lrc import lrc
from guide.export.captions.srt import srt
from guide.export.captions.webvtt import exact_webvtt, webvtt
from guide.plan.timeline import CuePart, Timeline
from guide.review.captions.base import over_by
from guide.review.captions.transcript import folded, read_raw, words

#: LRC has hundredths.
LRC_OFF_MS = 5


@pytest.mark.parametrize("name", TAUGHT_CLASSES)
@pytest.mark.parametrize(
    ("written", "shown"), [(exact_webvtt, captions), (webvtt, reading_captions), (srt, reading_captions)]
)
def test_captions_are_read_as_they_were_written(
    name: str, written: Callable[[Timeline], str], shown: Callable[[Timeline], Iterator[Caption]]
) -> None:
    _, timeline = shipped_plan(name)
    transcript = read_raw(written(timeline).encode(), name)
    assert [(one.start_ms, one.end_ms, one.text) for one in transcript.blocks] == [
        (one.start_ms, one.end_ms, one.text) for one in shown(timeline)
    ]
    assert {cue.start_ms for cue in timeline.cues} <= {one.start_ms for one in transcript.blocks}
    assert [word.text for word in words(transcript)] == [word for cue in timeline.cues for word in folded(cue.words)]


@pytest.mark.parametrize("name", TAUGHT_CLASSES)
def test_exact_captions_are_the_cues_as_they_were_planned(name: str) -> None:
    _, timeline = shipped_plan(name)
    assert [(one.start_ms, one.end_ms, one.text) for one in captions(timeline)] == [
        (cue.start_ms, cue.end_ms, cue.words) for cue in timeline.cues
    ]


@pytest.mark.parametrize("name", TAUGHT_CLASSES)
def test_timed_lines_of_a_song_are_read_as_they_were_written(name: str) -> None:
    _, timeline = shipped_plan(name)
    transcript = read_raw(lrc(timeline).encode(), name)
    shown = list(reading_captions(timeline))
    assert [one.text for one in transcript.blocks] == [one.text for one in shown]
    for one, caption in zip(transcript.blocks, shown, strict=True):
        assert abs(one.start_ms - caption.start_ms) <= LRC_OFF_MS
        # A line stays until the next one; its words are over before, when nobody speaks so slowly.
        assert abs(one.end_ms - min(caption.end_ms, over_by(one.start_ms, one.text))) <= LRC_OFF_MS


@pytest.mark.parametrize("noise", LEVELS, ids=lambda noise: noise.name)
@pytest.mark.parametrize("name", TAUGHT_CLASSES)
def test_a_taught_class_is_in_order_and_its_captions_hold_what_was_said(name: str, noise: Noise) -> None:
    _, timeline = shipped_plan(name)
    for block_ms in (2_000, 5_000, 40_000):
        lesson = taught(timeline, noise, block_ms, seed=1)
        blocks = lesson.transcript.blocks
        assert [one.start_ms for one in blocks] == sorted({one.start_ms for one in blocks})
        assert all(one.end_ms <= after.start_ms for one, after in pairwise(lesson.said))
        assert " ".join(one.text for one in blocks).split() == [
            word for one in lesson.said for word in one.text.split()
        ]
        assert all(one.end_ms - one.start_ms <= block_ms or " " not in one.text for one in blocks)
        assert read_raw(webvtt_of(lesson.transcript).encode(), "class").blocks == blocks
        assert len(lesson.starts_ms) == len(timeline.spans)
        assert all(one < after for one, after in pairwise((*lesson.starts_ms, lesson.end_ms)))


def test_the_truth_is_the_same_whatever_the_captions_are_and_another_with_another_seed() -> None:
    _, timeline = shipped_plan("evening-lake")
    one, other = (taught(timeline, GARBLED, block_ms, seed=3) for block_ms in (2_000, 40_000))
    assert (one.starts_ms, one.said) == (other.starts_ms, other.said)
    assert taught(timeline, GARBLED, 2_000, seed=3) == one
    assert taught(timeline, GARBLED, 2_000, seed=4).starts_ms != one.starts_ms


def test_each_level_of_noise_is_further_from_the_plan() -> None:
    _, timeline = shipped_plan("lakeside-morning")
    plain = [" ".join(folded(cue.words)) for cue in timeline.cues]
    kept = []
    for noise in LEVELS:
        said = taught(timeline, noise, 5_000, seed=1).said
        as_written = [one for one in said if one.cue is not None and " ".join(folded(one.text)) == plain[one.cue]]
        kept.append(len(as_written) / len(plain))
    assert kept[0] == 1 and 0.2 < kept[1] < 0.7 and kept[2] < 0.15, kept


def test_a_cue_begins_when_its_step_lets_it_and_a_slip_exchanges_the_sides() -> None:
    _, timeline = shipped_plan("starter")
    number = next(number for number, cue in enumerate(timeline.cues) if "left" in cue.words)
    lesson = taught(timeline, CLEAN, 5_000, seed=1, slips={number})
    said = {one.cue: one for one in lesson.said}
    assert said[number].text == exchanged(timeline.cues[number].words) != timeline.cues[number].words
    for one, cue in ((said[number], cue) for number, cue in enumerate(timeline.cues)):
        after_ms = [*lesson.starts_ms, lesson.end_ms][cue.step + 1]
        # The words of a move may lead it, in the breath before.
        before_ms = lesson.starts_ms[cue.step - (cue.part is CuePart.MOVE and cue.step > 0)]
        assert before_ms <= one.start_ms < one.end_ms <= after_ms
