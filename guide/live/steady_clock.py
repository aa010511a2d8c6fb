"""A steady clock (monotonic) that goes on while the machine sleeps, and knows nothing of the time of day."""

import sys
import time

#: No tick of the class comes so late by itself: the machine slept, or the program was stopped.
SLEPT_S = 5.0


def now_s() -> float:
    """Seconds from some moment on, sleep included; setting the clock of the machine does not change it.

    Source: clock_gettime(2) of Linux (CLOCK_MONOTONIC leaves sleep out there, CLOCK_BOOTTIME does not); of macOS, where
    CLOCK_MONOTONIC counts it; Python's monotonic clock on Windows does too (from memory).
    """
    if sys.platform == "linux":
        return time.clock_gettime(time.CLOCK_BOOTTIME)
    if sys.platform == "darwin":
        return time.clock_gettime(time.CLOCK_MONOTONIC)
    return time.monotonic()
