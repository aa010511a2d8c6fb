"""Where a class is, kept on disk while it runs, so that it can go on after a crash, a power cut, or its end by hand.

Each class file has a journal of its own, in one folder.
"""

import hashlib
import json
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from guide.problem import MachineTrouble
from guide.whole_file import write_whole


@dataclass(frozen=True, slots=True)
class StepChange:
    """A step that orders have given another hold or pace, by its number; as text, `least usual most` of breaths or of
    ms, and the four parts of a breath in ms; empty where it is held by nothing."""

    step: int
    breaths: str
    ms: str
    pace: str


@dataclass(frozen=True, slots=True)
class Bookmark:
    """A class under way: which file (by its path and the digest of its bytes), and the step, an index into its steps.

    The class goes on at the start of that step, with what orders made of it: steps with another hold or pace, those
    that are led with few words, and how loud words, chimes and music are, as factors. `names` are those of all steps of
    its plan (see `step_names`), so that they are found in another plan of the file.
    """

    file: str
    digest: str
    step: int
    changes: tuple[StepChange, ...] = ()
    few: tuple[int, ...] = ()
    voice: float = 1.0
    bells: float = 1.0
    names: tuple[str, ...] = ()
    music: float = 1.0


def digest_of(raw: bytes) -> str:
    """What tells one state of a file from another."""
    return hashlib.sha256(raw).hexdigest()


class Journal:
    """Keeps the class of one file in one small file, replaced as a whole, so that it is the old state or the new one.

    `folder` holds those of all classes.
    """

    def __init__(self, folder: Path, file: str) -> None:
        self.path = folder / f"{hashlib.sha256(file.encode('utf-8', 'surrogateescape')).hexdigest()[:16]}.json"

    def note(self, bookmark: Bookmark) -> None:
        """Write where the class is.

        Raises:
            MachineTrouble: the file cannot be written.
        """
        try:
            write_whole(self.path, json.dumps(asdict(bookmark)).encode("utf-8", "surrogateescape"))
        except OSError as error:
            raise MachineTrouble(f"{self.path}: where the class is cannot be kept ({error.strerror})") from error

    def clear(self) -> None:
        """The class has ended: nothing is to be gone on with.

        Raises:
            MachineTrouble: the file is there, and cannot be taken away.
        """
        try:
            with suppress(FileNotFoundError, NotADirectoryError):
                self.path.unlink()
        except OSError as error:
            raise MachineTrouble(f"{self.path}: this cannot be taken away ({error.strerror})") from error

    def bookmark(self) -> Bookmark | None:
        """What is kept; None where there is nothing, or what cannot be read."""
        try:
            return _bookmark(json.loads(self.path.read_text(encoding="utf-8")))
        except (OSError, ValueError, KeyError, TypeError, RecursionError):
            return None


def _bookmark(found: dict[str, Any]) -> Bookmark:
    return Bookmark(
        file=str(found["file"]),
        digest=str(found["digest"]),
        step=int(found["step"]),
        changes=tuple(
            StepChange(int(each["step"]), str(each["breaths"]), str(each["ms"]), str(each["pace"]))
            for each in found["changes"]
        ),
        few=tuple(int(number) for number in found["few"]),
        voice=float(found["voice"]),
        bells=float(found["bells"]),
        names=tuple(str(name) for name in found.get("names", ())),
        music=float(found.get("music", 1.0)),
    )
