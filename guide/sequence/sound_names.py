"""The names of the shipped bells and chimes, and which of them sounds where the file names no other."""

from collections.abc import Mapping

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

#: The sound of each role that a sequence file may give a sound of its own under `sounds:`.
DEFAULT_SOUNDS: Mapping[str, str] = {
    "class": "deep bowl",
    "section": "small bowl",
    "step": "wood bar",
    "inhale": "rising",
    "exhale": "falling",
    "pause": "tick",
}
