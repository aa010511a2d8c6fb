"""How wide words are in the program's own font, from the tables of its files."""

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from struct import unpack_from

from guide.drawing.text_size import ELLIPSIS

#: The files of DejaVu Sans, which has the letters of transliterated Sanskrit, of Greek and of Cyrillic.
FONT_FILES: Mapping[bool, str] = {False: "DejaVuSans.ttf", True: "DejaVuSans-Bold.ttf"}

#: Shown for a letter that the font lacks.
STAND_IN = "\ufffd"

#: So many words and lines are remembered with their widths.
_WORDS_KEPT = 20_000

MM_PER_PT = 25.4 / 72

#: DejaVu Sans Condensed has the letters of DejaVu Sans, nine tenths as wide.
CONDENSED = 0.9


@dataclass(frozen=True, slots=True)
class FontWidths:
    """The widths of letters as shares of their size, by code point, and of what stands in for others."""

    widths: Mapping[int, float]
    other: float


@dataclass(frozen=True, slots=True)
class Lettering:
    """Letters of one size, light or bold, condensed; `lead` is from one line to the next, in sizes."""

    size_pt: float
    bold: bool = False
    lead: float = 1.26

    @property
    def line_mm(self) -> float:
        """From one line to the next."""
        return self.size_pt * self.lead * MM_PER_PT

    @property
    def base_mm(self) -> float:
        """From the top of a line to the foot of its letters."""
        # The letters of DejaVu reach 0.76 of their size up and 0.24 down.
        return self.size_pt * (0.76 + (self.lead - 1) / 2) * MM_PER_PT

    def wide_mm(self, words: str) -> float:
        """How wide words are on one line."""
        return _share(words, self.bold) * self.size_pt * CONDENSED * MM_PER_PT

    def lines(self, words: str, wide_mm: float, most: int = 10_000) -> tuple[str, ...]:
        """Words on lines that are no wider; a word that is wider is broken, and what is past `most` lines goes."""
        made: list[str] = []
        for piece in (piece for word in spaced(words) for piece in self._pieces(word, wide_mm)):
            if made and self.wide_mm(f"{made[-1]} {piece}") <= wide_mm:
                made[-1] += f" {piece}"
            else:
                made.append(piece)
        if len(made) <= most:
            return tuple(made)
        return (*made[: most - 1], self._shortened(" ".join(made[most - 1 :]), wide_mm))

    def _pieces(self, word: str, wide_mm: float) -> list[str]:
        pieces = []
        while len(word) > 1 and self.wide_mm(word) > wide_mm:
            head = next(end for end in range(len(word) - 1, 0, -1) if end == 1 or self.wide_mm(word[:end]) <= wide_mm)
            pieces.append(word[:head])
            word = word[head:]
        return [*pieces, word]

    def _shortened(self, words: str, wide_mm: float) -> str:
        """Whole words that fit with an ellipsis behind them; where not even one does, its first letters."""
        kept = spaced(words)
        while kept and self.wide_mm(_elided(" ".join(kept))) > wide_mm:
            kept.pop()
        if kept:
            return _elided(" ".join(kept))
        return _elided(self._pieces(spaced(words)[0], wide_mm - self.wide_mm(ELLIPSIS))[0])


@lru_cache(_WORDS_KEPT)
def _share(words: str, bold: bool) -> float:
    """How wide words are, in sizes of their letters. The same ones are asked for at every size that is tried."""
    font = font_widths(bold)
    return sum(font.widths.get(ord(char), font.other) for char in words)


def _elided(words: str) -> str:
    return words.rstrip(" ,;:.") + ELLIPSIS


def spaced(words: str) -> list[str]:
    """Words, parted where a line may end: at a space that is no wide or fixed one."""
    return [word for word in composed(words).split(" ") if word]


def composed(words: str) -> str:
    """Words with each letter and its marks as one sign, as the font has them."""
    return unicodedata.normalize("NFC", words)


def with_stand_ins(words: str, bold: bool) -> str:
    """Words with `STAND_IN` in place of each letter that the font lacks."""
    known = font_widths(bold).widths
    return "".join(char if ord(char) in known else STAND_IN for char in words)


def shapeless(words: str) -> str:
    """The letters of words that the font has no shape for, or that run from right to left, each once."""
    known = font_widths(False).widths
    signs = dict.fromkeys(char for char in composed(words) if not char.isspace())
    return "".join(
        char for char in signs if ord(char) not in known or unicodedata.bidirectional(char) in ("R", "AL", "AN")
    )


@cache
def font_widths(bold: bool) -> FontWidths:
    """The widths in a font file.

    Source: OpenType 1.9, tables head, hhea, hmtx, and cmap format 4.
    """
    raw = files("guide.drawing").joinpath("fonts", FONT_FILES[bold]).read_bytes()
    (count,) = unpack_from(">H", raw, 4)
    tables = {tag: at for tag, _, at, _ in (unpack_from(">4sIII", raw, 12 + 16 * place) for place in range(count))}
    (units,) = unpack_from(">H", raw, tables[b"head"] + 18)
    (measured,) = unpack_from(">H", raw, tables[b"hhea"] + 34)
    advances = [each / units for each in unpack_from(f">{2 * measured}H", raw, tables[b"hmtx"])[::2]]
    widths = {char: advances[min(glyph, measured - 1)] for char, glyph in _glyphs(raw, tables[b"cmap"]).items()}
    return FontWidths(widths, widths[ord(STAND_IN)])


def _glyphs(raw: bytes, cmap: int) -> dict[int, int]:
    """The glyph of each character of the first 65536."""
    (count,) = unpack_from(">H", raw, cmap + 2)
    starts = [cmap + unpack_from(">HHI", raw, cmap + 4 + 8 * place)[2] for place in range(count)]
    table = next(start for start in starts if unpack_from(">H", raw, start)[0] == 4)
    segments = unpack_from(">H", raw, table + 6)[0] // 2
    ends, firsts, deltas, offsets = (
        unpack_from(f">{segments}H", raw, table + 14 + part * 2 * segments + (2 if part else 0)) for part in range(4)
    )
    found = {}
    for segment, (first, end, delta, offset) in enumerate(zip(firsts, ends, deltas, offsets, strict=True)):
        at = table + 16 + 6 * segments + 2 * segment + offset
        for char in range(first, min(end, 0xFFFE) + 1):
            glyph = unpack_from(">H", raw, at + 2 * (char - first))[0] if offset else char
            if glyph or not offset:
                found[char] = (glyph + delta) & 0xFFFF
    return {char: glyph for char, glyph in found.items() if glyph}
