"""What must hold for every class: its plan passes the checker, is the same again, and is found by time."""

from dataclasses import replace

from examples import tried
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from plan_samples import Sample, samples
from plans_by_hand import dips_of

from guide.plan.checker import breaches
from guide.plan.moment import step_at
from guide.plan.timeline import Cue, Timeline
from guide.sequence.steps import StepKind

UNHURRIED = [HealthCheck.too_slow, HealthCheck.data_too_large]


def many(times: int) -> settings:
    return settings(tried(times), suppress_health_check=UNHURRIED)


@many(500)
@given(samples())
def test_every_plan_keeps_every_promise(sample: Sample) -> None:
    found = breaches(sample.steps, sample.planned(), sample.word_ms)
    assert "\n".join(map(str, found)) == ""


@many(100)
@given(samples())
def test_a_class_is_planned_the_same_again(sample: Sample) -> None:
    assert sample.planned() == sample.planned()


@many(100)
@given(samples(most_steps=4), st.data())
def test_the_step_under_way_is_the_one_that_a_plain_scan_finds(sample: Sample, data: st.DataObject) -> None:
    timeline = sample.planned()
    edges = [ms for span in timeline.spans for ms in (span.start_ms, span.end_ms)]
    near_edges = st.builds(int.__add__, st.sampled_from(edges), st.integers(-1, 1))
    times = data.draw(st.lists(near_edges | st.integers(-1, timeline.length_ms + 1), min_size=1, max_size=20))
    assert [step_at(timeline, ms) for ms in times] == [scanned(timeline, ms) for ms in times]


def scanned(timeline: Timeline, ms: int) -> int:
    return next((number for number, span in enumerate(timeline.spans) if ms < span.end_ms), len(timeline.spans) - 1)


@many(150)
@given(samples(most_steps=4), st.data())
def test_no_cue_may_move_by_a_fifth_of_a_second(sample: Sample, data: st.DataObject) -> None:
    timeline = sample.planned()
    fixed = [number for number, cue in enumerate(timeline.cues) if not may_stand_elsewhere(sample, cue)]
    assume(fixed)
    number = data.draw(st.sampled_from(fixed))
    by_ms = data.draw(st.integers(1, 200)) * data.draw(st.sampled_from([-1, 1]))
    cues = list(timeline.cues)
    cues[number] = replace(cues[number], start_ms=cues[number].start_ms + by_ms)
    cues.sort(key=lambda cue: cue.start_ms)
    moved = replace(timeline, cues=tuple(cues), dips=dips_of(tuple(cues)))
    assert breaches(sample.steps, moved, sample.word_ms)


def may_stand_elsewhere(sample: Sample, cue: Cue) -> bool:
    """Words that the file places may stand there or on an exhale; a talk on one side may begin or end its wait."""
    step = sample.steps.steps[cue.step]
    if step.kind is StepKind.TALK:
        return step.pair is not None
    return any(words.at is not None and (words.place, words.text) == (cue.place, cue.words) for words in step.words)
