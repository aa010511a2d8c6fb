"""Takes in a folder beside the class files, each found again by the words that it says.

One FLAC a take, `lift-your-left-leg-3f2a9c01.1.flac`, with its words in the TITLE tag: the folder is its own index,
whatever its files are called, and can be carried to another machine. A newer take of a line has a higher number; none
is ever written over or taken away.
"""

import os
import re
import secrets
from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import blake2b, file_digest
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from guide.pauses import shown
from guide.problem import MachineTrouble
from guide.units import RATE_HZ
from guide.voice.normalise import folded, normalised
from guide.voice.protocol import Unspeakable

#: The folder of takes, beside the class files that it serves.
FOLDER = "takes"

#: So much of a line goes into the name of its file.
NAME_CHARS = 40

_NUMBER = re.compile(r"\.([0-9]{1,9})\.flac$", re.IGNORECASE)

Single = NDArray[np.float32]


def line_key(text: str) -> str:
    """What is said, without case, punctuation and spaces: the same for all ways to write the same words."""
    spoken = normalised(text).casefold().replace("'", "")
    return " ".join(re.findall(r"[^\s.,;:!?-]+", spoken))


def files_of_takes(path: Path) -> list[Path]:
    """The files in the folder of takes for the classes in the folder `path`; none where it cannot be read."""
    try:
        return list((path / FOLDER).iterdir())
    except OSError:
        return []


@dataclass(frozen=True, slots=True)
class Take:
    """One recording of a line: the file, the words in its tag, and its number among the takes of them."""

    path: Path
    words: str
    number: int

    def read(self) -> tuple[Single, int]:
        """Its samples, mono, and their rate in Hz. Raises Unspeakable for a file that is damaged or has gone."""
        import soundfile

        try:
            with soundfile.SoundFile(self.path) as file:
                frames: Single = file.read(dtype="float32", always_2d=True)
                rate_hz, whole = int(file.samplerate), len(frames) == file.frames
        except (OSError, RuntimeError) as cause:
            raise self._damaged() from cause
        if not whole:
            raise self._damaged()
        return frames.mean(axis=1, dtype=np.float32), rate_hz

    def content(self) -> str:
        """A hash of the file, under which what is made of it is kept. Raises Unspeakable."""
        try:
            with self.path.open("rb") as file:
                return file_digest(file, lambda: blake2b(digest_size=20)).hexdigest()
        except OSError as cause:
            raise self._damaged() from cause

    def _damaged(self) -> Unspeakable:
        what = f"the take {self.path} cannot be read to its end"
        return Unspeakable(what, "record the line again, or take the file away for the take before it")


class Takes:
    """The takes of one folder, as they were when it was read, and those kept since."""

    def __init__(self, folder: Path, latest: dict[str, Take]) -> None:
        self.folder = folder
        self._latest = latest

    @staticmethod
    def in_folder(path: Path) -> "Takes":
        """The takes for the classes in the folder `path`: those in its own folder `takes`, none where there is none."""
        latest: dict[str, Take] = {}
        for take in sorted(_found(path / FOLDER), key=lambda take: (take.number, take.path.name)):
            latest[line_key(take.words)] = take
        return Takes(path / FOLDER, latest)

    def latest(self, text: str) -> Take | None:
        """The last take of these words, None where they were never recorded."""
        return self._latest.get(line_key(text))

    def keep(self, text: str, samples: Single, rate_hz: int) -> Take:
        """Keep a recording of these words as it is, at 48 kHz, beside those from before; it is on the disk then.

        Raises:
            ValueError: there are no words in the text, or the samples are no mono sound.
            MachineTrouble: the disk would not have it.
        """
        key = line_key(text)
        if not key or samples.ndim != 1 or not np.isfinite(samples).all():
            raise ValueError("a take has words, and one row of finite samples")
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            path, number = self._free_name(key)
            take = Take(path, shown(text), number)
            self._write(take, samples, rate_hz)
        except (OSError, RuntimeError) as cause:
            raise MachineTrouble(f"{self.folder}: the take could not be kept ({cause})") from cause
        self._latest[key] = take
        return take

    def _free_name(self, key: str) -> tuple[Path, int]:
        """A name that nothing has yet; it is held by an empty file, which is no take."""
        last = self._latest.get(key)
        number = 1 if last is None else last.number + 1
        stem = f"{_readable(key)}-{blake2b(key.encode(), digest_size=4).hexdigest()}"
        while True:
            path = self.folder / f"{stem}.{number}.flac"
            try:
                os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o666))
            except FileExistsError:
                number += 1
            else:
                return path, number

    def _write(self, take: Take, samples: Single, rate_hz: int) -> None:
        """Write the take beside its place and move it there whole."""
        import soundfile
        import soxr

        at_rate = samples if rate_hz == RATE_HZ else soxr.resample(samples, rate_hz, RATE_HZ, quality="VHQ")
        part = take.path.with_name(f".{take.path.stem}.{os.getpid()}.{secrets.token_hex(4)}.part")
        try:
            with soundfile.SoundFile(part, "w", RATE_HZ, 1, "PCM_24", format="FLAC") as file:
                file.title = take.words
                file.write(np.clip(at_rate, -1.0, 1.0))
            with part.open("rb+") as written:
                os.fsync(written.fileno())
            part.replace(take.path)
        except BaseException:
            part.unlink(missing_ok=True)
            take.path.unlink(missing_ok=True)
            raise


def _readable(key: str) -> str:
    """The first words of a line as a file may be called on every machine."""
    plain = re.sub(r"[^a-z0-9]+", "-", folded(key).lower()).strip("-")
    return plain if len(plain) <= NAME_CHARS else plain[:NAME_CHARS].rpartition("-")[0] or plain[:NAME_CHARS]


def _found(folder: Path) -> Iterator[Take]:
    """Every take that a folder holds; what is no FLAC with words in its tag is none."""
    import soundfile

    try:
        paths = [Path(entry.path) for entry in os.scandir(folder) if not entry.name.startswith(".")]
    except OSError:
        return
    for path in paths:
        if path.suffix.lower() != ".flac":
            continue
        try:
            with soundfile.SoundFile(path) as file:
                words = file.title
        except (OSError, RuntimeError):
            continue
        if line_key(words):
            number = _NUMBER.search(path.name)
            yield Take(path, words, int(number[1]) if number else 0)
