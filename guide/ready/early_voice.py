"""A voice that wakes before it is known what it is to say."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from guide.voice.cache import Cache, cache_folder
from guide.voice.registry import wake_default
from guide.voice.worker_pool import Waking


@contextmanager
def voice_waking(file: Path) -> Iterator[Waking | None]:
    """A voice that wakes while a class is read, if its file was changed since words were last kept: some are new then.

    It ends with the block, where nobody lets it speak.
    """
    try:
        is_changed = file.stat().st_mtime_ns > Cache(cache_folder()).changed_ns()
    except OSError:
        is_changed = False
    if not is_changed:
        yield None
        return
    waking = Waking(wake_default)
    waking.start()
    try:
        yield waking
    finally:
        waking.stop()
