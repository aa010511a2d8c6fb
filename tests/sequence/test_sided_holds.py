"""A hold with a length for each side: read, expanded, planned, fitted and proved; only that hold may differ."""

from pathlib import Path

import pytest
from class_texts import expand

from guide.plan.checker import prove
from guide.plan.estimate import EstimatedLengths
from guide.plan.fitting.fit import fit
from guide.plan.scheduler import plan
from guide.plan.timeline import Timeline
from guide.sequence.expand import unroll
from guide.sequence.reader import look, read_text
from guide.sequence.steps import InBreaths, InTime, Step, StepKind, Steps

HEAD = "title: T\npace: {inhale: 4 s, exhale: 4 s}\n"

TREE = """\
  - both sides:
      - inhale: Lift your <side> knee.
      - pose: tree
        hold: {first side: 3 breaths, second side: 5 breaths}
        enter: Set your <side> foot on the other calf.
        say: Grow tall.
        leave: Lower your <side> foot.
      - exhale: Stand on both.
"""


class Bells(dict[str, int]):
    def __missing__(self, name: str) -> int:
        return 2000


def steps_of(entries: str, head: str = HEAD) -> Steps:
    return expand(read_text(f"{head}class:\n{entries}", "class.yaml", Path()))


def planned(steps: Steps) -> tuple[Steps, Timeline]:
    """The class fitted, planned, and proved by the checker."""
    word_ms = EstimatedLengths(0.75)
    fitted = fit(steps, word_ms, Bells())
    timeline = fitted.told(plan(fitted.steps, word_ms, Bells()))
    prove(fitted.steps, timeline, word_ms)
    return fitted.steps, timeline


def poses(steps: Steps) -> list[Step]:
    return [step for step in steps.steps if step.kind is StepKind.POSE]


def test_each_side_is_held_as_long_as_it_says_and_only_the_hold_has_no_twin() -> None:
    steps = steps_of(TREE)
    first, second = poses(steps)
    assert (first.hold, second.hold) == (InBreaths(3, 3, 3), InBreaths(5, 5, 5))
    assert (first.pass_number, second.pass_number) == (1, 2)
    paired = [step.pair for step in steps.steps]
    assert [pair is None for pair in paired] == [False, True, False, False, False, True, False, False]
    assert paired[:1] + paired[2:4] == paired[4:5] + paired[6:8]


def test_one_length_keeps_its_twin() -> None:
    first, second = poses(steps_of(TREE.replace("{first side: 3 breaths, second side: 5 breaths}", "4 breaths")))
    assert first.pair == second.pair is not None


def test_the_first_side_is_the_one_that_comes_first() -> None:
    left, right = poses(steps_of(TREE.rstrip() + "\n    first: left\n"))
    assert left.side is not None and left.side.value == "left"
    assert (left.hold, right.hold) == (InBreaths(3, 3, 3), InBreaths(5, 5, 5))


def test_steps_outside_of_both_sides_belong_to_no_pass() -> None:
    assert {step.pass_number for step in steps_of("  - pose: tree\n    side: left\n").steps} == {0}


def test_rests_and_blocks_may_have_a_length_for_each_side() -> None:
    block = "blocks:\n  b:\n    - rest: {first side: 10 s, second side: 20 s}\n"
    made = expand(read_text(f"{HEAD}class:\n  - both sides: b\n  - both sides: b\n{block}", "class.yaml", Path()))
    assert [step.hold for step in made.steps] == 2 * [InTime(10_000, 10_000, 10_000), InTime(20_000, 20_000, 20_000)]


@pytest.mark.parametrize("entry", ["pose: tree\n    hold", "rest"])
def test_where_there_is_one_pass_a_length_for_each_side_is_a_problem_at_its_place(entry: str) -> None:
    text = f"{HEAD}class:\n  - {entry}: {{first side: 3 breaths, second side: 5 breaths}}\n"
    made = look(text, "class.yaml", Path())
    assert made.problems == () and made.class_file is not None
    line, column = (5, 11) if "hold" in entry else (4, 11)
    what = "a hold with a length for each side is used where there is one pass only"
    fix = "put the step under `both sides:`, or write one length"
    assert [str(problem) for problem in unroll(made.class_file).problems] == [
        f"class.yaml:{line}:{column}: {what} ({fix})"
    ]


def test_a_cue_must_have_its_place_on_the_shorter_side_too() -> None:
    text = f"{HEAD}class:\n{TREE}".replace("say: Grow tall.", "say: [{how: Grow tall., at: breath 4}]")
    made = look(text, "class.yaml", Path())
    assert made.class_file is not None
    (problem,) = unroll(made.class_file).problems
    assert problem.what == "this cue is placed at breath 4 of a hold of 3"


def test_the_plan_holds_each_side_for_its_breaths_and_all_else_alike() -> None:
    _, timeline = planned(steps_of(TREE))
    held = [span.breaths for span in timeline.spans if span.kind is StepKind.POSE]
    assert held == [3, 5]
    lengths = [span.end_ms - span.start_ms for span in timeline.spans if span.kind is not StepKind.POSE]
    assert lengths[:3] == lengths[3:]


@pytest.mark.parametrize("slot", ["2:10", "2:40", "3:10"])
def test_ranges_for_each_side_fill_the_slot(slot: str) -> None:
    ranges = "{first side: 3 to 6 breaths, second side: 5 to 9 breaths}"
    entries = TREE.replace("{first side: 3 breaths, second side: 5 breaths}", ranges) + "  - rest: 15 s to 1 min\n"
    _, timeline = planned(steps_of(entries, f"{HEAD}slot: {slot}\n"))
    minutes, seconds = map(int, slot.split(":"))
    assert timeline.length_ms == (minutes * 60 + seconds) * 1000
    first, second = [span.breaths for span in timeline.spans if span.kind is StepKind.POSE]
    assert 3 <= first <= 6 and 5 <= second <= 9
    assert second > first
