"""TTML, the captions in XML of broadcasters and film services (DFXP, IMSC and EBU-TT are kinds of it).

Source: W3C TTML2, "time expressions" and "timing": a time counts from that of what it stands in; frames and ticks are
as the root says. What follows a broken place in the XML is left out.
"""

import re
from dataclasses import dataclass, field
from xml.etree import ElementTree

from guide.review.captions.base import Piece, ShownCaption, bare, over_by

#: What may stand before the root; nothing is tried twice.
_BEGINS = re.compile(r"(?>\s*(?:<\?[^>]*>|<!--.*?-->))*+\s*<(?:\w+:)?tt[\s>]", re.DOTALL)

_CLOCK = re.compile(r"(\d{1,6}):(\d{1,2}):(\d{1,2})(?:(\.\d{1,9})|:(\d{1,3})(?:\.\d{1,3})?)?", re.ASCII)
_OFFSET = re.compile(r"(\d{1,15}(?:\.\d{1,9})?)(h|ms|m|s|f|t)", re.ASCII)

#: Where the root says nothing. (Source: TTML2, `ttp:frameRate`; a tick is a second, or a frame where that is said.)
_FRAMES = 30.0
_SECONDS_IN = {"h": 3600.0, "m": 60.0, "s": 1.0, "ms": 0.001}

#: No class is longer.
_MOST_S = 1_000_000.0


def is_ttml(text: str) -> bool:
    """Whether `text` is XML whose root is `tt`. With a document type, in which entities may grow, it is refused."""
    return _BEGINS.match(text) is not None


def read_ttml(text: str) -> list[ShownCaption]:
    """The paragraphs with their times, in the file's order; a span with a time of its own begins a piece."""
    walk = _Walk()
    parser = ElementTree.XMLParser(target=walk)
    try:
        # As text, whose encoding the declaration of the file says nothing of any more; half a character is none.
        parser.feed(text.strip().encode("utf-8", "replace").decode("utf-8"))
        parser.close()
    except ElementTree.ParseError:
        walk.close()
    return walk.captions


@dataclass(slots=True)
class _Open:
    """An element that is open: when it begins, and when it ends if that is said."""

    start_ms: int
    end_ms: int | None


@dataclass(slots=True)
class _Walk:
    """What a parser of XML is told to call: it takes down the words of each paragraph."""

    captions: list[ShownCaption] = field(default_factory=list)
    opened: list[_Open] = field(default_factory=list)
    pieces: list[Piece] = field(default_factory=list)
    paragraph: int | None = None
    frames: float = _FRAMES
    ticks: float | None = None

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        """An element begins."""
        name, said = _local(tag), {_local(key): value for key, value in attributes.items()}
        if not self.opened:
            self._take_rates(said)
        around = self.opened[-1] if self.opened else _Open(0, None)
        begin, end, lasts = (self._ms(said.get(key)) for key in ("begin", "end", "dur"))
        start_ms = around.start_ms + (begin or 0)
        ends = [ms for ms in (_sum(around.start_ms, end), _sum(start_ms, lasts), around.end_ms) if ms is not None]
        self.opened.append(_Open(start_ms, min(ends, default=None)))
        if name == "p":
            self.paragraph, self.pieces = len(self.opened), [Piece(start_ms, "")]
        elif self.paragraph and begin is not None:
            self.pieces.append(Piece(start_ms, ""))
        elif self.paragraph and name == "br":
            self._add("\n")

    def data(self, text: str) -> None:
        """Words; where lines break in the file means nothing."""
        if self.paragraph:
            self._add(re.sub(r"\s+", " ", text))

    def end(self, tag: str) -> None:
        """An element ends."""
        closed = self.opened.pop()
        if self.paragraph and len(self.opened) < self.paragraph:
            self._take_down(closed)
            self.paragraph = None

    def close(self) -> None:
        """The file ends, perhaps in the midst of a paragraph."""
        if self.paragraph:
            self._take_down(self.opened[self.paragraph - 1])
            self.paragraph = None

    def _add(self, text: str) -> None:
        last = self.pieces[-1]
        self.pieces[-1] = Piece(last.start_ms, last.text + text)

    def _take_down(self, closed: _Open) -> None:
        pieces = [piece for piece in self.pieces if piece.text.strip()]
        if pieces:
            last = pieces[-1]
            end_ms = over_by(last.start_ms, bare(last.text)) if closed.end_ms is None else closed.end_ms
            self.captions.append(ShownCaption(pieces[0].start_ms, end_ms, tuple(pieces)))

    def _take_rates(self, said: dict[str, str]) -> None:
        """How many frames and ticks a second has, as the root says."""
        whole, parts = _number(said.get("frameRate")), (said.get("frameRateMultiplier") or "1 1").split()
        multiplied = [_number(part) for part in parts]
        if len(multiplied) == 2 and all(multiplied):
            self.frames = (whole or _FRAMES) * (multiplied[0] or 1) / (multiplied[1] or 1)
        self.ticks = _number(said.get("tickRate")) or (self.frames if whole else 1.0)

    def _ms(self, expression: str | None) -> int | None:
        """A time as TTML writes it, in ms; None where there is none, or it is none."""
        text = (expression or "").strip()
        if clock := _CLOCK.fullmatch(text):
            hours, minutes, seconds, fraction, frames = clock.groups()
            whole_s = (int(hours) * 60 + int(minutes)) * 60 + int(seconds)
            seconds_s = whole_s + float(f"0{fraction or ''}") + int(frames or 0) / self.frames
        elif offset := _OFFSET.fullmatch(text):
            amount, unit = float(offset[1]), offset[2]
            rates = {"f": 1 / self.frames, "t": 1 / (self.ticks or 1)}
            seconds_s = amount * (_SECONDS_IN.get(unit) or rates[unit])
        else:
            return None
        return round(min(seconds_s, _MOST_S) * 1000)


def _local(name: str) -> str:
    """A name without its namespace."""
    return name.rpartition("}")[2]


def _sum(one_ms: int, other_ms: int | None) -> int | None:
    return None if other_ms is None else one_ms + other_ms


def _number(text: str | None) -> float | None:
    return float(text) if text and re.fullmatch(r"\d{1,9}", text, re.ASCII) else None
