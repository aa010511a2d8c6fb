"""Hidden files beside a place, each locked by the run that writes it, so that what a killed run left is known."""

import contextlib
import os
import secrets
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

try:
    import fcntl
except ImportError:  # pragma: no cover - a system without flock refuses to delete a file that is open
    fcntl = None  # type: ignore[assignment]  # the one way to say "not on this system" of a module

#: What stands in the name of a file that becomes another one.
MARK = ".guide-part"

#: Of a target's name only so much goes into the hidden name, which may be no longer than the target's may.
NAME_CHARS = 24


@dataclass(frozen=True, slots=True)
class HiddenPart:
    """A hidden file and the lock on it, which goes with the process; None where there are no such locks."""

    path: Path
    lock: int | None

    def release(self) -> None:
        """Let go of the file, and take it away if it is still there."""
        if self.lock is not None:
            os.close(self.lock)
        with contextlib.suppress(OSError):
            self.path.unlink(missing_ok=True)


def open_part(place: Path, mark: str = MARK) -> HiddenPart:
    """A new, empty file beside `place`, with the permissions that that has or would get. Raises OSError."""
    while True:
        path = place.with_name(
            f".{place.stem[:NAME_CHARS]}{mark}-{os.getpid()}-{secrets.token_hex(4)}{place.suffix[:NAME_CHARS]}"
        )
        descriptor = os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, 0o666)
        with contextlib.suppress(OSError):
            path.chmod(stat.S_IMODE(place.stat().st_mode))
        if fcntl is None:
            os.close(descriptor)
            return HiddenPart(path, None)
        with contextlib.suppress(OSError):
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        # Another run may have taken the file for a leftover in the moment before it was locked.
        if path.exists():
            return HiddenPart(path, descriptor)
        os.close(descriptor)


def left_over(folder: Path, mark: str) -> Iterator[Path]:
    """The hidden files with that mark that killed runs left in a folder; each is locked until the next is asked for.

    Those of running programs, and what is no file of this user, are left out. Raises OSError.
    """
    if fcntl is None:
        return
    with os.scandir(folder) as entries:
        names = [entry.name for entry in entries if entry.name.startswith(".") and mark in entry.name]
    for name in names:
        with contextlib.suppress(OSError):
            descriptor = os.open(folder / name, os.O_RDWR | os.O_CLOEXEC | os.O_NOFOLLOW | os.O_NONBLOCK)
            try:
                fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
                is_file = stat.S_ISREG(os.fstat(descriptor).st_mode)
                if is_file and os.fstat(descriptor).st_uid == os.geteuid():
                    yield folder / name
            finally:
                os.close(descriptor)


def flush_to_disk(path: Path, flags: int = os.O_RDWR) -> None:
    """Wait until what is in a file, or in a folder opened with other flags, is on the disk. Raises OSError."""
    descriptor = os.open(path, flags)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
