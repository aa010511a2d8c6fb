"""Doubtful starts: which are asked about, what is an answer, and what answers do to the steps around."""

from dataclasses import replace

import pytest
from examples import FULL
from heard_classes import heard_class
from taught import shipped_plan
from voiced import CLEAN_HEARD, GARBLED_HEARD, LIGHT_HEARD, voiced

from guide.problem import UnusableChoice
from guide.review.confidence import Basis
from guide.review.hearing import doubts as doubts_module
from guide.review.hearing.by_voice import Listened, listened, told_beside
from guide.review.hearing.doubts import SHORT_MS, SURE_ENOUGH, Doubt, answer_ms, answered, doubtful
from guide.review.hearing.posteriors import LikelyStart
from guide.sequence.steps import StepKind

#: In a full check the longest class is asked about too.
LONG = [("evening-lake", 1)] if FULL else []

DOUBT = Doubt(3, "warrior two", "right", (LikelyStart(222_000, 0.6), LikelyStart(231_000, 0.2)))


def test_long_steps_that_are_not_sure_are_asked_about_in_order() -> None:
    one = heard_class("lakeside-morning", GARBLED_HEARD, 1)
    doubts = doubtful(one.timeline, one.listened)
    assert doubts
    steps = [doubt.step for doubt in doubts]
    assert steps == sorted(steps)
    for doubt in doubts:
        span = one.timeline.spans[doubt.step]
        assert span.kind is not StepKind.MOVE and span.end_ms - span.start_ms >= SHORT_MS
        assert (doubt.title, doubt.side) == (span.title, span.side.value if span.side else "")
        assert doubt.likely_starts[0].probability < SURE_ENOUGH and 1 <= len(doubt.likely_starts) <= 3
        assert doubt.best_ms == doubt.likely_starts[0].at_ms
        apart = [abs(moment.at_ms - doubt.best_ms) for moment in doubt.likely_starts[1:]]
        assert all(ms > 2_000 for ms in apart)


def test_moves_are_never_asked_about_nor_what_has_been_answered(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(doubts_module, "SHORT_MS", 0)
    one = heard_class("desk-break", GARBLED_HEARD, 1)
    poses = [number for number, span in enumerate(one.timeline.spans) if span.kind is not StepKind.MOVE]
    asked = [doubt.step for doubt in doubtful(one.timeline, one.listened, sure=1.1, most=99)]
    assert asked == poses and len(poses) < len(one.timeline.spans)
    first = doubtful(one.timeline, one.listened, sure=1.1, most=99)[4]
    again = answered(one.timeline, one.listened, [(first, one.voiced.starts_ms[first.step])])
    asked = [doubt.step for doubt in doubtful(one.timeline, again, sure=1.1, most=99)]
    assert asked == [number for number in poses if number != first.step]


def test_of_many_doubts_the_least_sure_are_asked_about() -> None:
    one = heard_class("lakeside-morning", GARBLED_HEARD, 1)
    every, few = doubtful(one.timeline, one.listened, most=99), doubtful(one.timeline, one.listened, most=2)
    assert len(every) > 2 and len(few) == 2
    least = sorted(doubt.likely_starts[0].probability for doubt in every)[:2]
    assert sorted(doubt.likely_starts[0].probability for doubt in few) == least


def test_where_all_is_clear_nothing_is_asked() -> None:
    one = heard_class("desk-break", CLEAN_HEARD, 1)
    assert doubtful(one.timeline, one.listened) == ()


def test_of_another_class_nothing_is_asked() -> None:
    _, timeline = shipped_plan("breathing-practice")
    told = voiced(shipped_plan("lakeside-morning")[1], LIGHT_HEARD, 1)
    assert doubtful(timeline, listened(timeline, "a.wav", told.stretches, told.length_ms)) == ()


@pytest.mark.parametrize(
    ("text", "ms"),
    [
        ("yes", 222_000),
        (" Y ", 222_000),
        ("3:50", 230_000),
        ("03:50", 230_000),
        ("3:50.5", 230_500),
        ("63:50", 3_830_000),
        ("1:03:50", 3_830_000),
        ("skip", None),
        ("", None),
        ("no", None),
    ],
)
def test_an_answer_is_yes_or_a_time_or_none(text: str, ms: int | None) -> None:
    assert answer_ms(text, DOUBT, 4_000_000) == ms


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("perhaps", "`perhaps` is no answer (yes, a time such as 3:50, or skip)"),
        ("3:70", "`3:70` is no answer (yes, a time such as 3:50, or skip)"),
        ("350", "`350` is no answer (yes, a time such as 3:50, or skip)"),
        ("9:50", "`9:50` is after the end of the recording (yes, a time such as 3:50, or skip)"),
    ],
)
def test_what_is_no_answer_is_told(text: str, sentence: str) -> None:
    with pytest.raises(UnusableChoice) as caught:
        answer_ms(text, DOUBT, 300_000)
    assert str(caught.value) == sentence


def right(told: Listened, true_ms: tuple[int, ...]) -> int:
    return sum(
        bool(step.likely_starts) and abs(step.likely_starts[0].at_ms - ms) <= 2_000
        for step, ms in zip(told.told.steps, true_ms, strict=True)
    )


@pytest.mark.parametrize(("name", "seed"), [("starter", 1), ("breathing-practice", 4), *LONG])
def test_true_answers_make_the_steps_around_right_and_are_not_asked_again(name: str, seed: int) -> None:
    one = heard_class(name, GARBLED_HEARD, seed)
    true_ms = one.voiced.starts_ms
    doubts = doubtful(one.timeline, one.listened)
    again = answered(one.timeline, one.listened, [(doubt, true_ms[doubt.step]) for doubt in doubts])
    asked = {doubt.step for doubt in doubts}
    print(
        f"\n{right(one.listened, true_ms)} of {len(true_ms)} right, {right(again, true_ms)} with {len(asked)} answers"
    )
    assert asked and not asked & {doubt.step for doubt in doubtful(one.timeline, again)}
    assert right(again, true_ms) >= right(one.listened, true_ms) + len(asked) // 2
    taken = told_beside(one.steps, one.timeline, again).steps
    assert all((taken[step].real_start_ms, taken[step].rests_on) == (true_ms[step], Basis.PRESSED) for step in asked)


def test_answers_in_another_order_than_the_plan_are_told() -> None:
    one = heard_class("lakeside-morning", GARBLED_HEARD, 1)
    early, late = replace(DOUBT, step=20), replace(DOUBT, step=40)
    with pytest.raises(UnusableChoice, match="steps are said to begin in another order than planned"):
        answered(one.timeline, one.listened, [(early, 900_000), (late, 300_000)])
