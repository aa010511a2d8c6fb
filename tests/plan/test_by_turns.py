"""The voice leads the breath, and in and out come by turns: told of timelines alone, for random and shipped classes."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from class_texts import expand, read
from examples import tried
from hypothesis import given
from hypothesis import strategies as st
from plan_samples import Sample, by_turns, samples
from plan_texts import planned, steps_of

from guide.plan.checker import breaches
from guide.plan.grid import Grid
from guide.plan.timeline import CuePart, RingRole, Timeline
from guide.sequence.steps import Breath, Step, StepKind, Steps

SHIPPED = sorted((Path(__file__).parents[2] / "sequences").glob("*.yaml"))

#: Moves and holds without a pause between them, so that only what the plan gives keeps them by turns.
MOVES = st.lists(
    st.sampled_from(["inhale: Up.", "exhale: Down and down, to the floor, and further than that.", "exhale:"]),
    max_size=6,
)
HOLDS = st.sampled_from(["1 breath", "2 and a half breaths", "3 breaths"])


def led(steps: Steps, lead_ms: int) -> Steps:
    return replace(steps, steps=tuple(replace(step, lead_ms=lead_ms) for step in steps.steps))


@pytest.fixture(params=SHIPPED, ids=lambda path: path.stem)
def shipped(request: pytest.FixtureRequest) -> Steps:
    return expand(read(request.param))


def carried(timeline: Timeline) -> dict[int, tuple[int, int]]:
    """When the words of each move begin and end."""
    return {cue.step: (cue.start_ms, cue.end_ms) for cue in timeline.cues if cue.part is CuePart.MOVE}


@tried(200)
@given(samples())
def test_words_lead_their_breath_by_what_is_asked_or_by_what_there_is_room_for(sample: Sample) -> None:
    timeline = sample.planned()
    spans, ends_ms = timeline.spans, [0, *(cue.end_ms for cue in timeline.cues)]
    for number, (start_ms, _) in carried(timeline).items():
        leads_ms, asked_ms = spans[number].hold_ms - start_ms, sample.steps.steps[number].lead_ms
        assert 0 <= leads_ms <= asked_ms
        said_ms = max(end_ms for end_ms in ends_ms if end_ms <= start_ms)
        before = spans[number - 1] if number else None
        if leads_ms < asked_ms:
            assert before is not None and before.kind is StepKind.MOVE
            assert start_ms in (said_ms + 250, before.hold_ms, spans[number].hold_ms)


def as_before(steps: Steps, timeline: Timeline) -> None:
    """The words of every move begin with its breath, which lasts as it did before voices led."""
    said = carried(timeline)
    for number, (step, span) in enumerate(zip(steps.steps, timeline.spans, strict=True)):
        if step.kind is StepKind.MOVE and step.breath is not None:
            breath_ms, (start_ms, end_ms) = Grid(step.pace).move_ms(step.breath), said.get(number, (span.start_ms, 0))
            assert span.start_ms == span.hold_ms == start_ms
            if step.pair is None:
                assert span.end_ms - start_ms == max(breath_ms, end_ms - start_ms + 300)


def test_without_a_lead_a_shipped_class_is_timed_as_before(shipped: Steps) -> None:
    steps = led(shipped, 0)
    as_before(steps, planned(steps)[0])


@tried(100)
@given(samples())
def test_without_a_lead_any_class_is_timed_as_before(sample: Sample) -> None:
    steps = led(sample.steps, 0)
    as_before(steps, replace(sample, steps=steps).planned())


def test_in_a_shipped_class_no_cue_overlaps_the_hold_before_and_words_end_well_before_their_breath(
    shipped: Steps,
) -> None:
    timeline, _ = planned(shipped)
    said = carried(timeline)
    for number, (start_ms, _) in said.items():
        before = timeline.spans[number - 1] if number else None
        assert before is None or before.kind is StepKind.MOVE or start_ms >= before.held_ms
    leads_ms = sorted(timeline.spans[number].hold_ms - start_ms for number, (start_ms, _) in said.items())
    assert not leads_ms or leads_ms[len(leads_ms) // 2] == 1000


def test_in_a_shipped_class_the_chimes_of_a_run_go_up_and_down_by_turns(shipped: Steps) -> None:
    """Two like chimes have more than the breath of the first and the lead of the second between them."""
    timeline, _ = planned(shipped)
    breaths = [ring for ring in timeline.rings if ring.role in (RingRole.INHALE, RingRole.EXHALE)]
    for one, other in pairwise(breaths):
        assert one.step is not None and other.step is not None
        pace = shipped.steps[one.step].pace
        half = Breath.INHALE if one.role is RingRole.INHALE else Breath.EXHALE
        stretched_ms = timeline.spans[one.step].end_ms if shipped.steps[one.step].kind is StepKind.MOVE else 0
        over_ms = max(stretched_ms, one.start_ms + Grid(pace).move_ms(half))
        if one.role is other.role:
            assert other.start_ms > over_ms + 1000 or shipped.steps[other.step].entry, one


def halves(steps: Steps) -> list[Breath | None]:
    """The halves of a class of moves and holds in breaths, one after the other; None before one with entry words."""
    return [half for step in steps.steps for half in (*[None] * len(step.entry), *_halves(step))]


def _halves(step: Step) -> list[Breath]:
    if step.breath is not None:
        return [step.breath]
    assert step.hold is not None
    return [*[Breath.INHALE, Breath.EXHALE] * step.hold.usual, *[Breath.INHALE] * step.hold.and_a_half]


@tried(200)
@given(st.lists(st.tuples(HOLDS, MOVES), min_size=1, max_size=4), st.booleans())
def test_in_and_out_come_by_turns_and_what_is_given_is_no_more_than_that(
    parts: list[tuple[str, list[str]]], with_sides: bool
) -> None:
    lines = [line for hold, moves in parts for line in (f"pose: tree\n  hold: {hold}", *moves)]
    text = "".join(f"- {line}\n" for line in lines)
    if with_sides:
        text = "- both sides:\n" + "".join(f"    {line}\n" for line in text.splitlines())
    steps = steps_of(f"title: T\nsay names: no\nlibrary cues: no\nclass:\n{text}", Path())
    found = halves(steps)
    assert not any(one is other is not None for one, other in pairwise(found))
    written = halves(replace(steps, steps=tuple(step for step in steps.steps if not step.given)))
    missing = sum(one is other is not None for one, other in pairwise(written))
    assert len(found) == len(written) + missing
    timeline, word_ms = planned(steps)
    assert breaches(steps, timeline, word_ms) == ()
    assert by_turns(steps) == steps
