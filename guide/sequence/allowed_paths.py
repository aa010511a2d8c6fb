"""Paths named in a sequence file: only files at or below the folder of the file itself may be named."""

from pathlib import Path, PureWindowsPath


class NotAllowed(Exception):
    """A path that may not be used or leads nowhere: what is wrong, and what to write."""

    def __init__(self, what: str, fix: str) -> None:
        self.what = what
        self.fix = fix
        super().__init__(f"{what} ({fix})")


def below(folder: Path, written: str) -> Path:
    """The whole path of the file `written` in `folder` or below it, links followed.

    Raises:
        NotAllowed: when the path leaves the folder, is not there, or is not a file.
    """
    path = inside(folder, written)
    if path.is_dir():
        raise NotAllowed(f"`{_shown(written)}` is a folder", "name a file in it")
    return path


def inside(folder: Path, written: str) -> Path:
    """The same of a file or a folder. Raises NotAllowed."""
    shown = _shown(written)
    if Path(written).is_absolute() or PureWindowsPath(written).drive or written.startswith(("/", "\\", "~")):
        raise NotAllowed(f"`{shown}` is a whole path", "write it as seen from the folder of this file")
    try:
        home = folder.resolve()
        path = (home / written).resolve()
        if not path.is_relative_to(home):
            raise NotAllowed(f"`{shown}` leads out of the folder of this file", "put it beside this file or below it")
        if path.is_file() or path.is_dir():
            return path
    except (OSError, ValueError, RuntimeError) as error:
        raise NotAllowed(f"`{shown}` cannot be used as a path", "name a file beside this one or below it") from error
    raise NotAllowed(f"there is no file `{shown}`", "mend its name, or put it beside this file or below it")


def _shown(written: str) -> str:
    return written if len(written) <= 60 else f"{written[:57]}…"
