"""A class with fewer words: which go first, and that nothing else moves."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_samples import Sample, samples
from plan_texts import planned, steps_of

from guide.plan.checker import BrokenPromise, prove_thinned
from guide.plan.thinning import NAMED, Turn, WordsKept, read_words, thinned, turns_of, week_by_week, whole
from guide.plan.timeline import CuePart, Timeline

TEXT = """\
title: T
library cues: no
class:
  - say: Come to stand.
  - rounds: 2
    of:
      - inhale: Lift your arms.
      - exhale: Fold. Stop at any pain.
  - both sides:
      - pose: oak
        hold: 12 breaths
        enter: Turn to the <side>.
        count: [chime, down from 2]
        say:
          - Reach up.
          - Keep the <side> knee bent.
          - offer: Hold on to a wall.
  - pose: ash
    name: none
    hold: 6 breaths
    enter: ["Sit down.", "Cross your legs."]
    say:
      - how: Grow tall.
      - safety: Sit higher.
"""

#: Every line of it with its turn, in the order in which it is said.
TURNS = [
    ("Come to stand.", Turn.WAY),
    ("Inhale, lift your arms.", Turn.BREATH),
    ("Exhale, fold. Stop at any pain.", Turn.SAFETY),
    ("Inhale, lift your arms.", Turn.BREATH_AGAIN),
    ("Exhale, fold. Stop at any pain.", Turn.SAFETY),
    ("Oak, right side.", Turn.NAME),
    ("Turn to the right.", Turn.WAY),
    ("Reach up.", Turn.HOW),
    ("Keep the right knee bent.", Turn.HOW),
    ("Hold on to a wall.", Turn.OFFER),
    ("2", Turn.COUNT),
    ("1", Turn.COUNT),
    ("Oak, left side.", Turn.NAME),
    ("Turn to the left.", Turn.HOW_AGAIN),
    ("Reach up.", Turn.HOW_AGAIN),
    ("Keep the left knee bent.", Turn.HOW_AGAIN),
    ("Hold on to a wall.", Turn.OFFER),
    ("2", Turn.COUNT),
    ("1", Turn.COUNT),
    ("Sit down.", Turn.NAME),
    ("Cross your legs.", Turn.WAY),
    ("Grow tall.", Turn.HOW),
    ("Sit higher.", Turn.SAFETY),
]

#: What goes before names do, in the order in which it goes.
ORDER = [
    "Keep the left knee bent.",
    "Reach up.",
    "Turn to the left.",
    "Inhale, lift your arms.",
    "Keep the right knee bent.",
    "Grow tall.",
    "Reach up.",
    "Inhale, lift your arms.",
    "Cross your legs.",
    "Turn to the right.",
    "Come to stand.",
]


def made() -> Timeline:
    return planned(steps_of(TEXT, Path()))[0]


def left_out(kept: str) -> list[str]:
    words = read_words(kept)
    assert words is not None
    return [cue.words for cue in thinned(made(), words).left_out]


def test_every_cue_has_its_turn_by_its_kind_and_by_what_was_said_before() -> None:
    timeline = made()
    assert list(zip((cue.words for cue in timeline.cues), turns_of(timeline), strict=True)) == TURNS


@pytest.mark.parametrize(("percent", "gone"), [(100, 0), (91, 0), (90, 1), (75, 2), (50, 5), (10, 9), (0, 11)])
def test_a_share_keeps_so_many_of_what_goes_before_names(percent: int, gone: int) -> None:
    assert sorted(left_out(f"{percent}%")) == sorted(ORDER[:gone])


def test_names_numbers_offers_and_safety_go_with_all_other_words_alone() -> None:
    assert left_out("all") == []
    assert left_out("some") == left_out("50%")
    assert left_out("names") == left_out("0%")
    assert left_out("bells") == [words for words, _ in TURNS]


def test_words_that_say_the_side_stay_with_a_name_that_does_not() -> None:
    text = TEXT.replace("pose: oak", "pose: oak\n        name: none").replace("Turn to the", "Go. Turn to the")
    timeline = thinned(planned(steps_of(text, Path()))[0], NAMED["names"])
    assert [cue.words for cue in timeline.cues if cue.part is CuePart.ENTRY] == [
        "Go. Turn to the right.",
        "Go. Turn to the left.",
        "Sit down.",
    ]
    text = TEXT.replace("pose: oak", "pose: oak\n        name: Oak.")
    timeline = thinned(planned(steps_of(text, Path()))[0], NAMED["names"])
    said = [cue.words for cue in timeline.cues if cue.part is CuePart.ENTRY]
    assert said == ["Oak.", "Turn to the right.", "Oak.", "Turn to the left.", "Sit down."]


@pytest.mark.parametrize("asked", ["few", "101%", "-1%", "%", "", "1.5%"])
def test_what_is_no_way_to_keep_words_is_not_read(asked: str) -> None:
    assert read_words(asked) is None


def test_what_is_left_out_is_told_in_one_note_with_its_kinds() -> None:
    (note,) = (note for note in thinned(made(), NAMED["some"]).notes if "left out" in note.what)
    assert str(note) == (
        "class.yaml:1:1: 5 of 23 cues are left out (--words some): 3 of 3 repeated alignment, "
        "1 of 1 repeated moves, 1 of 3 alignment"
    )


@pytest.mark.parametrize(
    ("weeks", "rule"),
    [
        (2, "all bells"),
        (3, "all names bells"),
        (4, "all some names bells"),
        (5, "all 67% 34% names bells"),
        (6, "all 75% some 25% names bells"),
    ],
)
def test_from_week_to_week_equal_shares_go(weeks: int, rule: str) -> None:
    assert [kept.name for kept in week_by_week(weeks)] == rule.split()


def test_six_weeks_are_six_steps_and_no_two_of_fifty_two_are_asked_for_alike() -> None:
    said = [len(thinned(made(), kept).cues) for kept in week_by_week(6)]
    assert said == sorted(set(said), reverse=True) and len(said) == 6
    assert len(set(week_by_week(52))) == 52


@settings(deadline=None, max_examples=8)
@given(samples(), st.integers(0, 100), st.integers(0, 100))
def test_all_that_remains_begins_when_it_began_and_fewer_words_are_some_of_more(
    sample: Sample, some: int, fewer: int
) -> None:
    timeline = sample.planned()
    more, less = (thinned(timeline, WordsKept("", percent)) for percent in sorted((some, fewer), reverse=True))
    bells = thinned(timeline, NAMED["bells"])
    for one in (more, less, bells):
        prove_thinned(timeline, one)
        assert (one.spans, one.rings, one.chapters, one.length_ms) == (
            timeline.spans,
            timeline.rings,
            timeline.chapters,
            timeline.length_ms,
        )
        assert whole(one) == replace(timeline, notes=one.notes)
    assert set(less.cues) <= set(more.cues) <= set(timeline.cues)
    assert bells.cues == bells.dips == ()


def _late(timeline: Timeline) -> Timeline:
    first, *others = timeline.cues
    return replace(timeline, cues=(replace(first, start_ms=first.start_ms + 1), *others))


MUTANTS = {
    "a cue is moved": _late,
    "a cue is gone": lambda one: replace(one, cues=one.cues[1:]),
    "what is left out is not listed": lambda one: replace(one, left_out=()),
    "no note tells it": lambda one: replace(one, notes=one.notes[:-1]),
    "bells are still turned down": lambda one: replace(one, dips=made().dips),
    "a chime is gone": lambda one: replace(one, rings=one.rings[1:]),
    "a step is longer": lambda one: replace(one, spans=(replace(one.spans[0], end_ms=1), *one.spans[1:])),
    "the class is longer": lambda one: replace(one, length_ms=one.length_ms + 1),
}


@pytest.mark.parametrize("change", MUTANTS.values(), ids=MUTANTS)
def test_the_proof_finds_whatever_else_has_changed(change) -> None:
    with pytest.raises(BrokenPromise):
        prove_thinned(made(), change(thinned(made(), NAMED["some"])))
