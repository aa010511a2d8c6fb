"""Sanskrit written in IAST: its syllables, which of them is stressed, and its sounds in IPA.

Source: the stress rule as Macdonell's and Coulson's grammars give it (from memory); the values of the letters as in the
usual IAST to IPA tables, cross-checked with another converter. `sanskrit.tsv` holds 99 words worked out by hand.
"""

import itertools
import re
import unicodedata

_VOWELS = {
    "a": "ɐ",
    "ā": "aː",
    "i": "i",
    "ī": "iː",
    "u": "u",
    "ū": "uː",
    "ṛ": "ɻ̩",
    "ṝ": "ɻ̩ː",
    "ḷ": "l̩",
    "e": "eː",
    "ai": "ɐj",
    "o": "oː",
    "au": "ɑw",
}
_CONSONANTS = {
    "k": "k",
    "g": "ɡ",
    "ṅ": "ŋ",
    "c": "tɕ",
    "j": "dʑ",
    "ñ": "ɲ",
    "ṭ": "ʈ",
    "ḍ": "ɖ",
    "ṇ": "ɳ",
    "t": "t̪",
    "d": "d̪",
    "n": "n̪",
    "p": "p",
    "b": "b",
    "m": "m",
    "y": "j",
    "r": "ɾ",
    "l": "l",
    "v": "ʋ",
    "ś": "ɕ",
    "ṣ": "ʂ",
    "s": "s",
    "h": "ɦ",
    "ṃ": "m",
    "ḥ": "h",
}
#: A consonant with a breath after it counts as one; `h` is never English "th" or "ph".
_BREATHED = {
    **{f"{letter}h": f"{_CONSONANTS[letter]}ʰ" for letter in "kcṭtp"},
    **{f"{letter}h": f"{_CONSONANTS[letter]}ʱ" for letter in "gjḍdb"},
}
_SOUNDS = {**_VOWELS, **_CONSONANTS, **_BREATHED}
_LONG = frozenset(["ā", "ī", "ū", "ṝ", "e", "ai", "o", "au"])
_CLOSING = frozenset("ṃḥ")
_LETTERS = re.compile("|".join(sorted(_SOUNDS, key=len, reverse=True)))

#: Letters that only IAST has: a word that holds one is read as Sanskrit.
MARKED = frozenset("āīūṛṝḷṅṭḍṇśṣṃḥ")


def is_iast(word: str) -> bool:
    """True for a word that is written in IAST throughout and shows it by at least one of its own letters."""
    word = unicodedata.normalize("NFC", word.lower())
    return not MARKED.isdisjoint(word) and is_readable(word)


def is_readable(word: str) -> bool:
    """True for small letters that are IAST throughout, with a vowel among them."""
    return "".join(_LETTERS.findall(word)) == word and _has_vowel(word)


def syllables(word: str) -> tuple[str, ...]:
    """The syllables of a word in IAST; of several consonants between vowels only the last opens a syllable.

    Raises ValueError for a word that is not IAST.
    """
    letters = _letters(word)
    centres = [place for place, letter in enumerate(letters) if letter in _VOWELS]
    cuts = [max(left + 1, right - 1) for left, right in itertools.pairwise(centres)]
    edges = [0, *cuts, len(letters)]
    return tuple("".join(letters[start:end]) for start, end in itertools.pairwise(edges))


def stressed(parts: tuple[str, ...]) -> int:
    """Which syllable bears the stress: the last but one if heavy, else the one before it if heavy, else the one before
    that.

    A syllable is heavy when its vowel is long or a consonant closes it. In a word too short for the rule
    it is the first. A last syllable with both has lost a vowel since (namaskār), and bears the stress that it had.
    """
    count = len(parts)
    if _worn(parts[-1]):
        return count - 1
    for place in (count - 2, count - 3):
        if place >= 0 and heavy(parts[place]):
            return place
    return max(0, count - 4)


def _worn(syllable: str) -> bool:
    *_, before, last = ("", *_letters(syllable))
    return before in _LONG and last not in _VOWELS and last not in _CLOSING


def heavy(syllable: str) -> bool:
    """True for a syllable with a long vowel, or one that ends in a consonant."""
    letters = _letters(syllable)
    return letters[-1] not in _VOWELS or not _LONG.isdisjoint(letters) or not _CLOSING.isdisjoint(letters)


def ipa(word: str) -> str:
    """A word in IAST as IPA: `ˈ` before its stressed syllable, a point between the others, as in `sanskrit.tsv`."""
    parts = syllables(word)
    stress = stressed(parts)
    if parts[-1].endswith("ḥ"):
        # The breath after a last vowel is said with its echo: samasthitiḥ ends as "-ti-hi".
        parts = (*parts[:-1], parts[-1][:-1], f"h{parts[-1][-2]}")
    said = ""
    for place, part in enumerate(parts):
        mark = "ˈ" if place == stress else "." if place else ""
        said += mark + "".join(_SOUNDS[letter] for letter in _letters(part))
    return said


def _letters(word: str) -> list[str]:
    word = unicodedata.normalize("NFC", word.lower())
    if not is_readable(word):
        raise ValueError(f"not a word in IAST: {word}")
    return _LETTERS.findall(word)


def _has_vowel(word: str) -> bool:
    return any(letter in _VOWELS for letter in _LETTERS.findall(word))
