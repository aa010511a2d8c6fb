"""Files that are whole or not there: written beside the target under a hidden name, moved into place at the end."""

import contextlib
import errno
import os
import secrets
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from guide.problem import GuideError, MachineTrouble, UnusableChoice

try:
    import fcntl
except ImportError:  # pragma: no cover - a system without flock refuses to delete a file that is open
    fcntl = None  # type: ignore[assignment]  # the one way to say "not on this system" of a module

MARK = ".guide-part"

#: Of a target's name only so much goes into the hidden name, which may be no longer than the target's may.
NAME_CHARS = 24

FULL = (errno.ENOSPC, errno.EDQUOT)
FORBIDDEN = (errno.EACCES, errno.EPERM, errno.EROFS)


@contextmanager
def atomic_file(target: Path) -> Iterator[Path]:
    """A path to write to in the folder of `target`; what is there at the end becomes `target` in one move.

    Until then, and for good if the body raises or the program is killed, an old `target` stays as it was. A link is
    followed, and the file behind it replaced. What a killed run left in the folder is removed first.

    Raises: UnusableChoice, MachineTrouble, naming `target`, when it cannot be written; also for an OSError of the body
    that names no other file.
    """
    place = Path(os.path.realpath(target))
    try:
        _refuse_what_is_no_file(place, target)
        clear_leftovers(place.parent)
        part, lock = _open_part(place)
    except OSError as error:
        raise trouble_writing(target, error) from error
    try:
        yield part
        _move(part, place)
    except OSError as error:
        if error.filename is None or str(error.filename) == str(part):
            raise trouble_writing(target, error) from error
        raise
    finally:
        if lock is not None:
            os.close(lock)
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)


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
    if error.errno == errno.ENOENT:
        return UnusableChoice(f"{target}: there is no folder {target.parent} (make it first, or name another)")
    if error.errno == errno.ENOTDIR:
        return UnusableChoice(f"{target}: {target.parent} is a file, not a folder (name another folder)")
    if error.errno == errno.EISDIR:
        return UnusableChoice(f"{target}: this is a folder (add the name of a file)")
    if error.errno == errno.ENAMETOOLONG:
        return UnusableChoice(f"{target}: this name is too long for the disk (choose a shorter one)")
    reason = error.strerror or str(error) or type(error).__name__
    return MachineTrouble(f"{target}: cannot be written: {reason} (try another folder or disk)")


def clear_leftovers(folder: Path) -> None:
    """Remove the hidden files that killed runs left in `folder`; those of running programs are locked and stay."""
    if fcntl is None:
        return
    with contextlib.suppress(OSError), os.scandir(folder) as entries:
        for name in [entry.name for entry in entries if entry.name.startswith(".") and MARK in entry.name]:
            with contextlib.suppress(OSError):
                _remove_if_unlocked(folder / name)


def _remove_if_unlocked(part: Path) -> None:
    descriptor = os.open(part, os.O_RDWR | os.O_CLOEXEC | os.O_NOFOLLOW | os.O_NONBLOCK)
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        part.unlink()
    finally:
        os.close(descriptor)


def _refuse_what_is_no_file(place: Path, target: Path) -> None:
    try:
        mode = place.stat().st_mode
    except FileNotFoundError:
        return
    if stat.S_ISDIR(mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(target))
    if not stat.S_ISREG(mode):
        raise UnusableChoice(f"{target}: this is a device or a pipe (name a file)")


def _open_part(place: Path) -> tuple[Path, int | None]:
    """A new, empty file beside `place`, with the permissions that that has or would get, and the lock on it."""
    while True:
        part = place.with_name(
            f".{place.stem[:NAME_CHARS]}{MARK}-{os.getpid()}-{secrets.token_hex(4)}{place.suffix[:NAME_CHARS]}"
        )
        descriptor = os.open(part, os.O_RDWR | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, 0o666)
        with contextlib.suppress(OSError):
            part.chmod(stat.S_IMODE(place.stat().st_mode))
        if fcntl is None:
            os.close(descriptor)
            return part, None
        with contextlib.suppress(OSError):
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        # Another run may have taken the file for a leftover in the moment before it was locked.
        if part.exists():
            return part, descriptor
        os.close(descriptor)


def _move(part: Path, place: Path) -> None:
    _flush_to_disk(part, os.O_RDWR)
    part.replace(place)
    with contextlib.suppress(OSError):
        _flush_to_disk(place.parent, os.O_RDONLY)


def _flush_to_disk(path: Path, flags: int) -> None:
    descriptor = os.open(path, flags)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def write_atomically(target: Path, text: str) -> None:
    """Write `text` to `target` as UTF-8, with line feeds, whole or not at all.

    Raises: as `whole_file`.
    """
    with atomic_file(target) as part:
        part.write_bytes(text.encode())
