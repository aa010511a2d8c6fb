"""Sound files read into one channel, piece by piece or their beginning: WAV, FLAC, MP3 and Ogg always, M4A with an
extra."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from guide.problem import MachineTrouble, UnusableChoice
from guide.read_onward import opened_onward
from guide.sound.clip_finish import resampled

#: The endings of what libsndfile does not read.
BY_PYAV = {".m4a", ".m4b", ".mp4", ".aac"}

#: Where soundfile's wheel brings no libsndfile along.
SYSTEM_LIBRARY = "soundfile lacks libsndfile (on Linux: sudo apt install libsndfile1)"

_BLOCK_FRAMES = 1 << 16

Single = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Streamed:
    """A sound file: its rate, how many frames it says it has (None where it does not), and its sound, to be read once.

    Reading raises UnusableChoice where the file cannot be read on.
    """

    rate_hz: int
    frames: int | None
    blocks: Iterator[Single]


def read_mono(path: Path, longest_ms: int) -> Single:
    """The first `longest_ms` of a sound file at 48 kHz; an empty one is refused. Raises what `streamed` does."""
    sound = streamed(path)
    wanted, pieces = longest_ms * sound.rate_hz // 1000, [np.zeros(0, np.float32)]
    for block in sound.blocks:
        pieces.append(block)
        if sum(piece.size for piece in pieces) >= wanted:
            break
    mono = np.concatenate(pieces)[:wanted]
    if not mono.size:
        raise UnusableChoice(f"{path}: the sound file holds no sound (export it again)")
    return resampled(mono, sound.rate_hz)


def streamed(path: Path) -> Streamed:
    """A sound file to be read.

    Raises UnusableChoice for a file that is missing, empty, cut off or no sound, and MachineTrouble where M4A cannot be
    read on this machine; both name the file.
    """
    if path.is_dir():
        raise UnusableChoice(f"{path}: this is a folder (name a sound file in it)")
    try:
        if not path.stat().st_size:
            raise UnusableChoice(f"{path}: the sound file is empty (copy or export it again)")
        if _is_cut_off(path):
            raise broken(path)
    except FileNotFoundError as error:
        raise UnusableChoice(f"{path}: there is no such sound file (put it back, or mend its name)") from error
    except OSError as error:
        raise unreadable(path, error) from error
    found = _by_pyav(path) if path.suffix.lower() in BY_PYAV else _by_libsndfile(path)
    return Streamed(found.rate_hz, found.frames, _finite(path, found.blocks))


def _finite(path: Path, blocks: Iterator[Single]) -> Iterator[Single]:
    for block in blocks:
        if not np.isfinite(block).all():
            raise UnusableChoice(f"{path}: the sound file holds numbers that are no sound (export it again as WAV)")
        yield block


def _by_libsndfile(path: Path) -> Streamed:
    try:
        import soundfile
    except OSError as cause:
        raise MachineTrouble(SYSTEM_LIBRARY) from cause
    try:
        with soundfile.SoundFile(path) as file:
            rate_hz, frames = int(file.samplerate), int(file.frames)
    except PermissionError as cause:
        raise unreadable(path, cause) from cause
    except (OSError, RuntimeError) as cause:
        raise not_sound(path) from cause

    def blocks() -> Iterator[Single]:
        try:
            with opened_onward(path) as file:
                while len(block := file.read(_BLOCK_FRAMES, dtype="float32", always_2d=True)):
                    yield block.mean(axis=1, dtype=np.float32)
        except (OSError, RuntimeError) as cause:
            raise broken(path) from cause

    return Streamed(rate_hz, frames if 0 < frames < 1 << 40 else None, blocks())


def _by_pyav(path: Path) -> Streamed:
    try:
        import av
    except ImportError as cause:
        what = "to read M4A, type: pip install 'practice-guide[m4a]' (or export the sound as WAV)"
        raise MachineTrouble(f"{path}: {what}") from cause
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

    def blocks() -> Iterator[Single]:
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


def unreadable(path: Path, error: OSError) -> UnusableChoice:
    """What there is to say of a file that the system does not hand out."""
    return UnusableChoice(f"{path}: the sound file may not be read by you ({error.strerror}; let yourself read it)")


def not_sound(path: Path) -> UnusableChoice:
    """What there is to say of a file that is no sound."""
    return UnusableChoice(f"{path}: this is not a sound file that can be read (use WAV, FLAC, MP3, Ogg or M4A)")


def broken(path: Path) -> UnusableChoice:
    """What there is to say of a sound file that ends before its time."""
    return UnusableChoice(f"{path}: the sound file is damaged or was cut off (copy or export it again)")
