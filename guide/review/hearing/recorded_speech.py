"""The stretches of speech in a recording of a class, however long it is."""

from collections.abc import Callable
from pathlib import Path

from guide.problem import UnusableChoice
from guide.review.hearing.sound_decoder import FIRST_BYTES, is_sound, pieces
from guide.review.hearing.voice_activity import RATE_HZ, Detector, Stretch, silero


class NoVoice(UnusableChoice):
    """A recording that can be read, and in which nobody speaks."""


#: A file that is called so is taken for a recording, whatever is in it.
SUFFIXES = frozenset(
    f".{name}"
    for name in (
        *("wav", "flac", "ogg", "oga", "opus", "mp3", "m4a", "m4b", "aac", "aif", "aiff", "caf", "wma", "mka"),
        *("mp4", "m4v", "mov", "webm", "mkv", "avi"),
    )
)


def is_recording(path: Path) -> bool:
    """Whether a file is sound or a film rather than text, by what it begins with, or else by its name."""
    if path.suffix.lower() in SUFFIXES:
        return True
    try:
        with path.open("rb") as file:
            return is_sound(file.read(FIRST_BYTES))
    except (OSError, ValueError):
        return False


def heard_in(path: Path, progress: Callable[[int, int], None] | None = None) -> tuple[tuple[Stretch, ...], int]:
    """The speech in a recording, in order, and how long the recording is, in milliseconds.

    `progress` is told `(done_ms, total_ms)` as sound is read, where the file says how long it is.

    Raises:
        UnusableChoice: the file cannot be read, breaks off, has no sound, or nobody speaks in it.
        MachineTrouble: what reads it or what hears a voice is not installed.
    """
    first = first_bytes(path)
    detector, samples, stretches = Detector(silero()), 0, list[Stretch]()
    for sound, said_s in pieces(path, first):
        samples += len(sound)
        stretches += detector.feed(sound.tobytes())
        if progress is not None and said_s > 0:
            progress(min(samples * 1000 // RATE_HZ, int(said_s * 1000)), int(said_s * 1000))
    stretches += detector.finish()
    length_ms = samples * 1000 // RATE_HZ
    if not length_ms:
        raise UnusableChoice(f"{path}: there is no sound in it (give a recording of the class)")
    if not stretches:
        raise NoVoice(f"{path}: no voice is heard in it (give a recording in which the teacher can be heard)")
    return tuple(stretches), length_ms


def first_bytes(path: Path) -> bytes:
    """What a recording begins with.

    Raises:
        UnusableChoice: there is no such file, it cannot be read, is empty, or is no sound.
    """
    try:
        with path.open("rb") as file:
            first = file.read(FIRST_BYTES)
    except FileNotFoundError as error:
        raise UnusableChoice(f"{path}: there is no such file (give a recording of the class)") from error
    except IsADirectoryError as error:
        raise UnusableChoice(f"{path}: this is a folder, not a file (give a recording of the class)") from error
    except (OSError, ValueError) as error:
        reason = (error.strerror if isinstance(error, OSError) else None) or str(error)
        raise UnusableChoice(f"{path}: this file cannot be read ({reason})") from error
    if not first:
        raise UnusableChoice(f"{path}: there is nothing in it (give a recording of the class)")
    if not is_sound(first):
        raise UnusableChoice(f"{path}: this is no sound that can be read (give WAV, FLAC, MP3, Ogg, Opus, M4A or MP4)")
    return first
