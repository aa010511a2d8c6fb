"""A soft bell through one speaker: `python -m guide.live.speakers.trial NAME`."""

import sys
import threading
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from guide.live.device_errors import NoDevice
from guide.live.device_trial import Outcome, Trial, answer
from guide.live.speakers import SPEAKERS
from guide.live.speakers.base import CONNECT, Loudspeaker
from guide.problem import GuideError
from guide.units import frames_from_ms

#: What is rung, how loud its peak is, and how much of it.
BELL = "small bowl"
PEAK_DBFS = -30.0
BELL_MS = 1500
_FADE_MS = 300

#: An output that has not taken the bell so long after it should have takes no sound.
TAKES_S = 3.0


def tried(name: str) -> Trial:
    """Ring the bell through an output, here and now, and say what came of it."""
    output = SPEAKERS[name]()
    ringing = _Ringing(soft_bell())
    try:
        output.start(ringing.pull)
    except NoDevice as trouble:
        return Trial(Outcome.ABSENT, trouble.what, trouble.mend)
    except GuideError as trouble:
        return Trial(Outcome.ABSENT, str(trouble))
    try:
        trial = _rung(output, ringing)
    finally:
        output.stop()
    return replace(trial, devices=output.devices())


def soft_bell() -> NDArray[np.float32]:
    """The beginning of a shipped bell, softly, faded out at its end: shape (frames, 2)."""
    from guide.sound.palette import load

    bell = load((BELL,), Path()).samples(BELL)[: frames_from_ms(BELL_MS)].copy()
    fade = frames_from_ms(_FADE_MS)
    bell[-fade:] *= np.linspace(1, 0, fade, dtype=np.float32)
    bell *= np.float32(10 ** (PEAK_DBFS / 20) / np.max(np.abs(bell)))
    return np.repeat(bell, 2).reshape(-1, 2)


class _Ringing:
    """A bell to be pulled, and silence after it; `over` is set once all of it has been."""

    def __init__(self, bell: NDArray[np.float32]) -> None:
        self._left = bell
        self.over = threading.Event()

    def pull(self, frames: int) -> NDArray[np.float32]:
        part, self._left = self._left[:frames], self._left[frames:]
        if not len(self._left):
            self.over.set()
        return np.concatenate([part, np.zeros((frames - len(part), 2), np.float32)])


def _rung(output: Loudspeaker, ringing: _Ringing) -> Trial:
    if not ringing.over.wait(BELL_MS / 1000 + TAKES_S):
        return Trial(Outcome.IDLE, "opens, but takes no sound", "start the sound server again")
    sink = output.sink()
    if sink is not None and sink.is_dummy:
        return Trial(Outcome.ABSENT, "plays into a sound server that has no loudspeaker", CONNECT)
    # What was pulled last is still on its way.
    time.sleep(output.latency_ms / 1000 + 0.1)
    return Trial(Outcome.WORKS, "plays (soft bell)")


def main(name: str) -> None:
    """What the child does."""
    answer(tried(name))


if __name__ == "__main__":
    main(sys.argv[1])
