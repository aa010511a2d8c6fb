"""How names are said: the Sanskrit words of the trade, and whatever a class file adds with `pronounce`."""

import csv
import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from guide.problem import UnusableChoice
from guide.voice import sanskrit
from guide.voice.normalise import folded, normalised
from guide.voice.phonemes import UnknownPhoneme, arpabet, respelling


@dataclass(frozen=True, slots=True)
class Pronunciation:
    """A word with its pronunciation: in ARPAbet where it is known to the sound, and in English syllables always."""

    written: str
    sounds: str | None
    respelt: str


#: Words that stand before the name of a pose, or beside it, when it is written in several.
PARTS = tuple(
    word
    for line in (
        "adho añjali ardha baddha bandha caturaṅga eka hasta jānu karaṇī mudrā mukha namaskāra nāḍī pāda parivṛtta",
        "pārśva prasārita rāja śodhana sālamba setu sūrya supta upaviṣṭa utthita ūrdhva viparīta",
    )
    for word in line.split()
)

#: Sanskrit words that are something else in English when their marks are left off.
_ONLY_MARKED = frozenset({"ṣaṭ"})

LookUp = Callable[[tuple[str, ...]], Pronunciation | None]

_MOST_WORDS = 6
_WORD = re.compile(r"([^\W\d_]+(?:'[^\W\d_]+)?)")


def pieces(text: str, teacher: Mapping[str, str]) -> tuple[str | Pronunciation, ...]:
    """Words as `normalise.normalised` leaves them, cut into plain text (diacritics taken off) and words with a
    pronunciation.

    `teacher` maps words to how they are said: English syllables ("oo-JAI"), or IPA between slashes. It goes first.
    Raises UnusableChoice for a pronunciation that cannot be read.
    """
    own = {_words_key(word): pronounced(word, said) for word, said in teacher.items()}
    parts: list[str | Pronunciation] = []
    for piece in _joined(_cut(text, lambda words: own.get(" ".join(map(_plain, words))))):
        parts += [piece] if isinstance(piece, Pronunciation) else _cut(piece, _sanskrit)
    return tuple(piece if isinstance(piece, Pronunciation) else folded(piece) for piece in _joined(parts))


def pronounced(word: str, said: str) -> Pronunciation:
    """A teacher's pronunciation of `word`. Raises UnusableChoice."""
    said = said.strip()
    if len(said) > 2 and said[0] == said[-1] == "/":
        try:
            sounds = arpabet(said[1:-1])
        except UnknownPhoneme as error:
            raise UnusableChoice(
                f"pronounce: the way to say “{word}” holds “{error.sign}”, which is no sound known here "
                "(write English syllables instead, as in oo-JAI)"
            ) from error
        return Pronunciation(word, sounds, respelling(sounds))
    syllables = re.sub(r"[^a-zA-Z' -]", "", folded(said)).strip(" -'")
    if not syllables:
        raise UnusableChoice(f"pronounce: nothing says how “{word}” is said (write syllables, as in oo-JAI)")
    return Pronunciation(word, None, syllables)


def sanskrit_of(word: str) -> str | None:
    """The IAST form of a Sanskrit word in any usual spelling, with or without marks, or None for any other word."""
    return _whole(word) or _alone(word)


@cache
def said_in_sanskrit(iast: str, written: str) -> Pronunciation:
    """`written`, said as the Sanskrit word `iast`."""
    sounds = arpabet(sanskrit.ipa(iast))
    return Pronunciation(written, sounds, respelling(sounds))


def _sanskrit(words: tuple[str, ...]) -> Pronunciation | None:
    iast = _whole("".join(words)) or (_alone(words[0]) if len(words) == 1 else None)
    return said_in_sanskrit(iast, " ".join(words)) if iast else None


def _whole(word: str) -> str | None:
    table = _table()
    return table.names.get(_skeleton(word)) if _is_pose(word) else table.words.get(_plain(word))


def _alone(word: str) -> str | None:
    """A single word that is not in the table: the tail of a longer name, a word in IAST, or anything in -asana."""
    if sanskrit.is_iast(word):
        return unicodedata.normalize("NFC", word.lower())
    if not _is_pose(word):
        return None
    return _table().tails.get(_skeleton(word)) or _unfolded(word)


def _is_pose(word: str) -> bool:
    return _plain(word).endswith("asana")


def _unfolded(word: str) -> str | None:
    letters = _plain(word).removesuffix("asana").replace("sh", "ś").replace("ch", "c").replace("w", "v")
    guess = f"{letters}āsana"
    return guess if sanskrit.is_iast(guess) else None


@dataclass(frozen=True, slots=True)
class _Table:
    names: Mapping[str, str]
    tails: Mapping[str, str]
    words: Mapping[str, str]


@cache
def _table() -> _Table:
    known = [row["iast"] for row in table_rows()]
    names = {_skeleton(iast): iast for iast in known if _is_pose(iast)}
    tails: dict[str, str] = {}
    for iast in names.values():
        for start in range(1, len(iast) - 4):
            if iast[start] != "h":
                tails.setdefault(_skeleton(iast[start:]), iast[start:])
    words = {key: iast for iast in (*PARTS, *known) if not _is_pose(iast) for key in _spellings(iast)}
    return _Table(names, tails, words)


def table_rows() -> list[dict[str, str]]:
    """The rows of `sanskrit.tsv`."""
    text = files("guide.voice").joinpath("sanskrit.tsv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines(), delimiter="\t"))


def _spellings(iast: str) -> set[str]:
    """The ways to write a word without marks: scholars' letters taken bare, and as English readers write them."""
    if iast in _ONLY_MARKED:
        return set()
    english = re.sub(r"c(?!h)", "ch", re.sub("[śṣ]", "sh", iast))
    return {
        _plain(form.replace("ṛ", vowel))
        for form in (iast, english, iast.replace("ś", "sh").replace("ṣ", "sh"), english.replace("chch", "cch"))
        for vowel in ("r", "ri")
    }


def _plain(word: str) -> str:
    return folded(word.lower())


def _words_key(word: str) -> str:
    """A teacher's word as the text will have it: what becomes of it on its way to the voice, in lower case."""
    said = normalised(word).rstrip(".!?") if normalised(word) else word
    return " ".join(_plain(part) for part in _WORD.findall(said))


def _skeleton(word: str) -> str:
    """A spelling with everything left out in which teachers differ (sh or s, ch or c, ri or r, th or t, doubles)."""
    bare = _plain(word).replace("w", "v").replace("aa", "a").replace("ee", "i").replace("oo", "u")
    bare = re.sub(r"(?<=[bcdgjklmnprstv])h", "", bare)
    bare = re.sub(r"(?<=[bcdgjklmnpstv])ri", "r", bare)
    bare = re.sub(r"m(?=[bcdgjklpst])", "n", bare)
    return re.sub(r"(.)\1", r"\1", bare)


def _cut(text: str, look_up: LookUp) -> Iterator[str | Pronunciation]:
    """`text` with every run of words that `look_up` knows taken out, longest runs first."""
    parts = _WORD.split(text)
    place = 1
    yield parts[0]
    while place < len(parts):
        said, width = _longest(parts, place, look_up)
        yield said or parts[place]
        place += 2 * width
        yield parts[place - 1]


def _longest(parts: list[str], place: int, look_up: LookUp) -> tuple[Pronunciation | None, int]:
    for width in range(_MOST_WORDS, 0, -1):
        end = place + 2 * width - 1
        if end <= len(parts) and all(gap in (" ", "-") for gap in parts[place + 1 : end : 2]):
            said = look_up(tuple(parts[place:end:2]))
            if said:
                return said, width
    return None, 1


def _joined(parts: Iterable[str | Pronunciation]) -> Iterator[str | Pronunciation]:
    plain = ""
    for part in parts:
        if isinstance(part, str):
            plain += part
            continue
        yield from (plain, part) if plain else (part,)
        plain = ""
    if plain:
        yield plain
