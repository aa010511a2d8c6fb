"""Names of poses as people spell them, brought to one form in which two spellings of a name are alike.

Nothing is looked up here: `folded` only leaves out what people spell differently. Capitals, accents, spaces, hyphens,
plurals, possessives, `the` and `pose`, ways to write a number, a side at the end, the visarga of Sanskrit, and letters
that the trade writes in two ways (`śavāsana`, `shavasana`) make no difference.
"""

import re
import unicodedata
from functools import lru_cache

from guide.numerals import TO_TEN

_LEFT_OUT = frozenset({"the", "pose", "posture", "and"})

_ROMAN = ("i", "ii", "iii", "iv")
_NUMBERS = {word: str(number) for words in (_ROMAN, TO_TEN) for number, word in enumerate(words, start=1)}

_SIDE = r"(?:<other side>|<side>|(?:right|left)(?:\s+side)?|(?:other|both|each|first|second)\s+sides?)"
_LEADING = r"(?:on|to|with|for|from)?\s*(?:the|your|my|a)?"

#: `, right`, ` on the left`, ` (<side>)`, ` to your other side` at the end of a name.
_SIDE_AT_END = re.compile(rf"(?:\s*[,;:(–—-]\s*|\s+){_LEADING}\s*{_SIDE}\s*\)?\s*$")

#: `, right foot forward`: a part after a comma, a dash or a bracket that begins with a side.
_SIDE_PART = re.compile(
    r"\s*(?:[,;:(–—]|\s-\s)\s*(?=<|(?:right|left|on|to|with)\b)(?=.*(?:\bright\b|\bleft\b|side>)).*$"
)

#: A side anywhere, for `right warrior two` and `lying on the right side`.
_SIDE_WORD = re.compile(r"<other side>|<side>|\b(?:right|left)\b")

_APOSTROPHES = re.compile("['’‘ʼ`]")
_BETWEEN = re.compile(r"[\s!-/:-@\[-`{-~–—…“”·]+")
_DIGITS = re.compile(r"(?<=[^\W\d])(?=\d)|(?<=\d)(?=[^\W\d])")

#: `ḥ` at the end of a word, and how it looks without its dot.
_VISARGA = re.compile(r"(?<=[aiu])h\b")

#: Letters that the trade writes in two ways: ś and ṣ as s or sh, c as c or ch, ṛ as r or ri, v as v or w.
_TRADE = (("sh", "s"), ("ch", "c"), ("ri", "r"), ("w", "v"))

#: Endings that lose more than their s, with what stays.
_PLURALS = {"ies": "y", "sses": "ss", "shes": "sh", "ches": "ch", "xes": "x", "tuses": "tus", "roes": "ro"}
_NO_PLURALS = ("ss", "us", "is")


#: Words that mean the same in a name, with the one that stands for them.
_SAME = {
    **dict.fromkeys(("reclining", "reclined", "supine"), "lying"),
    **dict.fromkeys(("revolved", "revolving", "twisting"), "twisted"),
    "sitting": "seated",
    "breathing": "breath",
}


@lru_cache(maxsize=8192)
def folded(name: str) -> str:
    """The form that all spellings of a name share; it is compared, never shown."""
    return key_of(without_side(name))


@lru_cache(maxsize=1024)
def foldings(name: str) -> tuple[str, ...]:
    """The forms under which a written name is looked for, likeliest first.

    A side may belong to a name (`lying on the side`) or to how it is done (`lying on the right side`), so a name with a
    side is looked for with its last words left out, and with the side alone left out.
    """
    lower = _lower(name)
    shorter = (without_side(name), _SIDE_PART.sub("", lower), _SIDE_WORD.sub(" ", lower))
    keys = (key_of(name), *(key_of(each) for each in shorter if each.strip()))
    return tuple(dict.fromkeys(keys))


def without_side(name: str) -> str:
    """A name without the side that stands at its end; the name itself where nothing else would stay."""
    shorter = _SIDE_AT_END.sub("", _lower(name))
    return shorter if shorter.strip() else name


def key_of(name: str) -> str:
    """A name, side and all, in its one form."""
    return "".join(map(alike, tokens(name))) or " ".join(name.split()).casefold()


@lru_cache(maxsize=8192)
def tokens(name: str) -> tuple[str, ...]:
    """The words of a name, each in its one form, without those that make no difference."""
    lower = _APOSTROPHES.sub("", _lower(name).replace("&", " and "))
    marked = unicodedata.normalize("NFKD", lower)
    bare = marked if marked.isascii() else "".join(char for char in marked if not unicodedata.combining(char))
    words = [part for word in _BETWEEN.split(bare) if word for part in _parted(word)]
    stems = [_NUMBERS.get(word) or _stem(word) for word in words]
    return tuple(_as_traded(stem) for stem in stems if stem not in _LEFT_OUT)


def alike(token: str) -> str:
    """The word that stands for all that mean the same in a name: `reclined` and `supine` are `lying`."""
    return _SAME_TOKENS.get(token, token)


def _lower(name: str) -> str:
    return name.lower() if name.isascii() else unicodedata.normalize("NFC", name).casefold()


def _parted(word: str) -> list[str]:
    """A word with its digits and letters apart."""
    return [word] if word.isalpha() else [part for part in _DIGITS.split(word) if part]


def _stem(word: str) -> str:
    """A word without its plural: `fishes`, `butterflies`, `feet`."""
    if word == "feet":
        return "foot"
    if len(word) < 4 or not word.endswith("s") or word.endswith(_NO_PLURALS):
        return word
    for ending, single in _PLURALS.items():
        if word.endswith(ending):
            return word.removesuffix(ending) + single
    return word[:-1]


def _as_traded(word: str) -> str:
    word = _VISARGA.sub("", word) if "h" in word else word
    for written, meant in _TRADE:
        word = word.replace(written, meant)
    return word


_SAME_TOKENS = {_as_traded(word): _as_traded(meant) for word, meant in _SAME.items()}
