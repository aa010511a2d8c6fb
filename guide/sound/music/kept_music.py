"""Music from files, decoded once and kept as it is played: mono at 48 kHz in 16 bits, with its measures beside it.

A file streams through: memory does not grow with its length. What is kept has a name made from what is in the file, so
that a file that is moved away or changed while a class runs does not touch it.
"""

import contextlib
import hashlib
import os
import secrets
import threading
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from guide.problem import MachineTrouble, UnusableChoice
from guide.sound.clip_finish import to_int16
from guide.sound.music.measured import HOP_FRAMES, HopMeter, Hops
from guide.sound.music.tape import MusicPiece
from guide.sound.sound_files import Streamed, not_sound, streamed
from guide.units import RATE_HZ, clock

#: The way music is kept; what was kept in another is not found.
FORMAT = 2

#: What is kept is so much softer than the file, so that no peak that resampling makes is cut.
KEPT_GAIN = 0.5

#: What has not been played for the longest goes when more than this is kept.
MOST_KEPT_BYTES = 4_000_000_000

#: Silence before and after music is left out: what is so much softer than its loudest hop.
_SILENT = 10 ** (-60 / 20)

_LEAST_HOPS = 10
_FRAME_BYTES = 2
_PCM, _HOPS = ".pcm", ".npy"

Progress = Callable[[int, int], None]


class _Kept:
    """The kept sound of some music without the `silent` frames before it, read piece by piece, from any thread.

    Reading raises MachineTrouble where the disk has it no more.
    """

    def __init__(self, entry: "_Entry", silent: int) -> None:
        self._file = entry.pcm.open("rb", buffering=0)
        self._music, self._silent, self._lock = entry.music, silent, threading.Lock()

    def read(self, first: int, count: int) -> NDArray[np.int16]:
        frames = np.zeros(count, "<i2")
        try:
            with self._lock:
                self._file.seek((self._silent + first) * _FRAME_BYTES)
                got = self._file.readinto(frames.data)
        except OSError as error:
            raise self._gone(str(error.strerror)) from error
        if got != frames.nbytes:
            raise self._gone("it was cut off")
        return frames.astype(np.int16, copy=False)

    def _gone(self, why: str) -> MachineTrouble:
        return MachineTrouble(f"{self._music.name}: what is kept of this music cannot be read on ({why}; begin again)")


@dataclass(frozen=True, slots=True)
class _Entry:
    """The two files under one name that keep a file of `music`."""

    music: Path
    pcm: Path
    hops: Path

    def kept(self) -> MusicPiece | None:
        """What is kept; None where it is not, or not whole."""
        try:
            squares, peaks = np.load(self.hops, allow_pickle=False)
            if self.pcm.stat().st_size != squares.size * HOP_FRAMES * _FRAME_BYTES:
                return None
            os.utime(self.pcm)
            return _trimmed(self, Hops(squares, peaks))
        except (OSError, ValueError, EOFError):
            return None


def kept_piece(path: Path, folder: Path, progress: Progress | None = None) -> MusicPiece:
    """A music file as it is played, decoded into `folder` where it is not kept there; `progress` is told frames.

    Raises:
        UnusableChoice: it is no sound, holds none, or was cut off.
        MachineTrouble: a library is missing, or the disk does not have it.
    """
    entry = _entry(path, folder)
    piece = entry.kept()
    if piece is None:
        sound = streamed(path)
        try:
            folder.mkdir(parents=True, exist_ok=True)
            _keep(sound, entry, progress)
            _make_room(folder)
        except OSError as error:
            raise _no_room(path, folder, sound) from error
        piece = entry.kept()
    if piece is None:
        raise UnusableChoice(f"{path}: this music is silent, or shorter than a second (choose another file)")
    return piece


def _entry(path: Path, folder: Path) -> _Entry:
    try:
        with path.open("rb") as file:
            name = hashlib.file_digest(file, lambda: hashlib.blake2b(f"{FORMAT}".encode(), digest_size=20)).hexdigest()
    except OSError as error:
        raise UnusableChoice(f"{path}: the music cannot be read ({error.strerror}; put the file back)") from error
    return _Entry(path, folder / f"{name}{_PCM}", folder / f"{name}{_HOPS}")


def _keep(sound: Streamed, entry: _Entry, progress: Progress | None) -> None:
    """Decode a file into an entry, which is there when it is whole. Raises OSError, UnusableChoice."""
    meter = HopMeter()
    part = entry.pcm.with_name(f".{entry.pcm.stem}.{os.getpid()}.{secrets.token_hex(4)}.part")
    got = 0
    try:
        with part.open("wb") as file:
            for block in _in_hops(_at_rate(_counted(entry.music, sound, progress), sound.rate_hz)):
                pcm = to_int16(block)
                meter.feed(block)
                file.write(pcm.astype("<i2", copy=False).tobytes())
                got += pcm.size
        hops = meter.hops()
        with part.with_suffix(_HOPS).open("wb") as file:
            np.save(file, np.stack([hops.squares, hops.peaks]))
        part.replace(entry.pcm)
        part.with_suffix(_HOPS).replace(entry.hops)
    finally:
        for left in (part, part.with_suffix(_HOPS)):
            with contextlib.suppress(OSError):
                left.unlink()


def _counted(path: Path, sound: Streamed, progress: Progress | None) -> Iterator[NDArray[np.float32]]:
    """The sound of a file as it is read; told how far it is, and refused where it ends before its time."""
    got = 0
    for block in sound.blocks:
        got += block.size
        yield block * np.float32(KEPT_GAIN)
        if progress is not None:
            progress(min(got, sound.frames or got), sound.frames or got)
    if sound.frames is not None and got < sound.frames - sound.rate_hz // 10:
        ends = f"it ends at {clock(got * 1000 // sound.rate_hz)} of {clock(sound.frames * 1000 // sound.rate_hz)}"
        raise UnusableChoice(f"{path}: the sound file was cut off: {ends} (copy or export it again)")
    if not got:
        raise not_sound(path)


def _at_rate(blocks: Iterable[NDArray[np.float32]], rate_hz: int) -> Iterator[NDArray[np.float32]]:
    """The sound at 48 kHz."""
    if rate_hz == RATE_HZ:
        yield from blocks
        return
    import soxr

    stream = soxr.ResampleStream(rate_hz, RATE_HZ, 1, dtype="float32", quality="HQ")
    for block in blocks:
        yield stream.resample_chunk(block)
    yield stream.resample_chunk(np.zeros(0, np.float32), last=True)


def _in_hops(blocks: Iterable[NDArray[np.float32]]) -> Iterator[NDArray[np.float32]]:
    """The sound in blocks of whole hops, the last of them filled up with silence."""
    waiting = np.zeros(0, np.float32)
    for block in blocks:
        whole = np.concatenate([waiting, block])
        size = whole.size // HOP_FRAMES * HOP_FRAMES
        if size:
            yield whole[:size]
        waiting = whole[size:]
    if waiting.size:
        yield np.concatenate([waiting, np.zeros(HOP_FRAMES - waiting.size, np.float32)])


def _trimmed(entry: _Entry, hops: Hops) -> MusicPiece | None:
    """What of a kept sound is not silence before and after it; None where that is too little."""
    heard = np.flatnonzero(hops.peaks > _SILENT * hops.peaks.max(initial=0.0))
    if heard.size < _LEAST_HOPS:
        return None
    first, last = int(heard[0]), int(heard[-1]) + 1
    # In the last hop a file may end anywhere.
    last -= last == hops.peaks.size and last - first > _LEAST_HOPS
    inside = Hops(hops.squares[first:last], hops.peaks[first:last])
    return MusicPiece(_Kept(entry, first * HOP_FRAMES), inside)


def _make_room(folder: Path) -> None:
    """Let go of what was not played for the longest, where too much is kept."""
    kept = sorted(folder.glob(f"*{_PCM}"), key=lambda path: path.stat().st_mtime_ns, reverse=True)
    total = 0
    for number, path in enumerate(kept):
        total += path.stat().st_size
        if total > MOST_KEPT_BYTES and number:
            with contextlib.suppress(OSError):
                path.with_suffix(_HOPS).unlink(missing_ok=True)
                path.unlink()


def _no_room(path: Path, folder: Path, sound: Streamed) -> MachineTrouble:
    size = "" if sound.frames is None else f", about {sound.frames * RATE_HZ * 2 // sound.rate_hz // 1_000_000 + 1} MB"
    return MachineTrouble(
        f"{path}: the music is kept as it is played{size}, and {folder} does not take it "
        "(make room there, or name another folder in GUIDE_CACHE)"
    )
