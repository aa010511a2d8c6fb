"""Being served before other programs, and by how many cores: sound that comes late is a gap."""

import contextlib
import gc
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager

#: As sound servers give themselves. Source: PulseAudio, pulse-daemon.conf(5), `nice-level`.
NICE = -11

#: No thread of ours keeps another waiting for longer than this while it calculates, in seconds.
TURN_S = 0.001


def come_first() -> None:
    """Raise the priority of this thread and of what it starts; without permission it stays as it is.

    On Linux a user has it with `nice` at -11 or below in limits.conf(5), as the group `audio` often has. A program that
    was started to come after others does so.
    """
    if _now() <= 0:
        _set(NICE)


@contextmanager
def coming_first() -> Iterator[None]:
    """The program served before others, and none of its threads long before another, for as long as the block lasts.

    What is in memory by now is not searched for garbage meanwhile, which would hold everything up for 10 ms.
    """
    before_s = sys.getswitchinterval()
    sys.setswitchinterval(TURN_S)
    gc.freeze()
    come_first()
    try:
        yield
    finally:
        come_as_usual()
        gc.unfreeze()
        sys.setswitchinterval(before_s)


def come_as_usual() -> None:
    """Give back what was raised, for a thread or a process that nobody hears."""
    if _now() < 0:
        _set(0)


def cores() -> int:
    """On how many cores this program may run."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _now() -> int:
    return os.getpriority(os.PRIO_PROCESS, 0) if hasattr(os, "getpriority") else 0


def _set(nice: int) -> None:
    if hasattr(os, "setpriority"):
        with contextlib.suppress(OSError):
            os.setpriority(os.PRIO_PROCESS, 0, nice)
