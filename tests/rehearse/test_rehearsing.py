"""A rehearsal under way: what keys do, what is heard and shown, and that the report has what really happened."""

from itertools import pairwise
from pathlib import Path

import pytest
from examples import tried
from hypothesis import given
from hypothesis import strategies as st
from rehearsals import Clock, Noted, class_of, rehearsal, written
from taught import shipped_plan

from guide.live.apply_order import JUST_BEGUN_MS
from guide.live.orders import Order
from guide.live.record import Asked, Began, Ended, Opened, Paused, WentOn
from guide.live.scene import Ready, Script
from guide.live.steady_clock import SLEPT_S
from guide.plan.moment import begins_ms
from guide.rehearse.changes import Moves, changes
from guide.rehearse.rehearsing import TOLD_S, Rehearsing
from guide.review.by_record import compare_record

STEPS, TIMELINE = class_of()
CHANGES = changes(STEPS, Moves.TOGETHER)


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    return Clock(monkeypatch)


@pytest.fixture
def begun(clock: Clock, tmp_path: Path) -> tuple[Rehearsing, Noted]:
    return rehearsal(STEPS, TIMELINE, tmp_path / "one.jsonl")


def press(made: Rehearsing, clock: Clock, *pressed: tuple[float, Order]) -> None:
    """Let so many seconds go by before each order."""
    for after_s, order in pressed:
        clock.s += after_s
        made.order(order)


@pytest.mark.parametrize("key", [Order.NEXT, Order.PAUSE])
def test_until_a_key_begins_it_a_rehearsal_shows_what_is_ready(key: Order, clock: Clock, tmp_path: Path) -> None:
    made, noted = rehearsal(STEPS, TIMELINE, tmp_path / "one.jsonl", begins=False)
    for _ in range(3):
        press(made, clock, (60, Order.LONGER))
        made.tick()
    waiting = made.scene()
    assert isinstance(waiting, Ready) and waiting.is_good and not waiting.is_over
    assert [check.name for check in waiting.checks] == ["class", "sound", "begin", "keys"]
    assert noted.told == []
    press(made, clock, (1, key))
    script = made.scene()
    assert isinstance(script, Script) and (script.step, script.at_ms) == (0, 0)
    began = [event for event in written(made, tmp_path / "one.jsonl") if not isinstance(event, Opened)]
    assert [(type(event), event.real_ms) for event in began] == [(Began, 0)]


def test_one_that_is_left_before_it_began_has_nothing_written_down(clock: Clock, tmp_path: Path) -> None:
    made, _ = rehearsal(STEPS, TIMELINE, tmp_path / "one.jsonl", begins=False)
    press(made, clock, (1, Order.QUIT), (1, Order.NEXT))
    made.stop()
    assert made.scene().is_over and not made.has_begun
    assert [type(event) for event in written(made, tmp_path / "one.jsonl")] == [Opened]


def test_every_key_begins_the_next_change_and_the_last_one_ends_the_class(
    begun: tuple[Rehearsing, Noted], clock: Clock, tmp_path: Path
) -> None:
    made, noted = begun
    for number in range(len(CHANGES)):
        assert made.scene().step == CHANGES[number].first
        assert not made.scene().is_over
        press(made, clock, (10, Order.NEXT))
    assert made.scene().is_over
    events = written(made, tmp_path / "one.jsonl")
    assert [event.step for event in events if isinstance(event, Began)] == [change.first for change in CHANGES]
    assert events[-1] == Ended(10_000 * len(CHANGES))
    edges = [*(begins_ms(TIMELINE, change.first) for change in CHANGES), TIMELINE.length_ms]
    assert noted.told == [*pairwise(edges), "end"]
    made.order(Order.NEXT)
    assert events == written(made, tmp_path / "one.jsonl")


def test_the_report_is_made_of_what_the_record_has(
    begun: tuple[Rehearsing, Noted], clock: Clock, tmp_path: Path
) -> None:
    made, _ = begun
    press(made, clock, *[(7.5, Order.NEXT)] * len(CHANGES))
    assert tuple(made.events) == written(made, tmp_path / "one.jsonl")
    comparison = compare_record(STEPS, TIMELINE, "one.jsonl", made.events)
    assert comparison.real_ms == 7500 * len(CHANGES)


def test_a_pause_stops_the_time_and_the_sound(begun: tuple[Rehearsing, Noted], clock: Clock) -> None:
    made, noted = begun
    press(made, clock, (4, Order.PAUSE), (60, Order.PAUSE), (3, Order.NEXT))
    assert made.scene().at_ms == 7000
    assert noted.told[1:3] == ["pause", "go on"]


def test_a_key_in_a_pause_goes_on(begun: tuple[Rehearsing, Noted], clock: Clock) -> None:
    made, _ = begun
    press(made, clock, (4, Order.HUSH), (60, Order.NEXT))
    scene = made.scene()
    assert (scene.step, scene.at_ms, scene.is_paused) == (1, 4000, False)


def test_going_back_counts_for_nothing(begun: tuple[Rehearsing, Noted], clock: Clock) -> None:
    made, _ = begun
    press(made, clock, (10, Order.NEXT), (9, Order.AGAIN))
    assert (made.scene().step, made.scene().at_ms, made.scene().told) == (1, 10_000, "again: Inhale")
    press(made, clock, (4, Order.PREVIOUS))
    assert (made.scene().step, made.scene().at_ms) == (0, 0)
    press(made, clock, (3, Order.NEXT))
    assert (made.scene().step, made.scene().at_ms) == (1, 3000)
    # Just begun: the one before is meant.
    press(made, clock, (JUST_BEGUN_MS / 1000 - 0.1, Order.AGAIN))
    assert made.scene().step == 0
    press(made, clock, (0.1, Order.PREVIOUS))
    assert made.scene().step == 0


def test_it_ends_before_the_end_when_asked(begun: tuple[Rehearsing, Noted], clock: Clock) -> None:
    made, noted = begun
    press(made, clock, (9, Order.QUIT))
    assert not made.scene().is_over and made.scene().told == "once more to end"
    press(made, clock, (1, Order.QUIT))
    assert made.scene().is_over
    assert isinstance(made.events[-1], Ended) and Asked("quit", 10_000, "") in made.events
    assert noted.told[-1] == "end"
    made.stop()
    assert [type(event) for event in made.events][-2:] == [Asked, Ended]


def test_what_is_broken_off_from_outside_is_written_as_broken_off(
    begun: tuple[Rehearsing, Noted], clock: Clock
) -> None:
    made, _ = begun
    clock.s += 5
    made.stop()
    assert made.events[-2:] == [Asked("end now", 5000, ""), Ended(5000)]


def test_loudness_is_the_sounds_and_what_cannot_be_is_told(begun: tuple[Rehearsing, Noted], clock: Clock) -> None:
    made, _ = begun
    press(made, clock, (1, Order.CHIMES_UP))
    assert made.scene().told == "heard chimes up"
    press(made, clock, (1, Order.OTHER_SIDE))
    assert made.scene().told == "other side: that is for a class that is led"
    clock.s += TOLD_S
    assert made.scene().told == ""


def test_a_machine_that_has_slept_is_a_pause_from_when_it_fell_asleep(
    begun: tuple[Rehearsing, Noted], clock: Clock
) -> None:
    made, _ = begun
    clock.s += 4
    made.tick()
    clock.s += SLEPT_S + 600
    made.tick()
    assert made.scene().is_paused
    press(made, clock, (1, Order.PAUSE), (2, Order.NEXT))
    assert made.scene().at_ms == 6000
    assert Paused(4000, "the machine was asleep") in made.events
    assert WentOn(int((5 + SLEPT_S + 600) * 1000)) in made.events


def test_a_disk_that_is_full_is_told_and_the_report_is_whole(
    begun: tuple[Rehearsing, Noted], clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    from guide.live.record import Record
    from guide.problem import MachineTrouble

    def full(record: Record, event: object) -> None:
        raise MachineTrouble("one.jsonl: what happens cannot be written down (No space left on device)")

    made, _ = begun
    monkeypatch.setattr(Record, "add", full)
    press(made, clock, (10, Order.NEXT))
    made._notebook.close()
    assert made.scene().told.startswith("one.jsonl: what happens cannot be written down")
    press(made, clock, *[(10, Order.NEXT)] * (len(CHANGES) - 1))
    assert compare_record(STEPS, TIMELINE, "one.jsonl", made.events).real_ms == 10_000 * len(CHANGES)


def test_the_script_stands_still_while_a_key_is_due(begun: tuple[Rehearsing, Noted], clock: Clock) -> None:
    made, _ = begun
    clock.s += 600
    scene = made.scene()
    assert scene.step == 0
    assert scene.lines[scene.marked].step == 0
    assert scene.lines[scene.due].step == 1
    assert scene.behind_ms == 600_000 - scene.planned_ms
    assert scene.left_ms == TIMELINE.spans[-1].end_ms - TIMELINE.spans[1].start_ms


def test_it_tells_how_far_the_class_is_from_its_plan(begun: tuple[Rehearsing, Noted], clock: Clock) -> None:
    made, _ = begun
    first_ms = made.scene().planned_ms
    press(made, clock, (5, Order.NEXT))
    assert made.scene().behind_ms == 5000 - first_ms
    clock.s += 1
    assert made.scene().behind_ms == 5000 - first_ms
    assert made.scene().left_ms == TIMELINE.spans[-1].end_ms - TIMELINE.spans[1].start_ms - 1000


def test_with_a_key_at_each_move_every_step_is_a_change(clock: Clock, tmp_path: Path) -> None:
    made, _ = rehearsal(STEPS, TIMELINE, tmp_path / "one.jsonl", Moves.EACH)
    press(made, clock, *[(2, Order.NEXT)] * len(STEPS.steps))
    assert isinstance(made.events[-1], Ended)
    assert [step.real_ms for step in compare_record(STEPS, TIMELINE, "", made.events).steps] == [2000] * len(
        STEPS.steps
    )


ORDERS = st.sampled_from([Order.NEXT] * 4 + [Order.AGAIN, Order.PREVIOUS, Order.PAUSE, Order.HUSH, Order.VOICE_UP])


@given(pressed=st.lists(st.tuples(st.integers(0, 60_000), ORDERS), max_size=60))
@tried(60)
def test_whatever_is_pressed_each_change_lasted_as_it_did_the_last_time(
    pressed: list[tuple[int, Order]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Beside a model of a few lines: a list of how long each change lasted, which going back shortens."""
    steps, timeline = shipped_plan("desk-break")
    made_of = changes(steps, Moves.TOGETHER)
    with pytest.MonkeyPatch.context() as patched:
        clock = Clock(patched)
        made, _ = rehearsal(steps, timeline, tmp_path_factory.mktemp("r") / "one.jsonl")
        lasted, is_paused = [0], False
        for after_ms, order in pressed:
            clock.s += after_ms / 1000
            if not is_paused:
                lasted[-1] += after_ms
            if order in (Order.PAUSE, Order.HUSH):
                is_paused = order is Order.HUSH or not is_paused
            if order in (Order.NEXT, Order.AGAIN, Order.PREVIOUS):
                is_paused = False
            if order is Order.NEXT:
                lasted.append(0)
            if order is Order.PREVIOUS or (order is Order.AGAIN and lasted[-1] < JUST_BEGUN_MS):
                lasted = lasted[: max(1, len(lasted) - 1)]
            if order in (Order.AGAIN, Order.PREVIOUS):
                lasted[-1] = 0
            made.order(order)
            if len(lasted) > len(made_of):
                break
            scene = made.scene()
            assert scene.step in range(made_of[len(lasted) - 1].first, made_of[len(lasted) - 1].last + 1)
            assert scene.into_ms == pytest.approx(lasted[-1], abs=1)
        made.stop()
    comparison = compare_record(steps, timeline, "one.jsonl", made.events)
    ended = lasted[: min(len(lasted) - 1, len(made_of))]
    for change, length_ms in zip(made_of, ended, strict=False):
        real = [comparison.steps[number].real_ms for number in range(change.first, change.last + 1)]
        assert sum(each or 0 for each in real) == pytest.approx(length_ms, abs=len(pressed) + 1)
    began = {number for number, step in enumerate(comparison.steps) if step.real_start_ms is not None}
    reached = made_of[len(ended) - 1].last if ended else -1
    assert began >= set(range(reached + 1))
    assert max(began) <= (made_of[len(ended)].last if len(ended) < len(made_of) else reached)
