"""How long a hold really was: the step without what is planned around it, and only where it is sure enough.

No outside source: the arithmetic is that of the plan, worked out by hand beside each class.
"""

from dataclasses import replace

import pytest
from write_back_made import Made, titles

from guide.problem import Place
from guide.review.comparison import Comparison
from guide.review.write_back.done_lengths import LEAST_SURE, what_to_keep
from guide.review.write_back.edited_file import write_lengths
from guide.review.write_back.taught_hold import Left, SidesKept, ToKeep, Why
from guide.sequence.steps import Side

HEAD = "title: T\npace: {inhale: 4 s, exhale: 4 s}\n"

BELLS = Made.of(
    f"""{HEAD}class:
  - section: One
  - pose: old willow
    hold: 3 breaths
    bell: both
    enter: Stand with your feet wide and your arms long.
  - section: Two
    bell: both
  - inhale: Lift your arms.
  - rest: 30 s
"""
)

SIDES = Made.of(
    f"""{HEAD}class:
  - rounds: 2
    of:
      - both sides:
          - pose: old willow
            hold: 5 breaths
  - pose: old oak
    hold: 4 breaths
"""
)


def keep(made: Made, comparison: Comparison, sides: SidesKept = SidesKept.EQUAL) -> ToKeep:
    return what_to_keep(made.steps, made.timeline, [comparison], sides, made.name)


def without(comparison: Comparison, number: int, **known: object) -> Comparison:
    """The comparison with something else known of one step."""
    steps = list(comparison.steps)
    steps[number] = replace(steps[number], **known)  # type: ignore[arg-type]  # the names are those of the fields
    return replace(comparison, steps=tuple(steps))


def test_bells_entry_words_and_section_bells_are_no_part_of_the_hold() -> None:
    """The steps take exactly what is planned but for four breaths in place of three, and 40 s in place of 30."""
    comparison = BELLS.done({0: 4, 2: 5}.get)
    span, after = BELLS.timeline.spans[:2]
    assert span.hold_ms - span.start_ms > 2000
    assert after.start_ms - span.held_ms > 2000
    willow, rest = keep(BELLS, comparison).holds
    assert [one.held_ms for one in willow.done] == [32_000]
    assert [one.planned_ms for one in willow.done] == [24_000]
    assert [one.held_ms for one in rest.done] == [40_000]


def test_of_several_performances_the_median_of_what_is_sure_is_kept_and_in_how_many_it_is() -> None:
    """The willow 4, 9 and 5 breaths; the rest 40 s, 60 s and, unsure, 80 s, of which the mean of two is the median."""
    several = [
        BELLS.done({0: 4, 2: 5}.get),
        BELLS.done({0: 9, 2: 7.5}.get),
        BELLS.done({0: 5, 2: 10}.get, lambda number: 0.5 if number == 2 else 1.0),
    ]
    kept = what_to_keep(BELLS.steps, BELLS.timeline, several, SidesKept.EQUAL, BELLS.name)
    assert [[(one.held_ms, one.performances) for one in hold.done] for hold in kept.holds] == [
        [(40_000, 3)],
        [(50_000, 2)],
    ]
    assert kept.left == ()


def test_sides_that_are_written_apart_stay_apart_where_that_is_usual() -> None:
    """Written 5 and 4 breaths; held 6 and 4, and 7 and 4: usually 6.5, which is 7, and 4."""
    apart = "{first side: 5 breaths, second side: 4 breaths}"
    made = Made.of(f"{HEAD}class:\n  - both sides:\n      - pose: old willow\n        hold: {apart}\n")
    several = [made.done(dict(zip(made.held, each, strict=True)).get) for each in ((6, 4), (7, 4))]
    kept = what_to_keep(made.steps, made.timeline, several, SidesKept.EQUAL, made.name)
    (change,) = write_lengths(made.raw, made.name, made.folder, kept).changes
    assert change.after == apart.replace("5", "7")


def test_what_several_performances_tell_once_or_not_surely_is_left_with_the_reason() -> None:
    def unsure(*numbers: int) -> Comparison:
        return BELLS.done({0: 4, 2: 5}.get, lambda number: 0.5 if number in numbers else 1.0)

    several = [unsure(2), unsure(0, 2), unsure(0, 2)]
    kept = what_to_keep(BELLS.steps, BELLS.timeline, several, SidesKept.EQUAL, BELLS.name)
    assert [(one.title, one.why) for one in kept.left] == [("old willow", Why.ONCE), ("rest", Why.UNSURE)]
    assert kept.holds == ()


def test_moves_and_talks_have_nothing_to_keep() -> None:
    assert titles(keep(BELLS, BELLS.done({}.get)).holds) == ["old willow", "rest"]


def test_all_times_that_a_hold_was_done_stand_together_with_their_side_and_pass() -> None:
    willow, oak = keep(SIDES, SIDES.done({0: 4, 1: 6, 2: 5, 3: 7}.get)).holds
    found = [(one.pass_number, one.side, one.held_ms) for one in willow.done]
    right, left = Side.RIGHT, Side.LEFT
    assert found == [(1, right, 32_000), (2, left, 48_000), (1, right, 40_000), (2, left, 56_000)]
    assert willow.passes == {1, 2} and oak.passes == {0}
    assert [(one.pass_number, one.side) for one in oak.done] == [(0, None)]


@pytest.mark.parametrize(
    ("known", "why"),
    [
        ({"real_start_ms": None, "real_ms": None}, Why.NOT_KNOWN),
        ({"real_ms": None}, Why.NO_END),
        ({"sure": LEAST_SURE - 0.01}, Why.UNSURE),
    ],
)
def test_what_is_not_known_well_is_left_with_the_reason(known: dict[str, object], why: Why) -> None:
    kept = keep(BELLS, without(BELLS.done({2: 6}.get), 2, **known))
    assert kept.left == (Left(BELLS.steps.steps[2].place, "rest", None, why),)
    assert titles(kept.holds) == ["old willow"]


def test_what_is_just_sure_enough_is_kept() -> None:
    kept = keep(SIDES, without(SIDES.done({4: 6}.get), 4, sure=LEAST_SURE))
    assert titles(kept.holds) == ["old willow", "old oak"]
    assert kept.left == ()


def test_the_end_of_a_hold_is_as_sure_as_the_beginning_of_what_comes_after() -> None:
    kept = keep(SIDES, without(SIDES.done({}.get), 4, sure=0.5))
    willow = SIDES.steps.steps[3]
    assert Left(willow.place, "old willow", Side.LEFT, Why.UNSURE) in kept.left
    assert [one.side for one in kept.holds[0].done] == [Side.RIGHT, Side.LEFT, Side.RIGHT]


def test_steps_that_were_left_out_do_not_stand_between_a_hold_and_its_end() -> None:
    comparison = without(SIDES.done({}.get), 2, real_start_ms=None, real_ms=None, sure=0.0)
    kept = keep(SIDES, comparison)
    assert [one.side for one in kept.holds[0].done] == [Side.RIGHT, Side.LEFT, Side.LEFT]


def test_a_hold_of_another_file_is_told_of_only_where_it_was_done_otherwise() -> None:
    made = Made.of(f"{HEAD}class:\n  - block: sun salutation A once slowly\n  - pose: old oak\n")
    held = made.held[0]
    assert keep(made, made.done({}.get)).left == ()
    kept = keep(made, made.done({held: 9}.get))
    (left,) = kept.left
    assert left == Left(Place("blocks/salutations.yaml", left.place.line, 7), "downward dog", None, Why.ELSEWHERE)
    assert titles(kept.holds) == ["old oak"]
