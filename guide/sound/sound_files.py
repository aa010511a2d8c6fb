"""Sound files read into one channel at 48 kHz: WAV, FLAC, MP3 and Ogg always, M4A with an extra."""

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from guide.problem import MachineTrouble, UnusableChoice
from guide.sound.clip_finish import resampled

#: The endings of what libsndfile does not read.
BY_PYAV = {".m4a", ".m4b", ".mp4", ".aac"}

#: Where soundfile's wheel brings no libsndfile along.
SYSTEM_LIBRARY = "soundfile lacks libsndfile (on Linux: sudo apt install libsndfile1)"

Single = NDArray[np.float32]


def read_mono(path: Path, longest_ms: int) -> Single:
    """The first `longest_ms` of a sound file, its channels brought together, at 48 kHz.

    Raises UnusableChoice for a file that is missing, empty or no sound, and MachineTrouble where M4A cannot be read on
    this machine; both name the file.
    """
    if path.is_dir():
        raise UnusableChoice(f"{path}: this is a folder; name a sound file in it")
    if not path.exists():
        raise UnusableChoice(f"{path}: there is no such sound file")
    if not path.stat().st_size:
        raise UnusableChoice(f"{path}: the sound file is empty")
    by_pyav = path.suffix.lower() in BY_PYAV
    frames, rate_hz = _by_pyav(path, longest_ms) if by_pyav else _by_libsndfile(path, longest_ms)
    if not frames.size:
        raise UnusableChoice(f"{path}: the sound file holds no sound")
    mono = frames.mean(axis=1, dtype=np.float32)
    if not np.isfinite(mono).all():
        raise UnusableChoice(f"{path}: the sound file holds numbers that are no sound; export it again as WAV")
    return resampled(mono, rate_hz)


def _by_libsndfile(path: Path, longest_ms: int) -> tuple[Single, int]:
    """The file's frames, shape (frames, channels), and its rate."""
    try:
        import soundfile
    except OSError as cause:
        raise MachineTrouble(SYSTEM_LIBRARY) from cause
    try:
        with soundfile.SoundFile(path) as file:
            rate_hz = int(file.samplerate)
            frames: Single = file.read(longest_ms * rate_hz // 1000, dtype="float32", always_2d=True)
            return frames, rate_hz
    except PermissionError as cause:
        raise UnusableChoice(f"{path}: the sound file may not be read by you") from cause
    except (OSError, RuntimeError) as cause:
        raise not_sound(path) from cause


def _by_pyav(path: Path, longest_ms: int) -> tuple[Single, int]:
    """The file's frames, shape (frames, channels), and its rate."""
    try:
        import av
    except ImportError as cause:
        raise without_pyav(path) from cause
    try:
        with av.open(str(path)) as container:
            if not container.streams.audio:
                raise not_sound(path)
            rate_hz = int(container.streams.audio[0].rate)
            wanted = longest_ms * rate_hz // 1000
            pieces: list[Single] = [np.zeros((0, 1), np.float32)]
            to_float = av.AudioResampler(format="fltp", layout="mono", rate=rate_hz)
            for frame in container.decode(audio=0):
                pieces += [piece.to_ndarray().T.astype(np.float32) for piece in to_float.resample(frame)]
                if sum(map(len, pieces)) >= wanted:
                    break
            return np.concatenate(pieces)[:wanted], rate_hz
    except (av.FFmpegError, OSError) as cause:
        raise not_sound(path) from cause


def without_pyav(path: Path) -> MachineTrouble:
    """What there is to say where the library is missing that reads M4A."""
    return MachineTrouble(f"{path}: to read M4A, type: pip install 'practice-guide[m4a]' (or export the sound as WAV)")


def not_sound(path: Path) -> UnusableChoice:
    """What there is to say of a file that is no sound."""
    return UnusableChoice(f"{path}: this is not a sound file that can be read; use WAV, FLAC, MP3, Ogg or M4A")
