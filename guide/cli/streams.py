"""Standard input, output and error as a program may rely on them, whoever started it with one closed, full or gone."""

import contextlib
import errno
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TextIO

from guide.cli.tell import tell


def open_closed_streams() -> None:
    """Give the program the streams that it was started without, so that no file takes their place.

    Nothing can be read from them, what is told goes nowhere, and output fails as if its disk did.
    """
    for name, mode, flags in (("stdin", "r", os.O_RDONLY), ("stdout", "w", os.O_RDONLY), ("stderr", "w", os.O_WRONLY)):
        if getattr(sys, name) is None:
            descriptor = os.open(os.devnull, flags)
            os.set_inheritable(descriptor, True)
            setattr(sys, name, os.fdopen(descriptor, mode, encoding="utf-8", errors="replace"))


@contextmanager
def telling_lost_output() -> Iterator[None]:
    """Output that cannot be written ends the program with one line on standard error, and exit code 1."""
    try:
        yield
    except OSError as error:
        # Output that is not held back forgets what it could not write, so it is asked to write again.
        if not _fails(sys.stdout, "\n") and not _fails(sys.stderr, "\n"):
            raise
        with contextlib.suppress(OSError):
            why = "it is closed" if error.errno == errno.EBADF else error.strerror
            tell(f"standard output cannot be written: {why} (make room, or send it somewhere else)", err=True)
        raise SystemExit(1) from error
    finally:
        _let_go()


def _fails(stream: TextIO, text: str = "") -> bool:
    """Whether what was written to a stream, and some text, do not get out of it."""
    try:
        stream.write(text)
        stream.flush()
    except (OSError, ValueError):
        return True
    return False


def _let_go() -> None:
    """Forget what a stream did not take, which would be tried again, and complained of, when the interpreter ends."""
    for stream in (sys.stdout, sys.stderr):
        if _fails(stream):
            with contextlib.suppress(OSError, ValueError):
                nowhere = os.open(os.devnull, os.O_WRONLY)
                os.dup2(nowhere, stream.fileno())
                os.close(nowhere)
