"""How a file says that this program made it, so that nothing else is ever written over.

Sound says it in the tag that names the encoder, where a program that changes the sound puts its own name. Text has a
line, or a key, with a checksum of all the rest, so that captions that a person mended are hers from then on.
"""

import re
import zlib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

#: What stands in tags, and before the checksum of a text.
MADE_BY = "practice-guide"

#: A text that is longer is none of ours.
MOST_BYTES = 32_000_000

#: Tags stand within so much of the beginning or the end of a sound file.
TAG_BYTES = 2_000_000

#: The encoder's tag in an MP3, in FLAC and Ogg, in WAV and in M4A, as `audio` writes them.
_ENCODER = re.compile(rb"(?:TSSE.{6}\x00|ENCODER=|ISFT.{4}|\xa9too.{16})" + MADE_BY.encode(), re.DOTALL)

_SEAL = re.compile(rf"{MADE_BY} ([0-9a-f]{{8}})")
_NO_SEAL = f"{MADE_BY} {'0' * 8}"

#: A PNG begins so, and its first chunk, of a fixed size, ends here (Source: W3C PNG, third edition, 5.2 and 11.2.1).
_PNG_SIGNATURE, _PNG_HEAD_END = b"\x89PNG\r\n\x1a\n", 8 + 25

_PNG_SEAL = re.compile(rf"tEXtSoftware\x00{MADE_BY} ([0-9a-f]{{8}})".encode(), re.DOTALL)

_PDF_SEAL = re.compile(rf"% {MADE_BY} ([0-9a-f]{{8}})\n\Z".encode())

#: Line ends after the last caption of a SubRip file, which can say nothing else: more than anybody leaves there, and as
#: many more as the checksum says.
_LEAST_ENDS, _ENDS = 4, 29

MADE_ELSEWHERE = "this program did not make it"
CHANGED = "somebody has changed it since this program made it"


class Seal(Protocol):
    """One way to make a text known as the program's own."""

    def put(self, text: str) -> str:
        """The whole text with the seal on it."""
        ...

    def whose(self, path: Path) -> str:
        """Why a file does not bear the seal unbroken, nothing where it does. Raises OSError."""
        ...


@dataclass(frozen=True, slots=True)
class Line:
    """A seal that stands in the text, where `added` puts it."""

    added: Callable[[str, str], str]

    def put(self, text: str) -> str:
        bare = self.added(text, _NO_SEAL)
        return bare.replace(_NO_SEAL, f"{MADE_BY} {_checksum(bare):08x}", 1)

    def whose(self, path: Path) -> str:
        text = _text(path)
        seals = list(_SEAL.finditer(text))
        if any(_checksum(_with_no_seal(text, seal)) == int(seal[1], 16) for seal in seals):
            return ""
        return CHANGED if seals else MADE_ELSEWHERE


@dataclass(frozen=True, slots=True)
class LineEnds:
    """A seal for text that can say nothing of itself: line ends at its end, as many as its checksum says."""

    def put(self, text: str) -> str:
        text = text.rstrip("\n")
        return text + "\n" * _ends(text)

    def whose(self, path: Path) -> str:
        text = _text(path)
        bare = text.rstrip("\n")
        ends = len(text) - len(bare)
        if ends == _ends(bare):
            return ""
        return CHANGED if ends >= _LEAST_ENDS else MADE_ELSEWHERE


def sealed_pdf(pdf: bytes) -> bytes:
    """A PDF with a comment after its end: who made it, and a checksum. (Source: ISO 32000-1, 7.2.3 and 7.5.5.)"""
    return pdf + f"% {MADE_BY} {zlib.crc32(pdf):08x}\n".encode()


def whose_pdf(path: Path) -> str:
    """Why a PDF is not the program's own, or was changed, nothing where neither is so. Raises OSError."""
    with path.open("rb") as file:
        sealed = file.read(MOST_BYTES)
    seal = _PDF_SEAL.search(sealed)
    if seal is None:
        return MADE_ELSEWHERE
    return "" if zlib.crc32(sealed[: seal.start()]) == int(seal[1], 16) else CHANGED


def sealed_png(png: bytes) -> bytes:
    """A PNG with the program's name in it, and a checksum. (Source: W3C PNG, third edition, 11.3.3.3 "tEXt".)"""
    content = f"tEXtSoftware\0{MADE_BY} {zlib.crc32(png):08x}".encode()
    chunk = (len(content) - 4).to_bytes(4) + content + zlib.crc32(content).to_bytes(4)
    return png[:_PNG_HEAD_END] + chunk + png[_PNG_HEAD_END:]


def whose_png(path: Path) -> str:
    """Why a PNG is not the program's own, or was changed, nothing where neither is so. Raises OSError."""
    with path.open("rb") as file:
        sealed = file.read(MOST_BYTES)
    seal = _PNG_SEAL.search(sealed)
    if seal is None or not sealed.startswith(_PNG_SIGNATURE):
        return MADE_ELSEWHERE
    bare = sealed[: seal.start() - 4] + sealed[seal.end() + 4 :]
    return "" if zlib.crc32(bare) == int(seal[1], 16) else CHANGED


def whose_sound(path: Path) -> str:
    """Why a sound file is not the program's own, nothing where it is. Raises OSError."""
    with path.open("rb") as file:
        head = file.read(TAG_BYTES)
        file.seek(max(0, path.stat().st_size - TAG_BYTES))
        return "" if _ENCODER.search(head) or _ENCODER.search(file.read(TAG_BYTES)) else MADE_ELSEWHERE


def _note(text: str, seal: str) -> str:
    """A remark after the head of WebVTT."""
    head, _, rest = text.partition("\n")
    return f"{head}\n\nNOTE made by {seal}\n{rest}"


#: In WebVTT a note, in ffmetadata a line after a semicolon, in LRC the program that made it, in JSON a key, in text for
#: people a line below, in a picture a comment, and in a page what generated it (Source: WHATWG HTML, "Standard metadata
#: names").
NOTE = Line(_note)
SEMICOLON = Line(lambda text, seal: text.replace("\n", f"\n; made by {seal}\n", 1))
TOOL = Line(lambda text, seal: f"[re:{seal}]\n{text}")
KEY = Line(lambda text, seal: text.replace("{\n", f'{{\n  "made_by": "{seal}",\n', 1))
AT_THE_END = Line(lambda text, seal: f"{text}\nMade by {seal}\n")
GENERATOR = Line(lambda text, seal: text.replace("<head>\n", f'<head>\n<meta name="generator" content="{seal}">\n', 1))
REMARK = Line(lambda text, seal: text.replace("<title>", f"<!-- made by {seal} -->\n<title>", 1))
LINE_ENDS = LineEnds()


def _text(path: Path) -> str:
    with path.open("rb") as file:
        return file.read(MOST_BYTES).decode("utf-8", "replace")


def _with_no_seal(text: str, seal: "re.Match[str]") -> str:
    return text[: seal.start()] + _NO_SEAL + text[seal.end() :]


def _ends(text: str) -> int:
    return _LEAST_ENDS + _checksum(text) % _ENDS


def _checksum(text: str) -> int:
    return zlib.crc32(text.encode("utf-8", "replace"))
