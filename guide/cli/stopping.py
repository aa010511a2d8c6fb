"""A program that is asked to end puts away what it began, and says in a line what there is now."""

import signal
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

#: What asks to end, beside Ctrl-C: `kill`, and a terminal that goes.
ENDS = tuple(getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name))


class Stopped(BaseException):
    """The program was asked to end by a signal. As with Ctrl-C, everything on the way out is put away."""

    def __init__(self, number: int) -> None:
        self.number = number
        super().__init__(number)


@contextmanager
def stopping_in_order() -> Iterator[None]:
    """Signals that would end the program at once raise `Stopped`; those that it was started deaf to stay unheard."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return

    def stop(number: int, frame: FrameType | None) -> None:
        # Asked twice, it does not leave half of what it puts away.
        for each in before:
            signal.signal(each, signal.SIG_IGN)
        raise Stopped(number)

    before = [number for number in ENDS if signal.getsignal(number) is signal.SIG_DFL]
    for number in before:
        signal.signal(number, stop)
    try:
        yield
    finally:
        for number in before:
            signal.signal(number, signal.SIG_DFL)


def stop_line(error: BaseException) -> str:
    """What is told of a program that was stopped: what it adds itself stands in the notes of the error."""
    return ": ".join(("stopped", *getattr(error, "__notes__", ())))


def exit_code(error: BaseException) -> int:
    """As shells give it: 128 and the number of the signal."""
    return 128 + (error.number if isinstance(error, Stopped) else signal.SIGINT)


@contextmanager
def telling_what_is_left(paths: Sequence[Path]) -> Iterator[None]:
    """Stopped meanwhile, the program says whether the files are the old ones or the new ones."""
    before = list(map(_stamp, paths))
    try:
        yield
    except (KeyboardInterrupt, Stopped) as error:
        error.add_note(_left(paths[0], before[0] is not None, before != list(map(_stamp, paths))))
        raise


def _left(path: Path, was_there: bool, is_written: bool) -> str:
    if is_written:
        return f"{path} is written and whole"
    return f"{path} was not written, and the old one is whole" if was_there else f"{path} was not written"


def _stamp(path: Path) -> tuple[int, int] | None:
    try:
        status = path.stat()
    except OSError:
        return None
    return status.st_ino, status.st_mtime_ns
