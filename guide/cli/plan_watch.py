"""The plan of a class, drawn anew each time that a file of it is saved, until Ctrl-C."""

import time
from collections.abc import Callable, Iterable
from pathlib import Path

#: How often the files are looked at. A look at a few files costs nothing. It sees those that an editor replaces, or
#: that lie on a network, which watchers of the system may not, and it needs no library.
LOOK_S = 1.0

Stamp = tuple[tuple[int, int, int], ...]

_GONE = (0, 0, 0)


def stamp(paths: Iterable[Path]) -> Stamp:
    """What tells one state of files from another: which file it is, when it was written, and its size."""
    return tuple(_one(path) for path in paths)


def _one(path: Path) -> tuple[int, int, int]:
    try:
        found = path.stat()
    except OSError:
        return _GONE
    return found.st_ino, found.st_mtime_ns, found.st_size


def watch(
    draw: Callable[[], None], files: Callable[[], Iterable[Path]], pause: Callable[[float], None] = time.sleep
) -> None:
    """Draw, and draw again after every change of the files.

    A file that is gone is about to be replaced, and is waited for. `files` is asked after each drawing, as another
    state of the class may be read from others.
    """
    while True:
        # Stamped before they are read: what is saved meanwhile is drawn next.
        watched = tuple(files())
        drawn = stamp(watched)
        draw()
        while (now := stamp(watched)) == drawn or _is_being_replaced(drawn, now):
            pause(LOOK_S)


def _is_being_replaced(before: Stamp, now: Stamp) -> bool:
    return any(one == _GONE != was for was, one in zip(before, now, strict=True))
