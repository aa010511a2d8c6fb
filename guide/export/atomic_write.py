"""Files that are whole or not there: written beside the target under a hidden name, moved into place at the end."""

import contextlib
import errno
import os
import stat
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from pathlib import Path

from guide.export.hidden_part import MARK, HiddenPart, flush_to_disk, left_over, open_part
from guide.export.swap import end_swaps, swap, undisturbed
from guide.problem import GuideError, MachineTrouble, UnusableChoice

FULL = (errno.ENOSPC, errno.EDQUOT)
FORBIDDEN = (errno.EACCES, errno.EPERM, errno.EROFS)

#: Gives the path to write to for a target.
Beside = Callable[[Path], AbstractContextManager[Path]]


@dataclass(frozen=True, slots=True)
class _Waiting:
    """A target as it was named, the file that it means, and what is to become that."""

    target: Path
    place: Path
    part: HiddenPart


@contextmanager
def written_together() -> Iterator[Beside]:
    """Files that are written one after the other and take their places together, at the end.

    What is given takes a target and gives a path to write to in its folder. Until the end, and for good if the body
    raises or the program is killed, old targets stay as they were. A link is followed, and the file behind it replaced.
    What a killed run left in a folder is removed first; a swap that it had begun is ended.

    Raises: UnusableChoice, MachineTrouble, naming the target that cannot be written; also for an OSError that names no
    other file while that is written.
    """
    waiting: list[_Waiting] = []

    @contextmanager
    def beside(target: Path) -> Iterator[Path]:
        # Stopped between the two, it would leave a file that nobody knows of.
        with undisturbed():
            waiting.append(one := _opened(target))
        with _told_of(one):
            yield one.part.path

    try:
        yield beside
        _put_in_place(waiting)
    finally:
        for one in waiting:
            one.part.release()


@contextmanager
def atomic_file(target: Path) -> Iterator[Path]:
    """A path to write to in the folder of `target`; what is there at the end becomes `target` in one move.

    For the rest as `written_together`.
    """
    with written_together() as beside, beside(target) as part:
        yield part


def _opened(target: Path) -> _Waiting:
    place = Path(os.path.realpath(target))
    try:
        _refuse_what_is_no_file(place, target)
        clear_leftovers(place.parent)
        return _Waiting(target, place, open_part(place))
    except OSError as error:
        raise trouble_writing(target, error) from error


@contextmanager
def _told_of(one: _Waiting) -> Iterator[None]:
    """An error of the disk becomes one of the target, unless it names another file."""
    try:
        yield
    except OSError as error:
        if error.filename is None or str(error.filename) == str(one.part.path):
            raise trouble_writing(one.target, error) from error
        raise


def _put_in_place(waiting: list[_Waiting]) -> None:
    for one in waiting:
        with _told_of(one):
            flush_to_disk(one.part.path)
    try:
        swap([(one.part.path, one.place) for one in waiting])
    except OSError as error:
        named = [one.target for one in waiting if str(one.part.path) == str(error.filename)]
        raise trouble_writing((named or [waiting[0].target])[0], error) from error


def no_folder(target: Path) -> UnusableChoice:
    """That the folder of a file is not there, or is none."""
    if target.parent.exists():
        return UnusableChoice(f"{target}: {target.parent} is a file, not a folder (name another folder)")
    return UnusableChoice(f"{target}: there is no folder {target.parent} (make it first, or name another)")


def trouble_writing(target: Path, error: OSError) -> GuideError:
    """The fact behind `error`, met while writing `target`, and what to do about it."""
    if error.errno in FULL:
        return MachineTrouble(f"{target}: the disk is full (make room, or write to another disk)")
    if error.errno == errno.EFBIG:
        return MachineTrouble(f"{target}: the file grows too large for this disk (write to another disk)")
    if error.errno in FORBIDDEN:
        return MachineTrouble(f"{target}: no permission to write there (write to a folder of your own)")
    if error.errno == errno.ENOENT and target.parent.is_dir():
        return MachineTrouble(f"{target}: no file can be made in this folder (write to another one)")
    if error.errno in (errno.ENOENT, errno.ENOTDIR):
        return no_folder(target)
    if error.errno == errno.EISDIR:
        return UnusableChoice(f"{target}: this is a folder (add the name of a file)")
    if error.errno == errno.ENAMETOOLONG:
        return UnusableChoice(f"{target}: this name is too long for the disk (choose a shorter one)")
    reason = error.strerror or str(error) or type(error).__name__
    return MachineTrouble(f"{target}: cannot be written: {reason} (try another folder or disk)")


def clear_leftovers(folder: Path) -> None:
    """End the swaps that were killed in `folder`, and remove the hidden files that killed runs left there."""
    with contextlib.suppress(OSError):
        end_swaps(folder)
        for part in left_over(folder, MARK):
            part.unlink(missing_ok=True)


def _refuse_what_is_no_file(place: Path, target: Path) -> None:
    try:
        mode = place.stat().st_mode
    except FileNotFoundError:
        return
    if stat.S_ISDIR(mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(target))
    if not stat.S_ISREG(mode):
        raise UnusableChoice(f"{target}: this is a device or a pipe (name a file)")


def write_atomically(target: Path, text: str) -> None:
    """Write `text` to `target` as UTF-8, with line feeds, whole or not at all.

    Raises: as `written_together`.
    """
    write_bytes_atomically(target, text.encode())


def write_bytes_atomically(target: Path, content: bytes) -> None:
    """Write `content` to `target` whole or not at all.

    Raises: as `written_together`.
    """
    with atomic_file(target) as part:
        part.write_bytes(content)
