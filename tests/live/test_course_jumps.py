"""Going elsewhere in a class: on and back, to a side, to the closing rest, as a teacher would want it."""

import pytest
from live_courses import course, shipped
from rows import each_row

from guide.live.apply_order import apply_order
from guide.live.course import Course
from guide.live.orders import Order
from guide.plan.timeline import RingRole

SECTIONS = """
  - section: One
  - pose: mountain
    hold: 3 breaths
    say: none
  - section: Two
  - pose: chair
    hold: 3 breaths
    say: none
"""

#: Two rounds of both sides, and then another thing that begins on the left.
SIDES = """
  - rounds: 2
    of:
      - both sides:
          - inhale: Step out.
          - pose: tree
            hold: 3 breaths
            say: none
  - both sides:
      - pose: warrior two
        hold: 3 breaths
        say: none
    first: left
"""

RESTS = """
  - rest: 1 min
  - pose: mountain
    hold: 5 breaths
    say: none
  - rest: 5 min
  - pose: chair
    hold: 5 breaths
    say: none
  - rest: 3 min
  - pose: easy seat
    hold: 5 breaths
    say: none
  - rest: 10 s
"""


def asked(made: Course, order: Order, number: int, into_ms: int = 5000) -> tuple[int, str]:
    """The step that an order goes to, given so long after a step began, and what is told."""
    turn = apply_order(made, order, made.timeline.spans[number].start_ms + into_ms)
    assert turn.course is made
    return made.number_at(turn.at_ms), turn.told


def test_on_into_a_section_rings_its_bell_and_on_again_does_not_wait_for_it() -> None:
    made = course(SECTIONS, "bells: {section: start, class: end}\n")
    first, second = made.timeline.spans
    bell = next(
        ring for ring in made.timeline.rings if ring.role is RingRole.SECTION and ring.start_ms > first.start_ms
    )
    assert apply_order(made, Order.NEXT, first.hold_ms + 5000).at_ms == bell.start_ms == first.end_ms
    assert made.number_at(bell.start_ms) == 1, "while its bell rings, the step that follows is under way"
    assert apply_order(made, Order.AGAIN, second.hold_ms + 5000).at_ms == second.start_ms


def test_on_from_the_last_step_lets_the_bell_close_the_class() -> None:
    made = course(SECTIONS, "bells: {section: start, class: end}\n")
    last = made.timeline.spans[-1]
    turn = apply_order(made, Order.NEXT, last.hold_ms + 1000)
    assert (turn.at_ms, turn.told) == (last.end_ms, "the end")
    assert made.timeline.rings[-1].start_ms == last.end_ms
    assert apply_order(made, Order.NEXT, last.end_ms + 100).at_ms == made.timeline.length_ms


@each_row(
    "order, number, goes_to",
    [
        (Order.OTHER_SIDE, 0, 2),
        (Order.OTHER_SIDE, 3, 0),
        (Order.OTHER_SIDE, 5, 6),
        (Order.OTHER_SIDE, 7, 4),
        (Order.OTHER_SIDE, 8, 9),
        (Order.OTHER_SIDE, 9, 8),
        (Order.SIDE_AGAIN, 3, 2),
        (Order.SIDE_AGAIN, 5, 4),
        (Order.SIDE_AGAIN, 7, 6),
        (Order.SIDE_AGAIN, 8, 8),
    ],
)
def test_the_other_side_is_that_of_the_same_thing_in_the_same_round(order: Order, number: int, goes_to: int) -> None:
    assert asked(course(SIDES), order, number)[0] == goes_to


def test_sides_that_are_written_apart_are_sides_of_one_thing_by_the_name_of_the_pose() -> None:
    made = shipped("evening-lake")
    right = next(n for n, step in enumerate(made.steps.steps) if step.title == "one knee to chest")
    assert asked(made, Order.OTHER_SIDE, right)[0] == right + 1
    assert asked(made, Order.OTHER_SIDE, right + 1)[0] == right


def test_a_side_without_another_says_so() -> None:
    made = course("\n  - pose: tree\n    side: right\n    hold: 3 breaths\n    say: none\n")
    assert asked(made, Order.OTHER_SIDE, 0) == (0, "this has one side only")
    assert asked(course(SECTIONS), Order.OTHER_SIDE, 0) == (0, "this has no sides")


@pytest.mark.parametrize(("number", "goes_to"), [(0, 4), (1, 4), (3, 4)])
def test_the_closing_rest_is_the_last_long_one_to_come(number: int, goes_to: int) -> None:
    assert asked(course(RESTS), Order.REST, number) == (goes_to, "rest")


def test_the_closing_rest_is_not_begun_again_and_a_pause_after_it_is_none() -> None:
    made = course(RESTS)
    assert asked(made, Order.REST, 4) == (4, "this is the closing rest")
    assert asked(made, Order.REST, 5) == (5, "no closing rest is to come")
    assert asked(course(SECTIONS), Order.REST, 1) == (1, "no closing rest is to come")


def test_a_class_that_ends_in_a_pose_by_the_clock_rests_in_it() -> None:
    made = shipped("starter")
    number, told = asked(made, Order.REST, 3)
    assert (made.timeline.spans[number].title, told) == ("final rest", "final rest")
