"""The two measures of time, milliseconds in plans and frames in sound, and how lengths are written and shown."""

import math
from fractions import Fraction

#: Frames a second of everything that is mixed. At 48 kHz one millisecond is exactly 48 frames, so a plan in
#: milliseconds has an exact place in the sound, and Opus takes the frames as they are.
RATE_HZ = 48_000

FRAMES_PER_MS = RATE_HZ // 1000


def frames_from_ms(ms: int) -> int:
    """The frame at which millisecond `ms` of the class begins (exact)."""
    return ms * FRAMES_PER_MS


def ms_from_frames(frames: int, rate_hz: int = RATE_HZ) -> int:
    """The length of `frames` frames in milliseconds, rounded up, so that a clip always fits the place it is given."""
    return -(-frames * 1000 // rate_hz)


def whole_ms(ms: Fraction | int) -> int:
    """The whole millisecond nearest to an exact one; halves go up."""
    return math.floor(Fraction(ms) + Fraction(1, 2))


def clock(ms: int) -> str:
    """`ms` as a teacher reads it: `0:00`, `12:05`, `1:02:03`; whole seconds, rounded down."""
    minutes, seconds = divmod(ms // 1000, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{seconds:02}" if hours else f"{minutes}:{seconds:02}"


def seconds_text(ms: int) -> str:
    """A short length in words: `4 s`, `4.2 s`, `1:30`."""
    if ms >= 60_000:
        return clock(ms)
    tenths = (ms + 50) // 100
    return f"{tenths // 10}.{tenths % 10} s" if tenths % 10 else f"{tenths // 10} s"


def at_most(ms: int) -> str:
    """How long something may last, rounded down so that it holds: `at most 4.4 s`."""
    return f"at most {seconds_text(ms // 100 * 100)}"


def so_many_breaths(breaths: int, and_a_half: bool) -> str:
    """`1 breath`, `4 breaths`, `4½ breaths`."""
    return f"{breaths}½ breaths" if and_a_half else so_many(breaths, "breath")


def so_many(count: int, noun: str) -> str:
    """`1 step`, `3 steps`."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"
