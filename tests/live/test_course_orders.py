"""Random orders at random moments to random classes: no word is said twice, cut, or left out because of an order.

The classes have close words, words that may be left out, words at a breath, a time or the last breath, breaths counted
by voice and by chime, both sides, bells and odd paces. Every plan on the way is proved by `replanned` itself.
"""

from dataclasses import dataclass

from examples import tried
from hypothesis import given
from hypothesis import strategies as st
from live_courses import JUMPS, assert_begun_kept, assert_heard_once
from plan_samples import Sample, samples

from guide.live.apply_order import TURNS, apply_order
from guide.live.course import LEAD_MS, Course, OrderOutcome, begin, held, in_breaths, in_time, renewed, replanned
from guide.live.end_on_time import kept_to
from guide.live.orders import Order
from guide.plan.fixed_lengths import GAP_MS
from guide.sequence.steps import InBreaths, InTime

CHANGES = [order for order in TURNS if order not in JUMPS]


@dataclass(frozen=True, slots=True)
class End:
    """Keep the class to an end that is so many ms away from where it would be."""

    off_ms: int


@dataclass(frozen=True, slots=True)
class Renew:
    """Words have other lengths than was thought, by so many percent, a third of them."""

    percent: int
    which: int


@dataclass(frozen=True, slots=True)
class Stay:
    """One breath more, as a hold that is kept until told otherwise is given it."""


Asked = Order | End | Renew | Stay


@dataclass(frozen=True, slots=True)
class Press:
    """Something asked for at a part, from 0 to 1, of the class, or of the step under way."""

    asked: Asked
    part: float
    within_step: bool


CHANGED = st.one_of(
    st.sampled_from(CHANGES),
    st.sampled_from([Order.LONGER, Order.SHORTER]),
    st.just(Stay()),
    st.builds(End, st.integers(-90_000, 90_000)),
)
RENEWED = st.builds(Renew, st.integers(40, 180), st.integers(0, 2))


def presses(asked: st.SearchStrategy[Asked]) -> st.SearchStrategy[list[Press]]:
    return st.lists(st.builds(Press, asked, st.floats(0, 1), st.booleans()), min_size=1, max_size=6)


def course_of(sample: Sample) -> Course:
    return begin(sample.steps, sample.word_ms, sample.sound_ms, sample.planned())


def moment_of(made: Course, press: Press, at_ms: int) -> int:
    if not press.within_step:
        return int(press.part * (made.timeline.length_ms - 1))
    span = made.span_at(at_ms)
    return int(span.start_ms + press.part * max(0, span.end_ms - span.start_ms - 1))


def stayed(made: Course, at_ms: int) -> OrderOutcome:
    number = made.number_at(at_ms)
    span = made.timeline.spans[number]
    match made.steps.steps[number].hold:
        case InBreaths() as hold:
            return replanned(made, at_ms, "", steps=held(made, number, in_breaths(span.breaths + 1, hold)))
        case InTime() as hold:
            longer_ms = span.held_ms - span.hold_ms + 5000
            return replanned(made, at_ms, "", steps=held(made, number, in_time(longer_ms, hold)))
    return OrderOutcome(made, at_ms, "")


def other_lengths(made: Course, renew: Renew) -> dict[str, int]:
    return {
        text: ms * renew.percent // 100 if number % 3 == renew.which else ms
        for number, (text, ms) in enumerate(made.word_ms.items())
    }


def turned(made: Course, asked: Asked, at_ms: int) -> OrderOutcome:
    match asked:
        case Order():
            return apply_order(made, asked, at_ms)
        case End(off_ms):
            return kept_to(made, at_ms, max(at_ms, made.timeline.length_ms + off_ms))
        case Renew():
            return renewed(made, at_ms, other_lengths(made, asked))
        case Stay():
            return stayed(made, at_ms)


@given(samples(), presses(CHANGED))
@tried(120)
def test_no_word_is_said_twice_cut_or_left_out_because_of_an_order(sample: Sample, asked: list[Press]) -> None:
    made, at_ms = course_of(sample), 0
    for press in asked:
        at_ms = moment_of(made, press, at_ms)
        turn = turned(made, press.asked, at_ms)
        assert turn.at_ms == at_ms
        assert_heard_once(made, turn.course, at_ms)
        made = turn.course


@given(samples(), presses(CHANGED | RENEWED | st.sampled_from(JUMPS)))
@tried(60)
def test_words_that_learn_their_true_lengths_leave_what_has_begun(sample: Sample, asked: list[Press]) -> None:
    """Time goes on between two orders; only jumps go back."""
    made, at_ms = course_of(sample), 0
    for press in asked:
        at_ms = max(at_ms, moment_of(made, press, at_ms))
        turn = turned(made, press.asked, at_ms)
        if press.asked in JUMPS:
            # A jump that leads nowhere leaves what is about to begin as it was.
            if turn.at_ms != at_ms or turn.course is not made:
                assert_true_lengths(turn.course, turn.at_ms)
        else:
            assert turn.at_ms == at_ms
            assert_begun_kept(made, turn.course, at_ms)
            assert_true_lengths(turn.course, at_ms + LEAD_MS)
        made, at_ms = turn.course, min(turn.at_ms, turn.course.timeline.length_ms - 1)


def assert_true_lengths(made: Course, from_ms: int) -> None:
    later = [cue for cue in made.timeline.cues if cue.start_ms >= from_ms + GAP_MS]
    assert all(cue.length_ms == made.word_ms[cue.words] for cue in later)
