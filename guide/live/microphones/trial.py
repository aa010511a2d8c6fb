"""A moment of listening with one microphone: `python -m guide.live.microphones.trial NAME`. Nothing of it is kept."""

import sys
import threading
from array import array
from math import log10

from guide.live.device_errors import NoDevice
from guide.live.device_trial import Outcome, Trial, answer
from guide.live.microphones import MICROPHONES
from guide.live.microphones.base import RATE_HZ
from guide.problem import GuideError

#: How long is listened, and how long it is waited for that.
LISTENS_S, WAITS_S = 0.5, 4.0


class _Loudest:
    """The loudest sample of what is heard; `over` is set once enough is."""

    def __init__(self) -> None:
        self.level = self._samples = 0
        self.over = threading.Event()

    def hear(self, sound: bytes) -> None:
        samples = array("h", sound[: len(sound) // 2 * 2])
        if sys.byteorder == "big":
            samples.byteswap()
        self.level = max(self.level, *(abs(sample) for sample in samples), 0)
        self._samples += len(samples)
        if self._samples >= LISTENS_S * RATE_HZ:
            self.over.set()


def tried(name: str) -> Trial:
    """Listen with a microphone, here and now, and say what came of it."""
    microphone, heard = MICROPHONES[name](RATE_HZ), _Loudest()
    try:
        microphone.start(heard.hear)
    except NoDevice as trouble:
        return Trial(Outcome.ABSENT, trouble.what, trouble.mend)
    except GuideError as trouble:
        return Trial(Outcome.ABSENT, str(trouble))
    try:
        if not heard.over.wait(WAITS_S):
            return Trial(Outcome.IDLE, "opens, but hears nothing", "start the sound server again")
    finally:
        microphone.stop()
    if not heard.level:
        return Trial(Outcome.IDLE, "opens, but is silent", "switch the microphone on in the system's sound settings")
    return Trial(Outcome.WORKS, f"hears (loudest {20 * log10(heard.level / 32768):.0f} dBFS)")


def main(name: str) -> None:
    """What the child does."""
    answer(tried(name))


if __name__ == "__main__":
    main(sys.argv[1])
