"""A device of the test's own, which pulls when the test says so, and a class led on it."""

from collections.abc import Callable

import numpy as np
from live_machine import Clock
from live_mixes import ramp

from guide.live.course import Course
from guide.live.leading import Leading
from guide.live.speakers.reconnecting import ReconnectingSpeaker
from guide.plan.timeline import Timeline
from guide.problem import MachineTrouble
from guide.sound.mixer import Mix
from guide.units import frames_from_ms


class Device:
    """Opens when there is a device, and pulls what the test asks for."""

    name = "test"
    latency_ms = 0
    there = True
    widens = False

    def sink(self) -> None:
        """No sound server tells."""

    def __init__(self) -> None:
        self.pull: Callable[[int], np.ndarray] | None = None
        self.alive = False
        self.clock = Clock()

    def open(self, pull: Callable[[int], np.ndarray], asked: str | None) -> "Device":
        if not self.there:
            raise MachineTrouble("no device")
        self.pull, self.alive = pull, True
        return self

    def stop(self) -> None:
        self.alive = False

    def play(self, ms: int) -> np.ndarray:
        assert self.pull is not None
        return self.pull(frames_from_ms(ms))


def remix(timeline: Timeline) -> Mix:
    return ramp(frames_from_ms(timeline.length_ms))


def led(device: Device, made: Course, **more: object) -> Leading:
    sounding = ReconnectingSpeaker()
    sounding.open()
    made_leading = Leading(made, remix, sounding, **more)  # type: ignore[arg-type]
    made_leading.start()
    return made_leading
