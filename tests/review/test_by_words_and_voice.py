"""Captions and sound together: words say which step it is, and the voice says when."""

from dataclasses import replace
from pathlib import Path

import pytest
from taught import shipped_plan, taught, webvtt_of
from voiced import CLEAN_HEARD, LIGHT_HEARD, Hearing, voiced

from guide.problem import UnusableChoice
from guide.review import recordings
from guide.review.by_words import compare_captions
from guide.review.by_words_and_voice import compare_both
from guide.review.captions.transcript import Transcript
from guide.review.comparison import Comparison
from guide.review.confidence import RIGHT_MS
from guide.review.hearing.voice_activity import Stretch

LONG_MS = 40_000


def captioned(name: str, hearing: Hearing, seed: int) -> tuple[Transcript, tuple[Stretch, ...], tuple[int, ...], int]:
    """A taught class in long captions, where its voice was heard, and the truth."""
    _, timeline = shipped_plan(name)
    heard, said = voiced(timeline, hearing, seed), taught(timeline, hearing.class_, LONG_MS, seed)
    later_ms = heard.starts_ms[0] - said.starts_ms[0]
    blocks = (
        replace(one, start_ms=one.start_ms + later_ms, end_ms=one.end_ms + later_ms) for one in said.transcript.blocks
    )
    return Transcript("long.vtt", tuple(blocks)), heard.stretches, heard.starts_ms, heard.length_ms


def right(comparison: Comparison, starts_ms: tuple[int, ...]) -> int:
    pairs = zip(comparison.steps, starts_ms, strict=True)
    return sum(step.real_start_ms is not None and abs(step.real_start_ms - at) <= RIGHT_MS for step, at in pairs)


@pytest.mark.parametrize("hearing", [CLEAN_HEARD, LIGHT_HEARD], ids=lambda hearing: hearing.name)
def test_long_captions_tell_nearly_every_start_where_their_sound_is_heard(hearing: Hearing) -> None:
    steps, timeline = shipped_plan("starter")
    alone, together, every = 0, 0, 0
    for seed in (1, 2, 3):
        captions, stretches, starts_ms, length_ms = captioned("starter", hearing, seed)
        alone += right(compare_captions(steps, timeline, captions), starts_ms)
        found = compare_both(steps, timeline, captions, "class.wav", stretches, length_ms)
        together += right(found, starts_ms)
        every += len(starts_ms)
    assert together >= max(alone, 0.97 * every)


def test_how_much_was_spoken_is_measured() -> None:
    steps, timeline = shipped_plan("starter")
    captions, stretches, _, length_ms = captioned("starter", CLEAN_HEARD, 1)
    speech = compare_both(steps, timeline, captions, "class.wav", stretches, length_ms).speech
    assert speech is not None and speech.words
    assert speech.spoken_ms == sum(one.length_ms for one in stretches)
    assert (speech.from_ms, speech.from_ms + speech.over_ms) == (stretches[0].start_ms, stretches[-1].end_ms)


def test_captions_of_another_recording_are_told() -> None:
    steps, timeline = shipped_plan("starter")
    captions, stretches, _, length_ms = captioned("starter", CLEAN_HEARD, 1)
    _, others, _, _ = captioned("starter", CLEAN_HEARD, 2)
    with pytest.raises(UnusableChoice) as told:
        compare_both(steps, timeline, captions, "class.wav", others, length_ms)
    what = "its words do not fall where somebody speaks in class.wav"
    assert str(told.value) == f"long.vtt: {what} (give captions and sound of the same recording)"
    with pytest.raises(UnusableChoice) as told:
        compare_both(steps, timeline, captions, "class.wav", stretches[:3], 30_000)
    last = captions.blocks[-1].start_ms // 1000
    what = f"there are words at {last // 60}:{last % 60:02}, and class.wav is over at 0:30"
    assert str(told.value) == f"long.vtt: {what} (give captions and sound of the same recording)"


def test_captions_and_sound_are_told_apart_in_any_order(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    steps, timeline = shipped_plan("starter")
    captions, stretches, starts_ms, length_ms = captioned("starter", CLEAN_HEARD, 1)
    words, sound = tmp_path / "long.vtt", tmp_path / "class.wav"
    words.write_text(webvtt_of(captions), encoding="utf-8")
    monkeypatch.setattr(recordings, "heard_in", lambda path, progress: (stretches, length_ms))
    one, other = (recordings.compare_two(steps, timeline, pair, None) for pair in ((words, sound), (sound, words)))
    assert one == other
    assert right(one, starts_ms) == len(starts_ms)
    with pytest.raises(UnusableChoice, match="two go together where one is captions and the other the sound of them"):
        recordings.compare_two(steps, timeline, (words, words), None)
