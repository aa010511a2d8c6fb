"""Which steps of a plan the steps of a record are: those of a record of long ago, and of one whose steps have names.

`records/desk-break.jsonl` was written while `records/desk-break.yaml` was led, before plans gave halves of a breath or
had the library lead out of a pose, and before records named their steps.
"""

from dataclasses import replace
from pathlib import Path

import pytest
from rehearsals import class_of

from guide.live.record import Answered, Began, Ended, Event, Opened, read
from guide.plan.step_names import step_names
from guide.problem import UnusableChoice
from guide.review.by_record import compare_record
from guide.review.recorded_steps import in_plan, is_unwritten

RECORDS = Path(__file__).parent / "records"
OLD = read(RECORDS / "desk-break.jsonl")
STEPS, TIMELINE = class_of((RECORDS / "desk-break.yaml").read_text())
NAMES = step_names(TIMELINE.spans)


def began(number: int, step: int, where: str = "") -> Began:
    """What is written where a step of the plan begins, with the number that it has in the record."""
    span = TIMELINE.spans[number]
    return Began(step, span.title, span.side.value if span.side else None, 0, 1000 * step, where=where)


def test_a_record_of_an_older_plan_is_told_step_by_step() -> None:
    comparison = compare_record(STEPS, TIMELINE, "old.jsonl", OLD)
    written = [number for number, step in enumerate(STEPS.steps) if not is_unwritten(step)]
    begun = [event for event in OLD if isinstance(event, Began)]
    assert len(written) == len(begun) == len(STEPS.steps) - 5
    starts = {one.number: one.real_start_ms for one in comparison.steps if one.real_start_ms is not None}
    assert starts == {number: event.real_ms - begun[0].real_ms for number, event in zip(written, begun, strict=True)}
    ended = OLD[-1]
    assert isinstance(ended, Ended) and comparison.real_ms == ended.real_ms - begun[0].real_ms


def test_steps_that_were_gone_past_are_told_by_the_others() -> None:
    kept = tuple(event for event in OLD if not isinstance(event, Began) or event.step not in {1, 5, 20, 21, 25})
    whole, told = (in_plan(events, STEPS, TIMELINE, "") for events in (OLD, kept))
    assert len(whole) - len(told) > 0 and set(told) <= set(whole)


def test_a_name_tells_a_step_whatever_its_number_is() -> None:
    events = tuple(began(number, number + 3, NAMES[number]) for number in (0, 1, 14, 21))
    answered = Answered(5, 0, NAMES[2])
    told = in_plan((*events, answered), STEPS, TIMELINE, "")
    assert [event.step for event in told if isinstance(event, Began | Answered)] == [0, 1, 14, 21, 2]
    with pytest.raises(UnusableChoice):
        in_plan(tuple(replace(event, where="") for event in events), STEPS, TIMELINE, "")


def test_names_are_unlike_and_say_where_a_step_is_written() -> None:
    assert len(set(NAMES)) == len(NAMES)
    assert NAMES[2] == f"trees.yaml:{TIMELINE.spans[2].place.line}:9 pose right 1"
    again = [name for name in NAMES if name.startswith(NAMES[6].rpartition(" ")[0])]
    assert [name[-2:] for name in again] == [" 1", " 2"]


@pytest.mark.parametrize(
    "events",
    [
        pytest.param((began(1, 0), began(0, 1)), id="in another order"),
        pytest.param((began(0, 0), replace(began(2, 2), side="left")), id="on the other side"),
        pytest.param((began(0, 0), began(2, 1)), id="without a step that the file writes"),
        pytest.param((began(0, 0, NAMES[0]), replace(began(2, 3), where="trees.yaml:1:1 pose 1")), id="elsewhere"),
    ],
)
def test_what_cannot_be_told_is_refused(events: tuple[Event, ...]) -> None:
    with pytest.raises(UnusableChoice, match=r"is not step \d+ of this class \(name the record of this class"):
        in_plan((Opened("", "", "", "", 0), *events), STEPS, TIMELINE, "old.jsonl")
