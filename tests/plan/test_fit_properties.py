"""What must hold for every class that is fitted to a slot, whatever has room in it."""

from dataclasses import replace
from itertools import pairwise

from examples import tried
from fit_samples import Class, classes, classes_with_a_rest, holds_of
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from plan_samples import Sample, samples

from guide.plan.checker import breaches
from guide.plan.class_length import around_ms
from guide.plan.fitting.chain import chain_of
from guide.plan.fitting.fit import fit
from guide.plan.fitting.leeway import Leeway, leeway_of
from guide.plan.step_lengths import grown_holds, measured, usually
from guide.sequence.steps import InTime

UNHURRIED = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]


def many(times: int) -> settings:
    return settings(tried(times), suppress_health_check=UNHURRIED)


def slots(draw: st.DataObject, made: Class) -> int:
    """A slot between the shortest and the longest of a class, or a little outside."""
    shortest_ms, longest_ms = made.ends_ms()
    return draw.draw(st.integers(max(1000, shortest_ms - 5000), longest_ms + 5000))


@many(120)
@given(classes(), st.data())
def test_a_fitted_class_keeps_every_promise(made: Class, data: st.DataObject) -> None:
    """Among them: nothing outside its bounds, both sides and all rounds equal, a missed slot told."""
    steps, timeline = made.planned(slots(data, made))
    assert "\n".join(str(breach) for breach in breaches(steps, timeline, made.word_ms)) == ""


@many(60)
@given(classes_with_a_rest(), st.data())
def test_the_slot_is_filled_to_the_millisecond_where_a_rest_has_room(made: Class, data: st.DataObject) -> None:
    shortest_ms, longest_ms = made.ends_ms()
    assume(shortest_ms < longest_ms)
    slot_ms = data.draw(st.integers(shortest_ms, longest_ms))
    leeway = leeway_of(made.steps, slot_ms, made.word_ms, made.sound_ms)
    assume(leeway.closing is not None and has_room_for_a_breath(leeway))
    steps, timeline = made.planned(slot_ms)
    closing = leeway.timed[leeway.closing or 0]
    hold = steps.steps[closing.numbers[0]].hold
    assert isinstance(hold, InTime)
    if hold.usual_ms in (hold.least_ms, closing.least_ms, closing.most_ms):
        # At its end it cannot make up for breaths that begin on whole milliseconds.
        assert abs(slot_ms - timeline.length_ms) <= len(steps.steps)
    else:
        assert 0 <= slot_ms - timeline.length_ms < len(closing.numbers)


def has_room_for_a_breath(leeway: Leeway) -> bool:
    """Whether the holds by the clock can make up for any one link of the chain, and for rounding."""
    lengths_ms = chain_of(leeway).lengths_ms
    largest_ms = max((after - before for before, after in pairwise(lengths_ms)), default=0)
    least_ms, most_ms = leeway.rests_ms
    return most_ms - least_ms >= largest_ms + 2 * len(leeway.led.steps)


@many(60)
@given(classes(), st.data())
def test_a_longer_slot_takes_no_breath_from_any_hold(made: Class, data: st.DataObject) -> None:
    one_ms, other_ms = sorted((slots(data, made), slots(data, made)))
    shorter, longer = holds_of(made.fitted(one_ms).steps), holds_of(made.fitted(other_ms).steps)
    assert all(one <= other for one, other in zip(shorter, longer, strict=True))


@many(20)
@given(classes(), st.data())
def test_a_class_is_fitted_the_same_again(made: Class, data: st.DataObject) -> None:
    slot_ms = slots(data, made)
    assert made.fitted(slot_ms) == made.fitted(slot_ms)


@many(40)
@given(classes(), st.data())
def test_a_fitted_class_has_at_its_own_length_nothing_to_gain(made: Class, data: st.DataObject) -> None:
    """Its usual holds are the fitted ones now; without a rest whose share would pull at them, they stay."""
    steps, timeline = made.planned(slots(data, made))
    assume(not any(isinstance(step.hold, InTime) and step.hold.least_ms < step.hold.most_ms for step in steps.steps))
    again = replace(made, steps=replace(steps, slot_ms=None))
    assert holds_of(again.fitted(timeline.length_ms).steps) == holds_of(steps)
    assert abs(again.length_ms(timeline.length_ms) - timeline.length_ms) < 1000


@many(40)
@given(classes())
def test_without_a_slot_nothing_gives(made: Class) -> None:
    fitted = fit(made.steps, made.word_ms, made.sound_ms)
    assert (fitted.steps, fitted.ease, fitted.notes) == (made.steps, None, ())


@many(40)
@given(samples())
def test_the_length_of_a_class_is_that_of_its_plan(sample: Sample) -> None:
    """As it is reckoned while a class is fitted: all that lies around its holds and moves, and these."""
    twins = measured(sample.steps.steps, sample.word_ms)
    held_ms = sum(hold.held_ms for one in twins for hold in grown_holds(one, usually(one)))
    assert around_ms(sample.steps, twins, sample.sound_ms) + held_ms == sample.planned().length_ms
