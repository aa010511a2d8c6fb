"""What sound libraries write to the terminal by themselves, kept out of it."""

import functools
import os
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

#: The terminal is one for the whole program: whoever comes second would put back what the first had taken away.
_ONE_AT_A_TIME = threading.RLock()

_STANDARD_ERROR = 2


@contextmanager
def quiet_stderr() -> Iterator[None]:
    """Keeps what the system's sound library writes to standard error out of the terminal.

    Where there is no device that is pages of it, around the one line that matters. On Linux it lasts, since a device
    that goes is lamented from a thread of the library's own, in the middle of the screen.
    """
    with _ONE_AT_A_TIME:
        kept = None if _libraries_are_hushed() else _turned_away()
        try:
            yield
        finally:
            if kept is not None:
                os.dup2(kept, _STANDARD_ERROR)
                os.close(kept)


@functools.cache
def _libraries_are_hushed() -> bool:
    """Whether libraries in C write their errors nowhere from now on; Python and other programs write them as before.

    Source: The GNU C Library manual, "Standard Streams": stderr is a variable which you can set just like any other.
    """
    try:
        is_gnu = "CS_GNU_LIBC_VERSION" in os.confstr_names and bool(os.confstr("CS_GNU_LIBC_VERSION"))
    except (AttributeError, ValueError, OSError):
        return False
    if not is_gnu:
        return False
    import ctypes

    library = ctypes.CDLL(None)
    library.fopen.restype = ctypes.c_void_p
    nowhere = library.fopen(os.devnull.encode(), b"w")
    if nowhere:
        ctypes.c_void_p.in_dll(library, "stderr").value = nowhere
    return bool(nowhere)


def _turned_away() -> int | None:
    """Standard error as it was, now that it leads nowhere; None for a program that has none."""
    if sys.stderr is not None:
        sys.stderr.flush()
    try:
        kept = os.dup(_STANDARD_ERROR)
    except OSError:
        return None
    with Path(os.devnull).open("wb") as nowhere:
        os.dup2(nowhere.fileno(), _STANDARD_ERROR)
    return kept
