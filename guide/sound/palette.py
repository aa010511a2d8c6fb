"""The sounds that a class rings: those that are shipped, and files of a person's own."""

import difflib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from guide.problem import MachineTrouble, UnusableChoice
from guide.sequence.sound_names import PALETTE_NAMES
from guide.sound import bells
from guide.sound.clip_measures import Measures, loudest_lufs, measure
from guide.sound.shipped_measures import measures_of
from guide.sound.short_sounds import levelled, trimmed
from guide.sound.sound_files import read_mono
from guide.units import ms_from_frames

#: The loudest 400 ms of every sound of a palette have this loudness, unless its peak would be above PEAK_DBTP.
LOUDEST_LUFS = -20.0
PEAK_DBTP = -6.0

#: No sound is longer than this; what comes after is left out.
LONGEST_MS = 15_000

Single = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Sound:
    """One sound, mono at 48 kHz, at LOUDEST_LUFS, with its measures."""

    samples: Single
    measures: Measures


@dataclass(frozen=True, slots=True)
class Palette:
    """Sounds by the names that rings give them.

    To plan, only lengths are needed: those of the shipped sounds are known, and the sounds are read when they ring.
    """

    sounds: Mapping[str, Sound]

    def samples(self, name: str) -> Single:
        """The sound, mono at 48 kHz. Raises KeyError for a name that was not loaded."""
        return self.sounds[name].samples

    def length_ms(self, name: str) -> int:
        """The length of the sound in whole milliseconds, rounded up."""
        if name in bells.RECIPES:
            return bells.RECIPES[name].length_ms
        return ms_from_frames(self.sounds[name].samples.size)

    def measures(self, name: str) -> Measures:
        """What was measured of the sound."""
        return self.sounds[name].measures


def load(names: Iterable[str], folder: Path) -> Palette:
    """The sounds named: of the shipped palette, or files at or below `folder`, trimmed, faded and levelled.

    Raises UnusableChoice for a name or a file that cannot be had, naming it, and MachineTrouble where a shipped sound
    is missing or a library that the file needs.
    """
    names = tuple(dict.fromkeys(names))
    own = {name: _own_sound(name, folder) for name in names if name not in PALETTE_NAMES}
    files = {name: shipped(name) for name in names if name in PALETTE_NAMES}
    return Palette(_ReadLate(names, own, files))


class _ReadLate(Mapping[str, Sound]):
    """Sounds by their names, of which the shipped ones are read when they are asked for."""

    def __init__(self, names: tuple[str, ...], own: Mapping[str, Sound], files: Mapping[str, Path]) -> None:
        self._names, self._files = names, files
        self._read = dict(own)

    def __getitem__(self, name: str) -> Sound:
        if name not in self._read:
            samples = read_mono(self._files[name], LONGEST_MS)
            self._read[name] = _at_level(samples, measures_of(samples) or measure(samples))
        return self._read[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)


def shipped(name: str) -> Path:
    """The file of a shipped sound: in the installed package, or beside it in a checkout."""
    package = Path(__file__).resolve().parent.parent
    tried = [home / "sounds" / bells.file_name(name) for home in (package, package.parent)]
    found = next((path for path in tried if path.is_file()), None)
    if found is None:
        folder = tried[-1].parent
        raise MachineTrouble(
            f"the sound {name!r} is missing from the program: install it again, or run: guide sounds --write {folder}"
        )
    return found


def _own_sound(name: str, folder: Path) -> Sound:
    path = _own(name, folder)
    samples = trimmed(read_mono(path, 2 * LONGEST_MS), LONGEST_MS)
    if not samples.size:
        raise UnusableChoice(f"{path}: the sound file holds only silence (choose another)")
    return _at_level(samples, measure(samples))


def _at_level(samples: Single, found: Measures) -> Sound:
    """A sound that was measured, at the loudness of the palette."""
    level = min(LOUDEST_LUFS - loudest_lufs(found), PEAK_DBTP - 20 * float(np.log10(found.true_peak)))
    return Sound(levelled(samples, level), found.turned_up(level))


def _own(name: str, folder: Path) -> Path:
    """The file that `name` means, which must lie at or below `folder`."""
    home = folder.resolve()
    try:
        path = (home / name).resolve()
        is_there = path.exists()
    except (OSError, ValueError) as cause:
        raise UnusableChoice(f"sound {name!r}: this cannot be the name of a file") from cause
    if not path.is_relative_to(home):
        raise UnusableChoice(f"sound {name!r}: the file must lie in {folder} or below (copy it there)")
    if not is_there and not path.suffix:
        near = difflib.get_close_matches(name, sorted(PALETTE_NAMES), 1)
        hint = f"did you mean {near[0]!r}?" if near else f"the palette has {', '.join(sorted(PALETTE_NAMES))}"
        raise UnusableChoice(f"sound {name!r}: there is no such sound in the palette ({hint})")
    return path
