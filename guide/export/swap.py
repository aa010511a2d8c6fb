"""Files that take their places together, so that all of them are the old ones or all the new ones.

The new ones lie whole beside their places and are moved there back to back: two moves take less than a millisecond, and
a signal that asks the program to end waits until they are done. Against a kill or a power cut between them a journal
beside the first says which goes where, and is on the disk before anything is moved: whoever writes into that folder
next ends what it tells.
"""

import contextlib
import json
import os
import signal
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

from guide.export.hidden_part import MARK, flush_to_disk, left_over, open_part

#: What stands in the name of a journal.
JOURNAL_MARK = ".guide-swap"

#: Asked to end by these, a program ends its swap first.
ASKS_TO_END = tuple(getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name))

Move = tuple[Path, Path]


def swap(moves: Sequence[Move]) -> None:
    """Move each first path, which is on the disk, to its second. Raises OSError, naming the one that could not be."""
    with undisturbed(), _journal(moves):
        for part, place in moves:
            part.replace(place)
        for folder in {place.parent for _, place in moves}:
            with contextlib.suppress(OSError):
                flush_to_disk(folder, os.O_RDONLY)


def end_swaps(folder: Path) -> None:
    """End the swaps that were killed in a folder."""
    for journal in left_over(folder, JOURNAL_MARK):
        for part, place in _told(journal):
            with contextlib.suppress(OSError):
                part.replace(place)
        journal.unlink()


@contextmanager
def _journal(moves: Sequence[Move]) -> Iterator[None]:
    """A journal of the moves, as long as they last; one alone needs none, and on a full disk there is none."""
    if len(moves) < 2:
        yield
        return
    place = moves[0][1]
    journal = open_part(place, JOURNAL_MARK)
    try:
        with contextlib.suppress(OSError):
            told = [[os.path.relpath(path, place.parent) for path in move] for move in moves]
            journal.path.write_text(json.dumps(told), encoding="utf-8")
            flush_to_disk(journal.path)
            flush_to_disk(place.parent, os.O_RDONLY)
        yield
    finally:
        journal.release()


def _told(journal: Path) -> list[Move]:
    """The moves that a journal tells; none where it is not whole, for then nothing was moved."""
    try:
        told = [(journal.parent / part, journal.parent / place) for part, place in json.loads(journal.read_bytes())]
    except (OSError, ValueError, TypeError):
        return []
    return [(part, place) for part, place in told if MARK in part.name and part.is_file()]


@contextmanager
def undisturbed() -> Iterator[None]:
    """Signals that ask to end are kept, and given back afterwards."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    met: list[int] = []

    def keep(number: int, frame: FrameType | None) -> None:
        met.append(number)

    before = {number: signal.signal(number, keep) for number in ASKS_TO_END if signal.getsignal(number) is not None}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
        for number in met:
            signal.raise_signal(number)
