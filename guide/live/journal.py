"""Where a class is, kept on disk while it runs, so that it can go on after a crash or a power cut."""

import hashlib
import json
import os
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path

from guide.problem import MachineTrouble

#: Written at most so often: a memory card is not worn out.
EVERY_S = 1.0


@dataclass(frozen=True, slots=True)
class Bookmark:
    """A class under way: which file (by its path and the digest of its bytes), and the step, an index into its steps.

    The class goes on at the start of that step.
    """

    file: str
    digest: str
    step: int


def digest_of(raw: bytes) -> str:
    """What tells one state of a file from another."""
    return hashlib.sha256(raw).hexdigest()


class Journal:
    """Keeps one class in one small file, replaced as a whole, so that it is the old state or the new one."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._written_s: float | None = None
        self._last: Bookmark | None = None

    def note(self, bookmark: Bookmark, now_s: float) -> None:
        """Write where the class is, unless that was done within the last second; `now_s` is any steady clock.

        Raises:
            MachineTrouble: the file cannot be written.
        """
        if bookmark == self._last or (self._written_s is not None and now_s - self._written_s < EVERY_S):
            return
        beside = self._path.with_suffix(".new")
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            with beside.open("w", encoding="utf-8") as file:
                json.dump(asdict(bookmark), file)
                file.flush()
                os.fsync(file.fileno())
            beside.replace(self._path)
        except OSError as error:
            raise MachineTrouble(f"{self._path}: where the class is cannot be kept ({error.strerror})") from error
        self._last, self._written_s = bookmark, now_s

    def clear(self) -> None:
        """The class has ended: nothing is to be gone on with.

        Raises:
            MachineTrouble: the file is there, and cannot be taken away.
        """
        try:
            with suppress(FileNotFoundError, NotADirectoryError):
                self._path.unlink()
        except OSError as error:
            raise MachineTrouble(f"{self._path}: this cannot be taken away ({error.strerror})") from error


def bookmark_in(path: Path) -> Bookmark | None:
    """What the journal at `path` holds; None where there is none, or one that cannot be read."""
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
        return Bookmark(str(found["file"]), str(found["digest"]), int(found["step"]))
    except (OSError, ValueError, KeyError, TypeError):
        return None
