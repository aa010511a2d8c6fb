"""Spoken words kept on disk, each under a name made from everything that its sound depends on.

Safe with two programs at once: an entry is written beside its place and moved there whole. An entry that is damaged,
half of one, one that belongs under another name, or no file at all counts as absent. A disk that is full or may not be
written costs time, never the class.
"""

import contextlib
import hashlib
import json
import os
import secrets
import stat
import struct
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

#: The way entries are written; what has another is not found.
FORMAT = 2

#: What it is, its key, how many frames and measures, and a checksum of the key and all that follows.
_HEAD = struct.Struct("<4s40sIII")
_MAGIC = b"say2"

#: What a part of a voice has before it: what it is, its key, and a checksum of the key and the part.
_PART_HEAD = struct.Struct("<4s40sI")
_PART_MAGIC = b"voc1"

#: The folder in which music is kept as it is played, beside the words.
MUSIC = "music"

#: The kinds of entry by the ending of their names: spoken words, and what a voice keeps of itself to wake faster.
_CLIP, _PART = ".clip", ".voice"

#: A link is not followed, and whoever might write into a pipe is not waited for.
_PLAINLY = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


@dataclass(frozen=True, slots=True)
class CachedClip:
    """A finished clip (int16, mono, 48 kHz) and what was measured of it (float32, one row)."""

    pcm: NDArray[np.int16]
    measures: NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Freed:
    """What emptying the cache gave back."""

    bytes: int
    count: int


def cache_folder() -> Path:
    """Where spoken words are kept: `GUIDE_CACHE`, or the folder that the system has for such things."""
    named = os.environ.get("GUIDE_CACHE")
    if named:
        return Path(named)
    from platformdirs import user_cache_path

    return user_cache_path("practice-guide", appauthor=False) / "speech"


def cache_key(voice: str, version: str, rate: float, said: str, finish_version: str) -> str:
    """The name of an entry: a hash of everything that its sound depends on."""
    facts = json.dumps([FORMAT, voice, version, repr(float(rate)), said, finish_version])
    return hashlib.blake2b(facts.encode("utf-8"), digest_size=20).hexdigest()


def write_bytes(path: Path, content: bytes) -> None:
    """Write a new file."""
    path.write_bytes(content)


@dataclass(frozen=True, slots=True)
class Cache:
    """The entries in one folder."""

    folder: Path
    write: Callable[[Path, bytes], None] = write_bytes

    def load(self, key: str) -> CachedClip | None:
        """The entry `key`, or None where there is none, or a damaged one."""
        try:
            content = _read_plainly(self._path(key, _CLIP))
        except OSError:
            return None
        return unpacked(key, content)

    def load_part(self, key: str) -> bytes | None:
        """What a voice keeps of itself under `key`, or None where there is nothing, or it is damaged."""
        try:
            content = _read_plainly(self._path(key, _PART))
        except OSError:
            return None
        head, body = content[: _PART_HEAD.size], content[_PART_HEAD.size :]
        return body if head == _part_head(key, body) else None

    def has(self, key: str) -> bool:
        """Whether there is an entry `key`; whether it is whole shows when it is loaded."""
        try:
            return stat.S_ISREG(self._path(key, _CLIP).lstat().st_mode)
        except OSError:
            return False

    def changed_ns(self) -> int:
        """When an entry was kept last, as the system's clock had it; 0 where there is none."""
        try:
            return max((folder.stat().st_mtime_ns for folder in os.scandir(self.folder)), default=0)
        except OSError:
            return 0

    def store(self, key: str, kept: CachedClip) -> bool:
        """Keep an entry. False when the disk would not have it, which leaves nothing behind."""
        return self._write(self._path(key, _CLIP), packed(key, kept))

    def store_part(self, key: str, part: bytes) -> bool:
        """Keep a part of a voice, as `store` keeps an entry."""
        return self._write(self._path(key, _PART), _part_head(key, part) + part)

    def _write(self, path: Path, content: bytes) -> bool:
        part = path.with_name(f".{path.stem}.{os.getpid()}.{secrets.token_hex(4)}.part")
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            self.write(part, content)
            part.replace(path)
        except OSError:
            with contextlib.suppress(OSError):
                part.unlink()
            return False
        return True

    def clear(self) -> Freed:
        """Take every entry away, all music, and what a killed program left of one."""
        freed, count = 0, 0
        for path in self._files():
            with contextlib.suppress(OSError):
                size = path.stat().st_size
                path.unlink()
                freed, count = freed + size, count + (path.suffix == _CLIP)
        for folder in list(self.folder.glob("[0-9a-f][0-9a-f]")):
            with contextlib.suppress(OSError):
                folder.rmdir()
        return Freed(freed, count)

    def _path(self, key: str, kind: str) -> Path:
        return self.folder / key[:2] / f"{key}{kind}"

    def _files(self) -> Iterator[Path]:
        for pattern in (f"*{_CLIP}", f"*{_PART}", ".*.part"):
            yield from self.folder.glob(f"[0-9a-f][0-9a-f]/{pattern}")
        yield from self.folder.glob(f"{MUSIC}/*")


def packed(key: str, kept: CachedClip) -> bytes:
    """An entry as bytes: its key, lengths and a checksum, the samples, the measures; little-endian on every machine."""
    body = kept.pcm.astype("<i2").tobytes() + kept.measures.astype("<f4").tobytes()
    return _HEAD.pack(_MAGIC, key.encode(), kept.pcm.size, kept.measures.size, _checksum(key, body)) + body


def unpacked(key: str, content: bytes) -> CachedClip | None:
    """The entry `key` in these bytes, or None when it is another, or a single byte is not as it was written."""
    if len(content) < _HEAD.size:
        return None
    magic, name, frames, measures, checksum = _HEAD.unpack_from(content)
    body = memoryview(content)[_HEAD.size :]
    if (magic, name) != (_MAGIC, key.encode()) or len(body) != 2 * frames + 4 * measures:
        return None
    if _checksum(key, body) != checksum:
        return None
    pcm = np.frombuffer(body[: 2 * frames], "<i2").astype(np.int16, copy=False)
    return CachedClip(pcm, np.frombuffer(body[2 * frames :], "<f4").astype(np.float32, copy=False))


def _part_head(key: str, part: bytes | memoryview) -> bytes:
    return _PART_HEAD.pack(_PART_MAGIC, key.encode(), _checksum(key, part))


def _checksum(key: str, body: bytes | memoryview) -> int:
    return zlib.crc32(body, zlib.crc32(key.encode()))


def _read_plainly(path: Path) -> bytes:
    """What is in a file. Raises OSError, also for what is none."""
    with os.fdopen(os.open(path, _PLAINLY), "rb") as file:
        if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
            raise OSError(f"{path} is no file")
        return file.read()
