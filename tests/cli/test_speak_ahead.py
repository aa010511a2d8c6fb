"""A class that begins before all of its words are spoken: what has to be there, and what becomes of the rest."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from guide.plan.estimate import spoken_ms
from guide.plan.thinning import NAMED
from guide.problem import MachineTrouble, Place
from guide.ready import speak_ahead
from guide.ready.choices import VoiceChoice
from guide.ready.load import load
from guide.ready.make_ready import OpenClass
from guide.ready.speak_ahead import FIRST_MS, Begun, make_begun
from guide.sound.clip_measures import measure
from guide.units import frames_from_ms, ms_from_frames
from guide.voice import class_clips

CLASS = """title: Long
slot: 15 min
class:
  - section: One
  - pose: mountain
    hold: 10 breaths
    say: {early}
  - both sides:
      - pose: tree
        hold: 12 to 20 breaths
        say: {sided}
        leave: none
  - rest: 2 to 20 min
    say: {late}
"""


class Voice:
    """Speaks a tenth slower than was estimated; knows some words already, and cannot say others."""

    def __init__(self) -> None:
        self.known: set[str] = set()
        self.unspeakable: set[str] = set()
        self.asked: list[list[str]] = []

    def unspoken(self, wanted: Sequence[tuple[str, Place]], settings: object, finish: object) -> frozenset[str]:
        return frozenset(text for text, _ in wanted) - self.known

    def speak_all(
        self,
        wanted: Sequence[tuple[str, Place]],
        settings: object,
        finish: object,
        progress: object = None,
        waking: object = None,
    ) -> "Clips":
        texts = [text for text, _ in wanted]
        self.asked.append(texts)
        if self.unspeakable & set(texts):
            raise MachineTrouble("the voice crashed")
        return Clips(texts)


@cache
def measures(frames: int) -> np.ndarray:
    return measure(np.full(frames, 2000 / 32768, np.float32)).packed()


class Clips(Mapping[str, np.ndarray]):
    def __init__(self, texts: Sequence[str]) -> None:
        self._clips = {
            text: np.full(frames_from_ms(round(1.1 * spoken_ms(text, 0.75))), 2000, np.int16) for text in texts
        }

    def __getitem__(self, text: str) -> np.ndarray:
        return self._clips[text]

    def __iter__(self) -> Iterator[str]:
        return iter(self._clips)

    def __len__(self) -> int:
        return len(self._clips)

    def length_ms(self, text: str) -> int:
        return ms_from_frames(self[text].size)

    def lengths_ms(self) -> dict[str, int]:
        return {text: self.length_ms(text) for text in self}

    def measures(self, text: str) -> np.ndarray:
        return measures(self[text].size)


@pytest.fixture
def voice(monkeypatch: pytest.MonkeyPatch) -> Voice:
    made = Voice()
    monkeypatch.setattr(class_clips, "unspoken", made.unspoken)
    monkeypatch.setattr(class_clips, "speak_all", made.speak_all)
    return made


def opened(tmp_path: Path) -> OpenClass:
    def lines(word: str) -> str:
        return "[" + ", ".join(f'"The {word} words, number {n}, are said here."' for n in ("one", "two", "three")) + "]"

    path = tmp_path / "long.yaml"
    path.write_text(CLASS.format(early=lines("early"), sided=lines("<side>"), late=lines("late")))
    return OpenClass.of(load(path), VoiceChoice(), None)


def late(texts: Sequence[str]) -> list[str]:
    return [text for text in texts if "late" in text]


def test_a_class_whose_words_are_all_known_is_planned_with_their_true_lengths(voice: Voice, tmp_path: Path) -> None:
    made = opened(tmp_path)
    voice.known = set(made.wanted)
    begun = make_begun(made, 0)
    assert not begun.waiting
    assert len(voice.asked) == 1
    assert begun.word_ms == begun.gathered.lengths_ms()
    assert begun.timeline.length_ms == 15 * 60_000


def test_it_begins_when_the_first_two_minutes_and_their_other_sides_are_spoken(voice: Voice, tmp_path: Path) -> None:
    begun = make_begun(opened(tmp_path), 0)
    spoken = {text for texts in voice.asked for text in texts}
    needed = {cue.words for cue in begun.timeline.cues if cue.start_ms < FIRST_MS}
    assert needed <= spoken
    # The left side begins later, and lasts as long as the right one, which its words have a part in.
    assert {text for text in begun.opened.wanted if "left" in text} <= spoken
    assert late(sorted(begun.waiting)) and not late(sorted(spoken))
    assert begun.timeline.length_ms == 15 * 60_000


def test_only_words_that_are_spoken_are_mixed(voice: Voice, tmp_path: Path) -> None:
    begun = make_begun(opened(tmp_path), 0)
    mix = begun.mixed()(begun.timeline)
    assert {cue.words for cue in mix.cues} == {cue.words for cue in begun.timeline.cues} - set(begun.waiting)


def test_of_a_class_that_is_led_with_fewer_words_no_others_are_mixed_and_they_are_as_loud(
    voice: Voice, tmp_path: Path
) -> None:
    made = opened(tmp_path)
    voice.known = set(made.wanted)
    begun, whole = make_begun(made, 0), make_begun(made, 0).mixed()
    begun.keep(NAMED["names"])
    mixed = begun.mixed()
    heard = [cue.words for cue in mixed(begun.timeline).cues]
    assert heard[:3] == ["Mountain.", "Tree, right side.", "Tree."]
    assert len(heard) == 4 and heard[3].startswith("The same on the left")
    assert mixed(begun.timeline).predicted == whole(begun.timeline).predicted
    again = replace(begun.timeline, notes=())
    assert [cue.start for cue in mixed(again).cues] == [cue.start for cue in mixed(begun.timeline).cues]


def learnt(begun: Begun) -> tuple[list[tuple[Mapping[str, int], frozenset[str]]], list[str]]:
    taught: list[tuple[Mapping[str, int], frozenset[str]]] = []
    told: list[str] = []
    begun.speak_on(lambda word_ms, unspoken: taught.append((word_ms, unspoken)), told.append).join(120)
    return taught, told


def test_the_rest_is_spoken_in_the_order_in_which_it_is_said(
    voice: Voice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun = make_begun(opened(tmp_path), 0)
    waiting = list(begun.waiting)
    monkeypatch.setattr(speak_ahead, "AT_A_TIME", 2)
    before = len(voice.asked)
    taught, told = learnt(begun)
    assert [text for texts in voice.asked[before:] for text in texts] == waiting
    assert all(len(texts) <= 2 for texts in voice.asked[before:])
    assert [len(unspoken) for _, unspoken in taught] == [*range(len(waiting) - 2, 0, -2), 0]
    assert begun.gathered.lengths_ms().items() <= taught[-1][0].items()
    assert told == []


def test_words_that_cannot_be_said_are_left_out_and_told_and_the_others_are_said(voice: Voice, tmp_path: Path) -> None:
    begun = make_begun(opened(tmp_path), 0)
    bad = late(sorted(begun.waiting))[0]
    voice.unspeakable = {bad}
    waiting = set(begun.waiting)
    taught, told = learnt(begun)
    assert told == [f"left out: “{bad}” (the voice crashed)"]
    assert taught[-1][1] == frozenset()
    assert waiting - {bad} <= set(begun.gathered.lengths_ms())


def test_a_voice_that_is_too_slow_is_waited_for_before_the_class_begins(
    voice: Voice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    now_s = 0.0

    def slowly() -> float:
        nonlocal now_s
        now_s += 400.0
        return now_s

    monkeypatch.setattr(speak_ahead.time, "monotonic", slowly)
    assert not late(sorted(make_begun(opened(tmp_path), 0).waiting))
