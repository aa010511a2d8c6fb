"""The names of the shipped bells and chimes, and which of them sounds where the file names no other."""

from collections.abc import Mapping
from pathlib import Path

#: What each sound of the palette is, by its name.
PALETTE: Mapping[str, str] = {
    "deep bowl": "a large bronze bowl, low and long",
    "small bowl": "a small bronze bowl, clear and bright",
    "wood bar": "a wooden bar struck once, warm and short",
    "metal bar": "a metal bar, light and ringing",
    "rising": "two soft notes going up, for an inhale",
    "falling": "two soft notes going down, for an exhale",
    "tick": "a soft tick, for the pauses of a breath",
}

PALETTE_NAMES: frozenset[str] = frozenset(PALETTE)

#: What each made bed of music is, by its name.
BEDS: Mapping[str, str] = {
    "drone": "a low, slow drone of a few soft notes",
    "rain": "even noise like soft rain on leaves",
    "brown noise": "deep noise like a far waterfall",
}

#: The endings of files that may be music.
_SOUND_ENDINGS = frozenset((".wav", ".flac", ".mp3", ".ogg", ".opus", ".m4a", ".aac", ".aif", ".aiff"))

#: The sound of each role that a sequence file may give a sound of its own under `sounds:`.
DEFAULT_SOUNDS: Mapping[str, str] = {
    "class": "deep bowl",
    "section": "small bowl",
    "step": "wood bar",
    "inhale": "rising",
    "exhale": "falling",
    "pause": "tick",
}


def music_files(path: Path) -> list[Path]:
    """The files of a piece of music: itself, or those of a folder in order of their names. Raises OSError."""
    return sorted(filter(is_sound_file, path.iterdir())) if path.is_dir() else [path]


def is_sound_file(path: Path) -> bool:
    """Whether a file of a folder is music, by its name; hidden ones are not."""
    return path.suffix.lower() in _SOUND_ENDINGS and not path.name.startswith(".") and path.is_file()
