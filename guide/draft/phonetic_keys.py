"""How words sound, near enough to tell which of two was said: a key of sounds, and how alike two keys are.

The rules are those of English spelling as every phonetic key has them (silent letters, `ph` as f, soft c and g), and
those of the trade's spelling of Sanskrit; vowels, which are heard worst, all count as one.
"""

import re
from collections.abc import Callable
from functools import cache, lru_cache

from guide.sequence.steps import Breath

#: Words that are not said as they are spelt.
_IRREGULAR = {
    "one": "wun", "two": "too", "eight": "ate", "four": "for", "1": "wun", "2": "too", "3": "three", "4": "for",
    "5": "five", "8": "ate", "hour": "our", "eye": "i", "eyes": "ise", "sure": "shur",
}  # fmt: skip

#: Spellings of sounds, tried in this order; `S` is the sound of `sh` and `ch`, `0` that of `th`.
_RULES = tuple(
    (re.compile(pattern), sound)
    for pattern, sound in (
        (r"^kn|^gn", "n"), (r"^wr", "r"), (r"^wh", "w"), (r"^ps", "s"), (r"mb$", "m"), (r"igh", "i"),
        (r"gh(?=t)", ""), (r"gh$", ""), (r"(?<=[bdgkt])h", ""), (r"(?<=a)l(?=[fkm])", ""), (r"th", "t"),
        (r"ph", "f"), (r"tch|ch|sh|ti(?=on)|ci(?=a)", "S"), (r"dg(?=[eiy])", "j"), (r"g(?=[eiy])", "j"),
        (r"c(?=[eiy])", "s"), (r"ck|c|q", "k"), (r"x", "ks"), (r"z", "s"), (r"w", "v"), (r"h", ""),
        (r"(?<=[^aeiouy])e(?=s?$)", ""), (r"[aeiouy]+", "a"), (r"(.)\1+", r"\1"),
    )
)  # fmt: skip

#: Sounds made in about one place of the mouth, which are taken for each other.
_COARSE = str.maketrans("bdgvfjSzm", "ptkppsssn")


@lru_cache(maxsize=16384)
def key(word: str) -> str:
    """A word by its sounds: what sounds the same has the same key."""
    word = _IRREGULAR.get(word, word)
    for pattern, sound in _RULES:
        word = pattern.sub(sound, word)
    return word


@lru_cache(maxsize=16384)
def coarse(sounds: str) -> str:
    """A key in which sounds that are made in one place of the mouth are the same."""
    return re.sub(r"(.)\1+", r"\1", sounds.translate(_COARSE))


@cache
def _likeness() -> Callable[[str, str], float]:
    """How alike two texts are; loaded once, when it is needed."""
    from rapidfuzz.distance import Indel

    return Indel.normalized_similarity


@lru_cache(maxsize=65536)
def alike(one: str, other: str) -> float:
    """How alike two names or words are, 0 to 1: by their letters, by their sounds, and by where those are made."""
    likeness, first, second = _likeness(), key(one), key(other)
    return (likeness(one, other) + likeness(first, second) + likeness(coarse(first), coarse(second))) / 3


#: The calls of a breath, and how the second part of them is spelt by its sound.
_CALLS = tuple(
    (word, breath) for breath in Breath for word in (breath.value, f"{breath.value[:2]}hail", f"{breath.value}d")
)

#: A word is a call of the breath when it is so much like one.
LEAST_BREATH = 0.81

#: An h, a long a in any of its spellings, and an l.
_HALF = re.compile("ha(?:le|[iy]le?)")


@lru_cache(maxsize=16384)
def breath_word(word: str) -> Breath | None:
    """The breath that a word, or two read as one, calls by its sound."""
    if len(word) < 4 or word[0] not in "ieax":
        return None
    likeness, breath = max(((alike(word, call), breath) for call, breath in _CALLS), key=lambda each: each[0])
    return breath if likeness >= LEAST_BREATH else None


def half_breath(word: str) -> bool:
    """Whether a word is the second half of both words for a breath, whose first was not heard."""
    return _HALF.fullmatch(word) is not None


@lru_cache(maxsize=16384)
def breathing_word(word: str) -> bool:
    """Whether a word before `in` or `out` says to breathe."""
    return key(word)[:2] == "br" and max(alike(word, call) for call in ("breathe", "breath")) >= LEAST_BREATH - 0.1
