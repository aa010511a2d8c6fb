"""Orders to a class under way: each makes a plan that keeps every promise, and leaves the past as it was."""

import random

import pytest
from live_courses import JUMPS, assert_heard_once, course, shipped

from guide.live.apply_order import JUST_BEGUN_MS, TURNS, apply_order
from guide.live.course import Course
from guide.live.end_on_time import kept_to
from guide.live.orders import Order
from guide.sequence.steps import CueKind, StepKind

#: After each tree an inhale is given before the exhale, and is a step of its own.
POSES = """
  - pose: mountain
    hold: 5 breaths
    say: Stand.
  - both sides:
      - inhale: Step out.
      - pose: tree
        hold: 4 to 6 breaths
        say: none
      - exhale: Step back.
  - rest: 2 to 4 min
"""


def title_at(made: Course, ms: int) -> str:
    return made.span_at(ms).title


def hold_of(made: Course, title: str) -> list[int]:
    return [span.breaths for span in made.timeline.spans if span.title == title]


def start_of(made: Course, number: int) -> int:
    return made.timeline.spans[number].hold_ms


def test_on_and_back_go_to_the_beginning_of_a_step() -> None:
    made = course(POSES)
    at_ms = start_of(made, 2) + 9000
    assert apply_order(made, Order.NEXT, at_ms).at_ms == made.timeline.spans[3].start_ms
    assert apply_order(made, Order.PREVIOUS, at_ms).at_ms == made.timeline.spans[1].start_ms
    assert apply_order(made, Order.AGAIN, at_ms).at_ms == made.timeline.spans[2].start_ms
    begun_ms = made.timeline.spans[2].start_ms + JUST_BEGUN_MS - 1
    assert apply_order(made, Order.AGAIN, begun_ms).at_ms == made.timeline.spans[1].start_ms


def test_on_from_the_last_step_is_the_end_and_back_from_the_first_is_its_beginning() -> None:
    made = course(POSES)
    assert apply_order(made, Order.NEXT, made.timeline.length_ms - 1).at_ms == made.timeline.length_ms
    assert apply_order(made, Order.PREVIOUS, 0).at_ms == made.timeline.spans[0].start_ms


def test_a_longer_hold_is_a_breath_longer_on_both_sides_while_the_other_is_to_come() -> None:
    made = course(POSES)
    at_ms = start_of(made, 2) + 9000
    turn = apply_order(made, Order.LONGER, at_ms)
    before = hold_of(made, "tree")
    assert hold_of(turn.course, "tree") == [before[0] + 1, before[1] + 1]
    assert turn.at_ms == at_ms
    assert turn.told == f"tree, right: {before[0] + 1} breaths"


def test_a_second_side_that_is_held_longer_leaves_the_first_as_it_was() -> None:
    made = course(POSES)
    at_ms = start_of(made, 6) + 9000
    turn = apply_order(made, Order.LONGER, at_ms)
    before = hold_of(made, "tree")
    assert hold_of(turn.course, "tree") == [before[0], before[1] + 1]
    # "Left" is said a little quicker than "right": the two are a pair no longer, and each has its own time to enter.
    assert turn.at_ms - start_of(turn.course, 6) == at_ms - start_of(made, 6)


def test_a_shorter_hold_never_cuts_the_breath_that_has_begun() -> None:
    made = course(POSES)
    turn = apply_order(made, Order.SHORTER, start_of(made, 2) + 1000)
    assert hold_of(turn.course, "tree")[0] == hold_of(made, "tree")[0] - 1
    last_ms = made.timeline.spans[2].held_ms - 100
    assert apply_order(made, Order.SHORTER, last_ms).told == "as short as it can be"


def test_nothing_is_longer_where_nothing_is_held() -> None:
    made = course(POSES)
    assert apply_order(made, Order.LONGER, start_of(made, 1) + 10).told == "nothing is held here"


def test_a_rest_by_the_clock_is_a_breath_longer() -> None:
    made = course(POSES)
    turn = apply_order(made, Order.LONGER, start_of(made, 9) + 5000)
    assert turn.course.timeline.length_ms == made.timeline.length_ms + 8000


def test_a_slower_pace_begins_with_the_next_step_and_not_on_the_second_side() -> None:
    made = course(POSES)
    turn = apply_order(made, Order.SLOWER, start_of(made, 2) + 5000)
    periods = [span.period_ms for span in turn.course.timeline.spans]
    assert periods[:3] == ["8000"] * 3
    assert periods[6] == "8000", "the twin of the step under way"
    assert periods[9] == "9000"


def test_sides_can_be_done_again_or_changed() -> None:
    made = course(POSES)
    at_ms = start_of(made, 2) + 5000
    assert apply_order(made, Order.SIDE_AGAIN, at_ms).at_ms == made.timeline.spans[1].start_ms
    assert apply_order(made, Order.OTHER_SIDE, at_ms).at_ms == made.timeline.spans[5].start_ms
    assert apply_order(made, Order.OTHER_SIDE, start_of(made, 6)).at_ms == made.timeline.spans[1].start_ms
    assert apply_order(made, Order.SIDE_AGAIN, start_of(made, 0)).told == "this has no sides"


def test_fewer_words_leave_names_and_breath_and_all_words_bring_the_others_back() -> None:
    made = shipped("lakeside-morning")
    at_ms = start_of(made, 1) + 1000
    fewer = apply_order(made, Order.FEWER_WORDS, at_ms)
    later = [cue for cue in fewer.course.timeline.cues if cue.step > 1 and cue.kind is not CueKind.COUNT]
    assert {cue.kind for cue in later} == {CueKind.NAME, CueKind.BREATH}
    again = apply_order(fewer.course, Order.ALL_WORDS, fewer.at_ms)
    assert again.course.timeline.cues == made.timeline.cues


def test_the_closing_rest_can_be_come_to_at_once() -> None:
    made = shipped("evening-lake")
    turn = apply_order(made, Order.REST, 600_000)
    assert title_at(turn.course, turn.at_ms) == "final rest"


def test_the_end_is_kept_by_fitting_what_is_to_come() -> None:
    made = shipped("lakeside-morning")
    at_ms = start_of(made, 30) + 100
    later = apply_order(made, Order.LONGER, start_of(made, 1) + 100).course
    turn = kept_to(later, at_ms, made.timeline.length_ms)
    assert abs(turn.course.timeline.length_ms - made.timeline.length_ms) < 1000
    past = [(span.start_ms, span.end_ms) for span in later.timeline.spans[:30]]
    assert [(span.start_ms, span.end_ms) for span in turn.course.timeline.spans[:30]] == past


def test_an_end_that_is_out_of_reach_is_told() -> None:
    made = shipped("lakeside-morning")
    told = kept_to(made, start_of(made, 60), 10 * 60_000).told
    assert told.startswith("ends ") and told.endswith(" later than asked: there is no more room")


def checked_runs(made: Course, orders: int, seed: int) -> None:
    """Random orders at random moments; every plan is proved by `replanned` itself."""
    draw = random.Random(seed)
    at_ms = draw.randrange(made.timeline.length_ms)
    wanted_ms = made.timeline.length_ms
    for _ in range(orders):
        order = draw.choice([*TURNS, None])
        number = made.number_at(at_ms)
        before = made.timeline.spans
        turn = kept_to(made, at_ms, wanted_ms) if order is None else apply_order(made, order, at_ms)
        after = turn.course.timeline.spans
        assert len(after) == len(before)
        if order in JUMPS:
            assert turn.course is made
        else:
            assert turn.at_ms == at_ms
            assert turn.course.number_at(turn.at_ms) == number
            assert_heard_once(made, turn.course, at_ms)
        made = turn.course
        assert 0 <= turn.at_ms <= made.timeline.length_ms
        at_ms = min(turn.at_ms + draw.randrange(60_000), made.timeline.length_ms - 1)
        if draw.random() < 0.1:
            at_ms = draw.randrange(made.timeline.length_ms)


@pytest.mark.parametrize("seed", range(8))
def test_random_orders_to_a_small_class_keep_every_promise(seed: int) -> None:
    checked_runs(course(POSES), 60, seed)


@pytest.mark.parametrize("name", ["desk-break", "breathing-practice", "evening-lake", "lakeside-morning"])
def test_random_orders_to_a_shipped_class_keep_every_promise(name: str) -> None:
    checked_runs(shipped(name), 60, 1)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["desk-break", "breathing-practice", "evening-lake", "lakeside-morning"])
def test_five_thousand_random_orders_keep_every_promise(name: str) -> None:
    checked_runs(shipped(name), 1250, 2)


def test_steps_that_are_held_are_those_that_orders_can_lengthen() -> None:
    made = course(POSES)
    for number, step in enumerate(made.steps.steps):
        told = apply_order(made, Order.LONGER, start_of(made, number)).told
        assert (told == "nothing is held here") == (step.kind in (StepKind.MOVE, StepKind.TALK))
