"""What was said in a class, with times: read from captions of any kind, and taken apart into words."""

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from pathlib import Path

from guide.problem import UnusableChoice
from guide.review.captions.base import ShownCaption, bare, over_by
from guide.review.captions.json_reader import is_json, read_json
from guide.review.captions.rolling import made_single
from guide.review.captions.speakers import without_speakers
from guide.review.captions.subrip_reader import is_subrip, read_subrip
from guide.review.captions.substation_reader import is_substation, read_substation
from guide.review.captions.table_reader import is_table, read_table
from guide.review.captions.timed_lines import has_named_times, has_times, read_named_lines, read_timed_lines
from guide.review.captions.ttml_reader import is_ttml, read_ttml
from guide.review.captions.webvtt_reader import is_webvtt, read_webvtt

#: Captions of a class of three hours have a few hundred kilobytes; with a time at each word, some megabytes.
MOST_BYTES = 8 * 1024 * 1024

#: So much of a file tells how its letters are written.
FIRST_BYTES = 1000

#: Six hours without a pause: an hour of talk is some ten thousand words.
MOST_WORDS = 60_000

WHAT_IT_MAY_BE = (
    "give WebVTT, SubRip, ASS, TTML or JSON captions, or lines that begin with a time, as in `1:05 Lift your arms`"
)

#: How a format is known, and its reader; the first that knows a file reads it. WebVTT and SubRip are alike but for the
#: first line, and their times would do for plain ones; those of a table as well.
FORMATS: tuple[tuple[Callable[[str], bool], Callable[[str], list[ShownCaption]]], ...] = (
    (is_webvtt, read_webvtt),
    (is_substation, read_substation),
    (is_ttml, read_ttml),
    (is_json, read_json),
    (is_subrip, read_subrip),
    (is_table, read_table),
    (has_times, read_timed_lines),
    (has_named_times, read_named_lines),
)

_WORD = re.compile(r"[^\W_]+")
_APOSTROPHE = re.compile("(?<=\\w)['’ʼ`´](?=\\w)")


@dataclass(frozen=True, slots=True)
class Segment:
    """Words said between `start_ms` and `end_ms`, later than the start; on one line, as they were written."""

    start_ms: int
    end_ms: int
    text: str


@dataclass(frozen=True, slots=True)
class Transcript:
    """All that was said in a class: segments in order of time that do not overlap. `name` is its file in messages."""

    name: str
    blocks: tuple[Segment, ...]


@dataclass(frozen=True, slots=True)
class Word:
    """A word as `folded` leaves it, said about between `start_ms` and `end_ms`."""

    text: str
    start_ms: int
    end_ms: int


def read(path: Path) -> Transcript:
    """The transcript in a file of any of `FORMATS`, told apart by what is in it.

    Raises:
        UnusableChoice: the file cannot be read, is no text, or has no words with times, or more than any class.
    """
    return read_raw(_content(path), str(path))


def read_raw(raw: bytes, name: str) -> Transcript:
    """The transcript in the bytes of a file that is called `name` in messages.

    Raises:
        UnusableChoice: this is no text, or has no words with times, or more than any class.
    """
    text = _text(raw, name)
    if not text.strip():
        raise UnusableChoice(f"{name}: there is nothing in it ({WHAT_IT_MAY_BE})")
    transcript = Transcript(name, tuple(_blocks(made_single(without_speakers(_shown(text, name))))))
    if not transcript.blocks:
        raise UnusableChoice(f"{name}: there are no words with times in it ({WHAT_IT_MAY_BE})")
    if (count := sum(len(_WORD.findall(block.text)) for block in transcript.blocks)) > MOST_WORDS:
        what = f"{count} words, and an hour of talk has some 10000"
        raise UnusableChoice(f"{name}: {what} (give the captions of one class of six hours at most)")
    return transcript


def words(transcript: Transcript) -> tuple[Word, ...]:
    """Every word in order; in its segment a word has the share of time that its letters have of all letters."""
    return tuple(word for block in transcript.blocks for word in _words_of(block))


@lru_cache(maxsize=16384)
def folded(text: str) -> tuple[str, ...]:
    """The words of `text` in the form in which they are compared: lower case, no punctuation, no diacritics.

    An apostrophe joins (`don't` is one word), a hyphen parts (`hip-width` is two).
    """
    decomposed = unicodedata.normalize("NFKD", _APOSTROPHE.sub("", text))
    plain = "".join(char for char in decomposed if not unicodedata.combining(char))
    return tuple(_WORD.findall(plain.casefold()))


def _words_of(block: Segment) -> Iterator[Word]:
    found = folded(block.text)
    letters = sum(map(len, found))
    length_ms = block.end_ms - block.start_ms
    before = 0
    for text in found:
        after = before + len(text)
        yield Word(text, block.start_ms + length_ms * before // letters, block.start_ms + length_ms * after // letters)
        before = after


def _content(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except FileNotFoundError as error:
        raise UnusableChoice(f"{path}: there is no such file (give the captions of the class)") from error
    except IsADirectoryError as error:
        raise UnusableChoice(f"{path}: this is a folder, not a file (give the captions of the class)") from error
    except (OSError, ValueError) as error:
        reason = (error.strerror if isinstance(error, OSError) else None) or str(error)
        raise UnusableChoice(f"{path}: this file cannot be read ({reason})") from error
    if len(raw) > MOST_BYTES:
        megabytes = MOST_BYTES // 1024 // 1024
        raise UnusableChoice(f"{path}: longer than {megabytes} MB, too long for captions ({WHAT_IT_MAY_BE})")
    return raw


def _text(raw: bytes, name: str) -> str:
    """The text with `\\n` as its only line end and no mark at its start."""
    text = _decoded(raw).removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    if "\0" in text and not is_webvtt(text):
        raise UnusableChoice(f"{name}: this is not a text file ({WHAT_IT_MAY_BE})")
    return text.replace("\0", "\ufffd")


def _decoded(raw: bytes) -> str:
    """UTF-8 or UTF-16 where it is that; else Western European, in which every byte is a letter."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        return raw.decode("utf-16", errors="replace")
    if unmarked := _utf_16(raw[:FIRST_BYTES]):
        return raw.decode(unmarked, errors="replace")
    for encoding in ("utf-8-sig", "cp1252"):
        try:
            return raw.decode(encoding)
        except UnicodeDecodeError:
            continue
    return raw.decode("latin-1")


def _utf_16(first: bytes) -> str:
    """UTF-16 without its mark: times and line ends have a byte of zeros each, all of them before or after the other."""
    before, after = first[0::2].count(0), first[1::2].count(0)
    if max(before, after) < len(first) // 4 or min(before, after) > max(before, after) // 10:
        return ""
    return "utf-16-be" if before > after else "utf-16-le"


def _shown(text: str, name: str) -> list[ShownCaption]:
    """The captions in the file's order; a format is known by its first words, or by the first of its times."""
    for known, read_it in FORMATS:
        if known(text):
            return read_it(text)
    raise UnusableChoice(f"{name}: no line in it begins with a time ({WHAT_IT_MAY_BE})")


def _blocks(shown: Iterable[ShownCaption]) -> list[Segment]:
    """The captions in order of time; those that begin together are one, and each ends where the next begins."""
    together: dict[int, list[Segment]] = {}
    for block in (block for one in shown for block in _parts(one)):
        together.setdefault(block.start_ms, []).append(block)
    ordered = [_one_of(together[start_ms]) for start_ms in sorted(together)]
    clipped = [replace(one, end_ms=min(one.end_ms, after.start_ms)) for one, after in pairwise(ordered)]
    return [*clipped, *ordered[-1:]]


def _one_of(blocks: list[Segment]) -> Segment:
    return Segment(blocks[0].start_ms, max(one.end_ms for one in blocks), " ".join(one.text for one in blocks))


def _parts(shown: ShownCaption) -> Iterator[Segment]:
    """A block for each piece; where words have times of their own, they are over when their letters are said."""
    ends = [*(piece.start_ms for piece in shown.pieces[1:]), shown.end_ms]
    for piece, until_ms in zip(shown.pieces, ends, strict=True):
        text = bare(piece.text)
        if _WORD.search(text):
            end_ms = min(until_ms, over_by(piece.start_ms, text)) if len(shown.pieces) > 1 else until_ms
            yield Segment(piece.start_ms, max(end_ms, piece.start_ms + 1), text)
