"""A file that is put in its place whole: whatever happens meanwhile, it is the old one or the new."""

import contextlib
import os
from pathlib import Path


def write_whole(path: Path, content: bytes) -> None:
    """Write `content` beside `path`, in folders made for it, and move it there once the disk has all of it.

    Raises OSError, and then leaves what was there.
    """
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        with part.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)
        raise
