"""How names are said: the Sanskrit words of the trade, and whatever a class file adds with `pronounce`."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache

from guide.problem import UnusableChoice
from guide.voice import sanskrit
from guide.voice.normalise import folded, normalised
from guide.voice.phonemes import WORD_GAP, UnknownPhoneme, arpabet, respelling
from guide.voice.sanskrit_names import listed, parts_apart, plain, unlisted


@dataclass(frozen=True, slots=True)
class Pronunciation:
    """A word with its pronunciation: in ARPAbet where it is known to the sound, and in English syllables always."""

    written: str
    sounds: str | None
    respelt: str


LookUp = Callable[[tuple[str, ...]], Pronunciation | None]

_MOST_WORDS = 6
_WORD = re.compile(r"([^\W\d_]+(?:'[^\W\d_]+)?)")


def pieces(text: str, teacher: Mapping[str, str]) -> tuple[str | Pronunciation, ...]:
    """Words as `normalise.normalised` leaves them, cut into plain text (diacritics taken off) and words with a
    pronunciation.

    `teacher` maps words to how they are said: English syllables ("oo-JAI"), or IPA between slashes. It goes first.
    Raises UnusableChoice for a pronunciation that cannot be read.
    """
    own = _read(tuple(teacher.items()))
    longest = max((len(key.split()) for key in own), default=0)
    by_teacher = _joined(_cut(text, lambda words: own.get(" ".join(map(plain, words))), min(longest, _MOST_WORDS)))
    parts: list[str | Pronunciation] = []
    for piece in by_teacher if own else (text,):
        parts += [piece] if isinstance(piece, Pronunciation) else _cut(piece, _sanskrit, _MOST_WORDS)
    return tuple(piece if isinstance(piece, Pronunciation) else folded(piece) for piece in _joined(parts))


@lru_cache(maxsize=8)
def _read(teacher: tuple[tuple[str, str], ...]) -> Mapping[str, Pronunciation]:
    """A teacher's pronunciations, by their words as the text will have them."""
    return {_words_key(word): pronounced(word, said) for word, said in teacher}


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
        return _sounding(word, sounds)
    syllables = re.sub(r"[^a-zA-Z' -]", "", folded(said)).strip(" -'")
    if not syllables:
        raise UnusableChoice(f"pronounce: nothing says how “{word}” is said (write syllables, as in oo-JAI)")
    return Pronunciation(word, None, syllables)


@cache
def said_in_sanskrit(iast: str, written: str) -> Pronunciation:
    """`written`, said as the Sanskrit word or name `iast`, each of its words by itself, the last the most stressed."""
    # In most of India jñ is said "gy".
    *before, last = (arpabet(sanskrit.ipa(word.replace("jñ", "gy"))) for word in parts_apart(iast))
    return _sounding(written, WORD_GAP.join([*(word.replace("1", "2") for word in before), last]))


def _sanskrit(words: tuple[str, ...]) -> Pronunciation | None:
    written, word = " ".join(words), "".join(words)
    iast = listed(word)
    if iast is None and len(words) == 1:
        one = re.fullmatch(r"(.{3,}?)'?s", word)
        of_one = listed(one[1]) if one else None
        if one and of_one:
            return _sounding(written, f"{said_in_sanskrit(of_one, one[1]).sounds} Z")
        iast = unlisted(word)
    return said_in_sanskrit(iast, written) if iast else None


def _sounding(written: str, sounds: str) -> Pronunciation:
    return Pronunciation(written, sounds, respelling(sounds))


def _words_key(word: str) -> str:
    """A teacher's word as the text will have it: what becomes of it on its way to the voice, in lower case."""
    said = normalised(word).rstrip(".!?") if normalised(word) else word
    return " ".join(plain(part) for part in _WORD.findall(said))


def _cut(text: str, look_up: LookUp, most_words: int) -> Iterator[str | Pronunciation]:
    """`text` with every run of so many words that `look_up` knows taken out, longest runs first."""
    parts = _WORD.split(text)
    place = 1
    yield parts[0]
    while place < len(parts):
        said, width = _longest(parts, place, look_up, most_words)
        yield said or parts[place]
        place += 2 * width
        yield parts[place - 1]


def _longest(parts: list[str], place: int, look_up: LookUp, most_words: int) -> tuple[Pronunciation | None, int]:
    widest = 1
    # What comes last of all parts is no word.
    while widest < most_words and place + 2 * widest < len(parts) and parts[place + 2 * widest - 1] in (" ", "-"):
        widest += 1
    for width in range(widest, 0, -1):
        said = look_up(tuple(parts[place : place + 2 * width - 1 : 2]))
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
