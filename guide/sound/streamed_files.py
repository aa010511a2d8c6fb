"""Sound files read piece by piece, of whatever length and rate, their channels brought together."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from guide.problem import MachineTrouble, UnusableChoice
from guide.sound.sound_files import BY_PYAV, SYSTEM_LIBRARY, not_sound, without_pyav

_BLOCK_FRAMES = 1 << 16


@dataclass(frozen=True, slots=True)
class Streamed:
    """A sound file: its rate, how many frames it says it has (None where it does not), and its sound, to be read once.

    Reading raises UnusableChoice where the file cannot be read on.
    """

    rate_hz: int
    frames: int | None
    blocks: Iterator[NDArray[np.float32]]


def streamed(path: Path) -> Streamed:
    """A sound file to be read.

    Raises UnusableChoice for a file that is missing, empty or no sound, and MachineTrouble where M4A cannot be read on
    this machine; both name the file.
    """
    try:
        if not path.stat().st_size:
            raise UnusableChoice(f"{path}: the sound file is empty (copy or export it again)")
        if _is_cut_off(path):
            raise broken(path)
    except OSError as error:
        raise UnusableChoice(f"{path}: there is no such sound file (put it back, or mend its name)") from error
    return _by_pyav(path) if path.suffix.lower() in BY_PYAV else _by_libsndfile(path)


def _by_libsndfile(path: Path) -> Streamed:
    try:
        import soundfile
    except OSError as cause:
        raise MachineTrouble(SYSTEM_LIBRARY) from cause
    try:
        with soundfile.SoundFile(path) as file:
            rate_hz, frames = int(file.samplerate), int(file.frames)
    except PermissionError as cause:
        raise UnusableChoice(f"{path}: the sound file may not be read by you") from cause
    except (OSError, RuntimeError) as cause:
        raise not_sound(path) from cause

    def blocks() -> Iterator[NDArray[np.float32]]:
        try:
            with soundfile.SoundFile(path) as file:
                while len(block := file.read(_BLOCK_FRAMES, dtype="float32", always_2d=True)):
                    yield block.mean(axis=1, dtype=np.float32)
        except (OSError, RuntimeError) as cause:
            raise broken(path) from cause

    return Streamed(rate_hz, frames if 0 < frames < 1 << 40 else None, blocks())


def _by_pyav(path: Path) -> Streamed:
    try:
        import av
    except ImportError as cause:
        raise without_pyav(path) from cause
    try:
        with av.open(str(path)) as container:
            if not container.streams.audio:
                raise not_sound(path)
            stream = container.streams.audio[0]
            rate_hz = int(stream.rate)
            # The container tells it in microseconds.
            frames = None if container.duration is None else container.duration * rate_hz // 1_000_000
    except (av.FFmpegError, OSError) as cause:
        raise not_sound(path) from cause

    def blocks() -> Iterator[NDArray[np.float32]]:
        to_float = av.AudioResampler(format="fltp", layout="mono", rate=rate_hz)
        try:
            with av.open(str(path)) as container:
                for frame in container.decode(audio=0):
                    for piece in to_float.resample(frame):
                        yield piece.to_ndarray()[0].astype(np.float32)
        except (av.FFmpegError, OSError) as cause:
            raise broken(path) from cause

    return Streamed(rate_hz, frames, blocks())


def _is_cut_off(path: Path) -> bool:
    """Whether a WAV, AIFF or Ogg file ends before it says that it does; libraries read what there is of them."""
    size = path.stat().st_size
    with path.open("rb") as file:
        head = file.read(12)
        if head[:4] in (b"RIFF", b"FORM"):
            said = int.from_bytes(head[4:8], "little" if head[:4] == b"RIFF" else "big")
            # A program that could not know leaves nothing or the largest number there.
            return 0 < said < 0xFFFF_FF00 and said + 8 > size + 1
        if head[:4] != b"OggS":
            return False
        file.seek(max(0, size - (1 << 16)))
        tail = file.read()
    # The last page says in its fifth byte that it is (Source: RFC 3533, section 6).
    page = tail.rfind(b"OggS")
    return page < 0 or len(tail) < page + 6 or not tail[page + 5] & 4


def broken(path: Path) -> UnusableChoice:
    """What there is to say of a sound file that ends before its time."""
    return UnusableChoice(f"{path}: the sound file is damaged or was cut off (copy or export it again)")
