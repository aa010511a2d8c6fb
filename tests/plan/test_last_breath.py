"""`at: last breath` is the last breath that leaves its words room, however long the hold turns out to be."""

from dataclasses import replace
from pathlib import Path

import pytest
from plan_texts import planned, said_ms, steps_of

from guide.plan.checker import breaches
from guide.sequence.steps import AtBreath, Breath, CueKind, InBreaths, InTime, Step, Steps, Words

HEAD = (
    "title: T\nlibrary cues: no\nsay names: no\ncount: none\n"
    "bells: {class: none}\npace: {inhale: 4 s, exhale: 4 s}\nclass:\n"
)
LAST = AtBreath(None, Breath.EXHALE)


def starts(hold: InBreaths | InTime, *words: tuple[int, AtBreath | None]) -> list[int]:
    """Where in the hold these words begin, in ms: so many of 400 ms each, and where they ask to be."""
    steps = steps_of(f"{HEAD}  - pose: tree\n    hold: 5 breaths\n", Path())
    (step,) = steps.steps
    said = tuple(
        Words(" ".join(["word"] * count), CueKind.HOW, replace(step.place, line=20 + number), at)
        for number, (count, at) in enumerate(words)
    )
    return _planned(steps, replace(step, hold=hold, words=said))


def _planned(steps: Steps, step: Step) -> list[int]:
    made = replace(steps, steps=(step,))
    timeline, word_ms = planned(made)
    assert breaches(made, timeline, word_ms) == ()
    assert [said_ms(words.text) for words in step.words] == [cue.length_ms for cue in timeline.cues]
    return [cue.start_ms for cue in timeline.cues]


@pytest.mark.parametrize(("breaths", "start_ms"), [(1, 4000), (2, 12_000), (3, 12_000), (4, 20_000), (9, 60_000)])
def test_it_is_the_last_breath_or_the_last_but_one_where_the_last_is_quiet(breaths: int, start_ms: int) -> None:
    """Exhales begin at 4 s, 12 s, 20 s, ...; from three breaths on the last one is quiet."""
    assert starts(InBreaths(breaths, breaths, breaths), (5, LAST)) == [start_ms]


def test_in_a_hold_by_the_clock_the_last_breath_counts_from_its_end() -> None:
    """70 s leave the last 8 s quiet: 2 s from 60 s on end at 62 s, just in time."""
    assert starts(InTime(70_000, 70_000, 70_000), (5, LAST)) == [60_000]
    assert starts(InTime(70_000, 70_000, 70_000), (6, LAST)) == [52_000]


def test_words_longer_than_an_exhale_come_a_breath_sooner() -> None:
    """5 s from the exhale at 28 s would reach the quiet breath, which begins at 32 s."""
    assert starts(InBreaths(5, 5, 5), (12, LAST)) == [20_000]


def test_words_after_it_keep_their_breath() -> None:
    assert starts(InBreaths(5, 5, 5), (3, LAST), (3, None)) == [20_000, 28_000]


def test_words_before_it_come_first_and_may_push_it_on() -> None:
    assert starts(InBreaths(5, 5, 5), (3, None), (3, LAST)) == [4000, 28_000]
    assert starts(InBreaths(3, 3, 3), (3, None), (12, LAST)) == [0, 8000], "close together, as there is no other room"
