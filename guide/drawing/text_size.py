"""How wide words are in the picture, guessed on the safe side, since the fonts of whoever looks are not known."""

import unicodedata

ELLIPSIS = "…"

#: Widths as a share of the size of the letters, and who has them: those of DejaVu Sans, the widest font that is asked
#: for. (Measured; a letter counts as the narrowest group that it fits.)
WIDTHS = {
    0.36: " ,.'ijl-f/:;\\|IJ’",
    0.44: "!t()[]r",
    0.54: '"*_`?sz“”–',
    0.64: "$0123456789ESbdghnpqu{}FkLPTYaeocvxy",
    0.70: "ABVXZCRK",
    0.80: "&GDHNOQU",
    0.86: "#+<=>^~w−",
    1.00: "%@MWm…—",
}
_WIDTH_OF = {char: share for share, chars in WIDTHS.items() for char in chars}

#: Letters of other scripts, and those that are as wide as they are high.
OTHER, WIDE = 0.80, 1.10


def width_px(words: str, size_px: float) -> float:
    """How much room `words` need in letters of `size_px`."""
    return sum(map(_share, unicodedata.normalize("NFD", words))) * size_px


def _share(char: str) -> float:
    if char in _WIDTH_OF:
        return _WIDTH_OF[char]
    if unicodedata.category(char) in ("Mn", "Me", "Cf"):
        return 0.0
    return WIDE if unicodedata.east_asian_width(char) in "WF" else OTHER


def fitting(words: str, room_px: float, size_px: float, least_letters: int) -> str:
    """`words` if they fit, else their beginning and an ellipsis; nothing where that leaves too few letters."""
    if width_px(words, size_px) <= room_px:
        return words
    taken, room_px = 0, room_px - width_px(ELLIPSIS, size_px)
    while taken < len(words) and width_px(words[: taken + 1], size_px) <= room_px:
        taken += 1
    kept = words[:taken].rstrip(" ,;:.")
    return kept + ELLIPSIS if len(kept) >= least_letters else ""
