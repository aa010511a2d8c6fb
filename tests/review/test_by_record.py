"""A class known from its record: what counts, what does not, and records of something else."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import pytest
from rehearsals import class_of

from guide.live.record import LED, REHEARSED, Asked, Began, Ended, Event, Opened, Paused, Spoke, WentOn
from guide.problem import UnusableChoice
from guide.review.by_record import compare_record, is_record
from guide.review.comparison import Comparison
from guide.review.confidence import Basis

STEPS, TIMELINE = class_of()
OPENED = Opened("Tall trees", "trees.yaml", "0", "2026-11-25T19:00:00", TIMELINE.length_ms)


def began(step: int, real_ms: int) -> Began:
    span = TIMELINE.spans[step]
    return Began(step, span.title, span.side.value if span.side else None, span.start_ms, real_ms)


def told(*events: Event, how: str = LED) -> Comparison:
    return compare_record(STEPS, TIMELINE, "one.jsonl", (replace(OPENED, how=how), *events))


def starts(comparison: Comparison) -> list[int | None]:
    return [step.real_start_ms for step in comparison.steps]


def lengths(comparison: Comparison) -> list[int | None]:
    return [step.real_ms for step in comparison.steps]


def all_steps(*, every_ms: int = 10_000) -> list[Began]:
    return [began(number, 2000 + every_ms * number) for number in range(len(TIMELINE.spans))]


def test_a_class_that_was_led_has_every_step_as_it_was() -> None:
    comparison = told(*all_steps(), Ended(102_000))
    assert starts(comparison) == [10_000 * number for number in range(10)]
    assert lengths(comparison) == [10_000] * 10
    assert {step.rests_on for step in comparison.steps} == {Basis.LED}
    assert (comparison.real_ms, comparison.kept_out_ms, comparison.heard) == (100_000, 0, None)


def test_pauses_count_for_no_step() -> None:
    comparison = told(*all_steps()[:2], Paused(15_000), WentOn(45_000), began(2, 52_000), Ended(60_000))
    assert starts(comparison)[:3] == [0, 10_000, 20_000]
    assert comparison.kept_out_ms == 30_000


def test_a_pause_that_is_told_twice_is_one() -> None:
    events = [*all_steps()[:1], Paused(5000), Paused(6000), WentOn(7000), WentOn(7500), began(1, 12_000)]
    assert starts(told(*events))[:2] == [0, 8000]


def test_what_was_gone_back_on_counts_for_no_step() -> None:
    """Twice into the second step, and back to the first from the third."""
    again = [began(0, 2000), began(1, 10_000), began(1, 30_000), began(2, 33_000), began(0, 40_000), began(1, 51_000)]
    comparison = told(*again, Ended(53_000))
    assert starts(comparison) == [0, 11_000, *[None] * 8]
    assert lengths(comparison)[:2] == [11_000, None]
    assert comparison.kept_out_ms == 38_000


def test_a_pause_within_what_was_gone_back_on_counts_once() -> None:
    events = [began(0, 0), Paused(1000), WentOn(4000), began(1, 6000), Paused(7000), began(0, 9000), WentOn(10_000)]
    comparison = told(*events, began(1, 15_000))
    assert starts(comparison)[:2] == [0, 5000]
    assert comparison.kept_out_ms == 10_000


def test_a_step_that_was_left_out_while_led_is_told_as_such() -> None:
    comparison = told(began(0, 0), began(3, 8000), Ended(9000))
    assert starts(comparison)[:4] == [0, None, None, 8000]
    assert lengths(comparison)[:4] == [8000, None, None, None]
    assert comparison.steps[1].rests_on is Basis.NOTHING


def test_moves_between_two_keys_share_the_time_as_planned() -> None:
    comparison = told(began(0, 0), began(1, 10_000), began(3, 20_000), Ended(26_000), how=REHEARSED)
    planned = [TIMELINE.spans[number].start_ms for number in (1, 2, 3)]
    share = (planned[1] - planned[0]) / (planned[2] - planned[0])
    assert starts(comparison)[2] == pytest.approx(10_000 + 10_000 * share, abs=1)
    assert [step.rests_on for step in comparison.steps[:4]] == [
        *(Basis.PRESSED, Basis.PRESSED, Basis.SHARED, Basis.PRESSED),
    ]


def test_a_move_far_from_any_key_is_less_sure() -> None:
    text = "title: T\npace: {inhale: 5 s, exhale: 5 s}\nclass:\n" + "  - inhale: Up.\n  - exhale: Down.\n" * 30
    steps, timeline = class_of(text)
    events = (replace(OPENED, how=REHEARSED), Began(0, "inhale", None, 0, 0), Ended(110_000))
    sure = [step.sure for step in compare_record(steps, timeline, "one.jsonl", events).steps]
    assert sure[0] == 0.99
    assert sure[30] == min(sure) < 0.8
    assert all(before >= after for before, after in pairwise(sure[:31]))


def test_a_rehearsal_that_was_broken_off_does_not_tell_how_long_the_last_step_was() -> None:
    comparison = told(began(0, 0), began(1, 10_000), Asked("quit", 12_000, ""), Ended(12_000), how=REHEARSED)
    assert lengths(comparison) == [10_000, *[None] * 9]
    assert comparison.real_ms is None
    rest_ms = sum(step.planned_ms for step in comparison.steps[1:])
    assert comparison.plan_ms is not None
    assert comparison.would_take_ms == 10_000 + rest_ms + comparison.plan_ms - comparison.planned_ms


def test_a_record_whose_end_was_never_written_is_told_up_to_there() -> None:
    assert lengths(told(began(0, 0), began(1, 10_000)))[:2] == [10_000, None]


def test_what_was_spoken_in_pauses_does_not_count() -> None:
    events = [began(0, 0), Spoke(1000, 3000), Paused(5000), Spoke(4000, 8000), WentOn(9000), Spoke(8500, 9500)]
    comparison = told(*events, Ended(14_000), how=REHEARSED)
    assert comparison.speech is not None
    assert (comparison.speech.spoken_ms, comparison.speech.over_ms) == (3500, 10_000)
    assert comparison.speech.words is None


@pytest.mark.parametrize(
    "events",
    [(), (OPENED,), (OPENED, Ended(10)), (began(0, 0), Ended(10))],
    ids=["nothing", "no step", "only an end", "no beginning"],
)
def test_a_record_in_which_nothing_begins_is_refused(events: Sequence[Event]) -> None:
    with pytest.raises(UnusableChoice) as refused:
        compare_record(STEPS, TIMELINE, "one.jsonl", events)
    expected = "one.jsonl: no step begins in this record (name the record of a class that was held)"
    assert str(refused.value) == expected


@pytest.mark.parametrize(
    "other", [Began(10, "rest", None, 0, 0), Began(-1, "rest", None, 0, 0), Began(0, "rest", None, 0, 0)]
)
def test_the_record_of_another_class_is_refused(other: Began) -> None:
    with pytest.raises(UnusableChoice) as refused:
        told(other)
    assert str(refused.value) == (
        f"one.jsonl: `rest` is not step {other.step + 1} of this class "
        "(name the record of this class, and the file as it was then)"
    )


@pytest.mark.parametrize(
    ("raw", "is_one"),
    [
        (b'{"event": "opened"}\n', True),
        (b'\n  {"event": "opened", "title"', False),
        (b'\n{"event": "began"}\n\xff', True),
        (b"WEBVTT\n", False),
        (b"[1]", False),
        (b"\xff\xfe", False),
        (b"", False),
        (b"[" * 100_000, False),
    ],
)
def test_a_record_is_known_by_its_first_line(raw: bytes, is_one: bool) -> None:
    assert is_record(raw) is is_one
