"""A rehearsal that is listened to: the script follows a voice, keys go before it, and the record has where it spoke.

The voice is made of two values, the detector is told which is speech; all else is real.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest
from rehearsals import Clock, Noted, class_of, written
from taught import CLEAN, shipped_plan, taught

from guide.live.microphones.base import RATE_HZ, Heard
from guide.live.orders import Order
from guide.live.record import BY_VOICE, REHEARSED, Answered, Began, Ended, Opened, Record, Spoke
from guide.plan.step_names import step_names
from guide.plan.timeline import Timeline
from guide.rehearse.changes import Moves, changes
from guide.rehearse.microphone_listener import MicrophoneListener
from guide.rehearse.rehearsing import UNATTENDED_MS, Rehearsing
from guide.review.by_record import compare_record, listened_to, told
from guide.review.confidence import Basis
from guide.sequence.steps import Steps

SPEECH, QUIET = b"\x00\x10", b"\x00\x00"

TICK_MS = 50


class Held:
    """A microphone that is held open; the test speaks into it."""

    def __init__(self, heard: Heard) -> None:
        self.hand_on = heard
        self.is_lost = self.is_open = False
        self.kept = 0

    def open(self) -> None:
        self.is_open = True

    def keep(self) -> None:
        self.kept += 1

    def stop(self) -> None:
        self.is_open = False


class Room:
    """A rehearsal that is listened to, a clock, and a teacher who speaks when the test says so."""

    def __init__(self, steps: Steps, timeline: Timeline, path: Path, patched: pytest.MonkeyPatch) -> None:
        self.clock, self.held = Clock(patched), list[Held]()

        def held(heard: Heard) -> Held:
            self.held.append(Held(heard))
            return self.held[-1]

        self.ear = MicrophoneListener(timeline, lambda chunk: 0.99 if SPEECH in chunk else 0.01, held)
        self.ear.open()
        opened = Opened(timeline.title, "a.yaml", "0", "2026-11-25T19:00:00", timeline.length_ms, REHEARSED)
        record = Record(path)
        record.add(opened)
        made = changes(steps, Moves.TOGETHER)
        self.rehearsing = Rehearsing(steps, timeline, made, Noted(), record, opened, self.ear)
        self.rehearsing.start()

    def go_on(self, ms: int, says: Callable[[int], bool] = lambda at_ms: False) -> None:
        """Let time go by; `says` tells whether the teacher speaks so long after now."""
        for at_ms in range(0, ms, TICK_MS):
            self.clock.s += TICK_MS / 1000
            sample = SPEECH if says(at_ms) else QUIET
            self.held[0].hand_on(sample * (RATE_HZ * TICK_MS // 1000))
            self.rehearsing.tick()


@contextmanager
def room(steps: Steps, timeline: Timeline, path: Path) -> Iterator[Room]:
    with pytest.MonkeyPatch.context() as patched:
        yield Room(steps, timeline, path, patched)


def test_without_a_key_the_script_follows_the_voice_and_the_report_says_when_steps_began(tmp_path: Path) -> None:
    steps, timeline = shipped_plan("desk-break")
    truth = taught(timeline, replace(CLEAN, stretch=0.12), 5000, 4)
    first_ms = truth.starts_ms[0]
    spoken = [(one.start_ms - first_ms, one.end_ms - first_ms) for one in truth.said]
    ends_ms = truth.end_ms - first_ms

    def speaks(at_ms: int) -> bool:
        return any(start_ms <= at_ms < end_ms for start_ms, end_ms in spoken)

    with room(steps, timeline, tmp_path / "one.jsonl") as made:
        shown: list[bool] = []
        for second in range(ends_ms // 1000):
            made.go_on(1000, lambda at_ms, second=second: speaks(second * 1000 + at_ms))  # type: ignore[misc]
            now_ms = (second + 1) * 1000 + first_ms
            step = made.rehearsing.scene().step
            near = {number for number, start_ms in enumerate(truth.starts_ms) if abs(start_ms - now_ms) < 3000}
            under = max(number for number, start_ms in enumerate(truth.starts_ms) if start_ms <= now_ms)
            shown.append(step == under or bool(near & {step, step + 1}))
        made.rehearsing.order(Order.QUIT)
        made.rehearsing.order(Order.QUIT)
        comparison = compare_record(steps, timeline, "one.jsonl", made.rehearsing.events)
    print(f"the script shows the right step {sum(shown) / len(shown):.0%} of the time")
    assert sum(shown) / len(shown) > 0.8
    known = [step for step in comparison.steps if step.real_start_ms is not None and step.rests_on is Basis.VOICE]
    right = [abs((step.real_start_ms or 0) + first_ms - truth.starts_ms[step.number]) <= 2000 for step in known]
    print(f"{sum(right)} of {len(right)} starts that rest on a voice are within two seconds")
    assert sum(right) / len(right) > 0.9
    assert comparison.speech is not None
    true_ms = sum(end_ms - start_ms for start_ms, end_ms in spoken)
    assert comparison.speech.spoken_ms == pytest.approx(true_ms, rel=0.15)


def test_what_is_spoken_is_written_down_in_real_time_and_nothing_else_of_it(tmp_path: Path) -> None:
    steps, timeline = class_of()
    with room(steps, timeline, tmp_path / "one.jsonl") as made:
        made.go_on(2000)
        made.go_on(3000, lambda at_ms: True)
        made.go_on(4000)
        made.rehearsing.stop()
    (spoke,) = [event for event in written(made.rehearsing, tmp_path / "one.jsonl") if isinstance(event, Spoke)]
    assert spoke.real_ms == pytest.approx(2000, abs=150)
    assert spoke.until_ms == pytest.approx(5000, abs=200)
    assert (tmp_path / "one.jsonl").stat().st_size < 2000


def test_a_key_goes_before_the_voice(tmp_path: Path) -> None:
    steps, timeline = class_of()
    with room(steps, timeline, tmp_path / "one.jsonl") as made:
        made.go_on(4000, lambda at_ms: at_ms < 3000)
        made.rehearsing.order(Order.NEXT)
        assert made.rehearsing.scene().step == 1
        made.go_on(2000, lambda at_ms: at_ms < 1500)
        made.rehearsing.stop()
        comparison = compare_record(steps, timeline, "one.jsonl", made.rehearsing.events)
    assert comparison.steps[1].rests_on is Basis.PRESSED
    assert comparison.steps[1].real_start_ms == pytest.approx(4000, abs=2)


def test_in_a_pause_nothing_is_followed_and_what_is_spoken_does_not_count(tmp_path: Path) -> None:
    steps, timeline = class_of()
    with room(steps, timeline, tmp_path / "one.jsonl") as made:
        made.go_on(3000, lambda at_ms: True)
        made.go_on(1000)
        made.rehearsing.order(Order.PAUSE)
        made.go_on(120_000, lambda at_ms: at_ms % 7000 < 4000)
        assert made.rehearsing.scene().step == 0
        made.rehearsing.order(Order.PAUSE)
        made.go_on(2000)
        assert made.rehearsing.scene().step == 0
        made.rehearsing.stop()
        found = told(made.rehearsing.events, steps, timeline, "one.jsonl")
    assert sum(to_ms - from_ms for from_ms, to_ms in found.spoken) == pytest.approx(3000, abs=300)


def test_a_rehearsal_that_was_left_ends_by_itself_some_minutes_later(tmp_path: Path) -> None:
    steps, timeline = class_of()
    with room(steps, timeline, tmp_path / "one.jsonl") as made:
        for number in range(1, 8):
            made.rehearsing.order(Order.NEXT)
            assert made.rehearsing.scene().step == changes(steps, Moves.TOGETHER)[number].first
        planned_ms = made.rehearsing.scene().planned_ms
        made.go_on(planned_ms + UNATTENDED_MS - 1000)
        assert not made.rehearsing.scene().is_over
        made.go_on(2000)
        assert made.rehearsing.scene().is_over
        assert isinstance(made.rehearsing.events[-1], Ended)


def test_what_the_microphone_does_is_told_on_the_screen(tmp_path: Path) -> None:
    steps, timeline = class_of()
    with room(steps, timeline, tmp_path / "one.jsonl") as made:
        made.go_on(1000)
        assert made.rehearsing.scene().listens == "listening"
        made.go_on(1000, lambda at_ms: True)
        assert made.rehearsing.scene().listens == "hears you"
        made.held[0].is_lost = True
        assert made.rehearsing.scene().listens == "the microphone is gone: press the key"
        assert made.held[0].is_open and made.held[0].kept == 40
        made.ear.stop()
        assert not made.held[0].is_open


def test_what_was_spoken_before_it_began_counts_for_nothing(tmp_path: Path) -> None:
    steps, timeline = class_of()
    with room(steps, timeline, tmp_path / "one.jsonl") as made:
        made.rehearsing.has_begun = False
        made.go_on(30_000, lambda at_ms: at_ms < 20_000)
        assert made.rehearsing.scene().checks[2].words == "listening"
        made.rehearsing.order(Order.PAUSE)
        made.go_on(8000, lambda at_ms: 2000 <= at_ms < 5000)
        spoken = [event for event in written(made.rehearsing, tmp_path / "one.jsonl") if isinstance(event, Spoke)]
    assert len(spoken) == 1
    assert abs(spoken[0].real_ms - 2000) < 500 and abs(spoken[0].until_ms - 5000) < 500


def test_an_answer_afterwards_is_known_for_certain_and_written_down(tmp_path: Path) -> None:
    steps, timeline = class_of()
    with room(steps, timeline, tmp_path / "one.jsonl") as made:
        made.go_on(60_000, lambda at_ms: at_ms % 9000 < 3000)
        made.rehearsing.stop()
        made.rehearsing.answer(5, 41_000)
        comparison = compare_record(steps, timeline, "one.jsonl", written(made.rehearsing, tmp_path / "one.jsonl"))
        heard = listened_to(timeline, "", told(made.rehearsing.events, steps, timeline, ""))
    assert (comparison.steps[5].real_start_ms, comparison.steps[5].rests_on) == (41_000, Basis.PRESSED)
    assert heard.pins[5] == 41_000
    names = step_names(timeline.spans)
    named = [event for event in made.rehearsing.events if isinstance(event, Began | Answered)]
    assert Answered in map(type, named) and all(event.where == names[event.step] for event in named)


def test_steps_that_a_voice_let_begin_are_told_as_such_in_the_record(tmp_path: Path) -> None:
    steps, timeline = class_of()
    with room(steps, timeline, tmp_path / "one.jsonl") as made:
        made.go_on(200_000, lambda at_ms: at_ms % 25_000 < 6000)
        made.rehearsing.stop()
    began = [event for event in written(made.rehearsing, tmp_path / "one.jsonl") if isinstance(event, Began)]
    assert [event.by for event in began][:2] == ["", BY_VOICE]
    assert [event.step for event in began] == sorted(event.step for event in began)
