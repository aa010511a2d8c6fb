"""Seconds are counted with numbers as long as a calm voice says them.

The lengths are those of the shipped voice at its calm rate, measured: `one` 0.80 s, `seven` 0.93, `twenty-five` 1.2.
"""

from pathlib import Path

import pytest
from plan_texts import lengths_of, steps_of

from guide.plan.breath_counting import counted
from guide.plan.checker import prove
from guide.plan.scheduler import plan
from guide.sequence.steps import CueKind

LONG_MS = {"1": 800, "7": 930, "15": 1100, "20": 1000, "25": 1200}


@pytest.mark.parametrize(
    ("count", "numbers"),
    [
        ("down from 5", "5 4 3 2 1"),
        ("down", "25 20 15 10 9 8 7 6 5 4 3 2 1"),
        ("seconds", "1 2 3 4 5 6 7 8 9 10 15 20 25"),
    ],
)
def test_every_number_is_said_though_it_lasts_nearly_a_second(count: str, numbers: str, tmp_path: Path) -> None:
    text = f"title: T\nclass:\n  - pose: plank\n    hold: 30 s\n    say: none\n    count: {count}\n"
    steps = steps_of(text, tmp_path)
    word_ms, sound_ms = lengths_of(steps)
    word_ms |= {number: LONG_MS.get(number, 760) for number in counted(steps, word_ms, sound_ms)}
    timeline = plan(steps, word_ms, sound_ms)
    prove(steps, timeline, word_ms)
    said = [cue for cue in timeline.cues if cue.kind is CueKind.COUNT]
    assert " ".join(cue.words for cue in said) == numbers
    span = timeline.spans[said[0].step]
    for cue in said:
        left_ms = span.held_ms - 1000 * int(cue.words)
        due_ms = left_ms if count.startswith("down") else span.hold_ms + 1000 * int(cue.words)
        assert abs(cue.start_ms - due_ms) <= 60


@pytest.mark.parametrize("seconds", [1, 2])
def test_a_hold_of_a_second_or_two_is_counted_within_itself(seconds: int, tmp_path: Path) -> None:
    text = f"title: T\nclass:\n  - pose: plank\n    hold: {seconds} s\n    say: none\n    count: down from {seconds}\n"
    steps = steps_of(text, tmp_path)
    word_ms, sound_ms = lengths_of(steps)
    word_ms |= dict.fromkeys(counted(steps, word_ms, sound_ms), 700)
    timeline = plan(steps, word_ms, sound_ms)
    prove(steps, timeline, word_ms)
    said = [cue for cue in timeline.cues if cue.kind is CueKind.COUNT]
    assert all(cue.start_ms >= timeline.spans[cue.step].hold_ms for cue in said)
    assert [cue.words for cue in said] == (["2", "1"] if seconds == 2 else [])
