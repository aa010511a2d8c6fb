"""The sound of a recording, piece by piece: one channel of 16-bit numbers at the rate at which it is listened to."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from guide.problem import MachineTrouble, UnusableChoice
from guide.read_onward import opened_onward
from guide.review.hearing.voice_activity import RATE_HZ
from guide.units import clock

if TYPE_CHECKING:
    from av import AudioFrame
    from numpy.typing import NDArray

    Sound = NDArray[np.float32]

#: Read in pieces of so much.
PIECE_S = 10

#: The line that brings what reads M4A and films.
INSTALL = "python -m pip install 'practice-guide[m4a]'"

#: What a file begins with that libsndfile reads.
_SNDFILE = ((0, b"fLaC"), (0, b"OggS"), (0, b"ID3"), (8, b"WAVE"), (8, b"AIF"))

#: What other files with sound begin with: MP4, M4A and QuickTime; WebM and Matroska; AVI; Core Audio; ASF.
_OTHERS = (
    *((4, box) for box in (b"ftyp", b"moov", b"mdat", b"wide", b"free", b"skip")),
    (0, b"\x1aE\xdf\xa3"),
    (8, b"AVI "),
    (0, b"caff"),
    (0, b"0&\xb2u\x8ef\xcf\x11"),
)

#: So much of a file tells what it is.
FIRST_BYTES = 16


def is_sound(first: bytes) -> bool:
    """Whether a file that begins with these bytes, `FIRST_BYTES` of them, holds sound or a film."""
    return _is_any(first, _SNDFILE) or _is_mpeg(first) or _is_any(first, _OTHERS) or _is_aac(first)


def pieces(path: Path, first: bytes) -> "Iterator[tuple[NDArray[np.int16], float]]":
    """The sound of a file that begins with `first`, and with each piece of it how many seconds the file says that it
    has in all, which may be wrong; 0 where it does not say.

    Raises:
        UnusableChoice: there is no sound in it, or it breaks off.
        MachineTrouble: what reads such files is not installed.
    """
    for sound, said_s in mono(path, first, RATE_HZ):
        yield _as_16_bit(sound), said_s


def mono(path: Path, first: bytes, rate_hz: int) -> "Iterator[tuple[Sound, float]]":
    """The same at any rate, in numbers of about -1 to 1."""
    read = _by_libsndfile if _is_any(first, _SNDFILE) or _is_mpeg(first) else _by_pyav
    return read(path, rate_hz)


def _is_any(first: bytes, known: tuple[tuple[int, bytes], ...]) -> bool:
    return any(first[at : at + len(mark)] == mark for at, mark in known)


def _is_mpeg(first: bytes) -> bool:
    """MPEG sound of layer II or III. (The mark of UTF-16 would be layer I.)"""
    return len(first) > 2 and first[0] == 0xFF and first[1] & 0xE0 == 0xE0 and first[1] & 0x06 in (0x02, 0x04)


def _is_aac(first: bytes) -> bool:
    """AAC without a container."""
    return len(first) > 2 and first[0] == 0xFF and first[1] & 0xF6 == 0xF0


def _as_16_bit(sound: "Sound") -> "NDArray[np.int16]":
    sound = np.nan_to_num(sound, nan=0.0, posinf=1.0, neginf=-1.0)
    return np.rint(np.clip(sound, -1.0, 1.0) * 32767).astype("<i2")


def _by_libsndfile(path: Path, wanted_hz: int) -> "Iterator[tuple[Sound, float]]":
    import soxr

    read_s = 0.0
    try:
        with opened_onward(path) as file:
            rate_hz = int(file.samplerate)
            to_wanted = soxr.ResampleStream(rate_hz, wanted_hz, 1, dtype="float32")
            while len(frames := file.read(PIECE_S * rate_hz, dtype="float32", always_2d=True)):
                read_s += len(frames) / rate_hz
                yield to_wanted.resample_chunk(frames.mean(axis=1, dtype="float32")), file.frames / rate_hz
            yield to_wanted.resample_chunk(frames.mean(axis=1, dtype="float32")[:0], last=True), file.frames / rate_hz
            if file.frames > 0 and file.format == "FLAC" and read_s < file.frames / rate_hz - 1:
                raise broken_off(path, read_s)
    except PermissionError as cause:
        raise UnusableChoice(f"{path}: this recording may not be read by you") from cause
    except (OSError, RuntimeError) as cause:
        raise broken_off(path, read_s) from cause


def _by_pyav(path: Path, wanted_hz: int) -> "Iterator[tuple[Sound, float]]":
    try:
        import av
    except ImportError as cause:
        raise MachineTrouble(f"{path}: to hear M4A and films, PyAV is needed ({INSTALL})") from cause
    read_s = 0.0
    try:
        with av.open(str(path)) as container:
            if not container.streams.audio:
                raise UnusableChoice(f"{path}: there is no sound track in it (give a recording with sound)")
            to_wanted = av.AudioResampler(format="flt", layout="mono", rate=wanted_hz)
            said_s = (container.duration or 0) / av.time_base
            for frame in container.decode(audio=0):
                read_s += frame.samples / frame.sample_rate
                for piece in to_wanted.resample(frame):
                    yield _flat(piece), said_s
            for piece in to_wanted.resample(None):
                yield _flat(piece), said_s
    except (av.FFmpegError, OSError) as cause:
        raise broken_off(path, read_s) from cause


def _flat(frame: "AudioFrame") -> "Sound":
    return np.asarray(frame.to_ndarray(), np.float32).reshape(-1)


def broken_off(path: Path, read_s: float) -> UnusableChoice:
    """What to say of a file that could be read so far and no further."""
    if read_s < 1:
        return UnusableChoice(f"{path}: no sound can be read from it; it may be cut off (copy it again, or export WAV)")
    at = clock(round(read_s * 1000))
    return UnusableChoice(f"{path}: its sound breaks off at {at} (copy it again, or export what is there as WAV)")
