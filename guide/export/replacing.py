"""Which older files a new one may take the place of: what the program made itself, and never what it reads."""

import stat
from collections.abc import Callable, Mapping
from enum import Enum
from pathlib import Path

from guide.problem import UnusableChoice


class Replace(Enum):
    """What a file that is written may take the place of: what the program itself made, or anything that it can."""

    OWN = "what the program made"
    ANY = "whatever is there"


def check_may_replace(
    target: Path, whose: Callable[[Path], str], inputs: Mapping[Path, str], replace: Replace = Replace.OWN
) -> None:
    """Refuse a target that holds one of `inputs`, by whatever name; and, with OWN, what the program did not make.

    `inputs` are files that are read, each with what it is; `whose` says why a file is not the program's own.

    Raises:
        UnusableChoice: naming the target, what it is, and what to do.
    """
    is_input = next((what for path, what in inputs.items() if _is_same(path, target)), "")
    if is_input:
        raise UnusableChoice(f"{target}: this is {is_input}, and is never written over (name another file)")
    if replace is Replace.OWN and (why := _stays(target, whose)):
        raise UnusableChoice(
            f"{target}: there is a file of that name already, and {why} "
            "(name another, move it away, or write over it with --force)"
        )


def _is_same(path: Path, target: Path) -> bool:
    """Whether two names mean one file, through links and however they are spelt."""
    try:
        return path.samefile(target)
    except (OSError, ValueError):
        return False


def _stays(target: Path, whose: Callable[[Path], str]) -> str:
    """Why what is there is not to be replaced, nothing where it may be: an empty file is nobody's."""
    try:
        status = target.stat()
    except (OSError, ValueError):
        # Nothing is there, or whoever writes there will say what is wrong with it.
        return ""
    if not stat.S_ISREG(status.st_mode) or not status.st_size:
        return ""
    try:
        return whose(target)
    except OSError as error:
        return f"it cannot be read ({error.strerror})"
