"""Phonemes between notations: from IPA to ARPAbet, and from ARPAbet to syllables that any English voice reads.

A word in ARPAbet is a text such as `SH AX . V AA1 . S AX . N AX`: its sounds, a point between syllables, 1 and 2 after
the vowels that bear the main and the lesser stress, and `_` between the words of a name. AX is the weak vowel of
"about".
Source: ARPAbet as CMUdict writes it; the IPA values of its symbols as in the usual tables (from memory).
"""

import re
import unicodedata

#: Between the words of a name that is said as one.
WORD_GAP = " _ "

VOWELS = frozenset(["AA", "AE", "AH", "AX", "AO", "AW", "AY", "EH", "ER", "EY", "IH", "IY", "OW", "OY", "UH", "UW"])

_FROM_IPA = {
    # Vowels; `i` and `u` without a length mark are short unless nothing closes them.
    "aː": "AA",
    "ɑː": "AA",
    "ɑ": "AA",
    "ɒ": "AA",
    "a": "AA",
    "æ": "AE",
    "ɐ": "AX",
    "ə": "AX",
    "ʌ": "AH",
    "ɚ": "ER",
    "ɜː": "ER",
    "ɜ": "ER",
    "ɝ": "ER",
    "ɛ": "EH",
    "e": "EH",
    "eː": "EY",
    "eɪ": "EY",
    "ej": "EY",
    "ɪ": "IH",
    "i": "IH",
    "iː": "IY",
    "ɔː": "AO",
    "ɔ": "AO",
    "o": "OW",
    "oː": "OW",
    "oʊ": "OW",
    "əʊ": "OW",
    "ʊ": "UH",
    "u": "UH",
    "uː": "UW",
    "aɪ": "AY",
    "aj": "AY",
    "ɐj": "AY",
    "aʊ": "AW",
    "aw": "AW",
    "ɑw": "AW",
    "ɔɪ": "OY",
    "ɔj": "OY",
    # A syllabic r is said "ri" in most of India.
    "ɻ̩ː": "R IY",
    "ɻ̩": "R IH",
    "r̩": "R IH",
    "l̩": "AX L",
    # Consonants; those of other languages become the nearest English one.
    "p": "P",
    "b": "B",
    "t": "T",
    "ʈ": "T",
    "d": "D",
    "ɖ": "D",
    "k": "K",
    "x": "K",
    "ɡ": "G",
    "g": "G",
    "tʃ": "CH",
    "tɕ": "CH",
    "ʧ": "CH",
    "dʒ": "JH",
    "dʑ": "JH",
    "ʤ": "JH",
    "f": "F",
    "v": "V",
    "ʋ": "V",
    "θ": "TH",
    "ð": "DH",
    "s": "S",
    "z": "Z",
    "ʃ": "SH",
    "ɕ": "SH",
    "ʂ": "SH",
    "ʒ": "ZH",
    "h": "HH",
    "ɦ": "HH",
    "m": "M",
    "n": "N",
    "ɳ": "N",
    "ɲ": "N",
    "ŋ": "NG",
    "l": "L",
    "ɫ": "L",
    "r": "R",
    "ɹ": "R",
    "ɾ": "R",
    "ɻ": "R",
    "j": "Y",
    "w": "W",
}
_UNITS = re.compile("|".join(re.escape(unit) for unit in sorted(_FROM_IPA, key=len, reverse=True)))
_SYLLABIC = "\u0329"
#: Breathing after a stop and other marks that English does not tell apart.
_UNHEARD = frozenset("ʰʱʲʷˠʔ")


class UnknownPhoneme(ValueError):
    """IPA with a sign that is none of the sounds known here; `sign` is that sign."""

    def __init__(self, sign: str) -> None:
        self.sign = sign
        super().__init__(f"“{sign}” is none of the sounds known here")


def arpabet(ipa: str) -> str:
    """A word in IPA as ARPAbet. Raises UnknownSound."""
    syllables = _syllables(ipa)
    if not any(syllable for _, syllable in syllables):
        raise UnknownPhoneme(ipa)
    main = next((place for place, (mark, _) in enumerate(syllables) if mark == "ˈ"), None)
    said = []
    for place, (mark, sounds) in enumerate(syllables):
        opens = place == 0 and main is not None and main >= 2
        stress = "1" if mark == "ˈ" else "2" if mark == "ˌ" or opens else ""
        said.append(_with_stress(sounds, stress))
    return " . ".join(said)


def respelling(word: str) -> str:
    """ARPAbet as syllables in English letters, with hyphens between: `SH AX . V AA1` is "shuh-vah"."""
    said = ("-".join(_respelt(syllable.split()) for syllable in part.split(" . ")) for part in word.split(WORD_GAP))
    return " ".join(said)


def _syllables(ipa: str) -> list[tuple[str, list[str]]]:
    """Each syllable's stress mark and its sounds."""
    found = re.findall(r"([ˈˌ]?)([^ˈˌ.\-\s]+)", _plain(ipa))
    syllables = [(mark, _sounds(rest)) for mark, rest in found]
    last = syllables[-1][1] if syllables else []
    if last and last[-1] in ("IH", "UH"):
        last[-1] = {"IH": "IY", "UH": "UW"}[last[-1]]
    return syllables


def _plain(ipa: str) -> str:
    letters = unicodedata.normalize("NFD", ipa)
    return "".join(
        letter for letter in letters if letter == _SYLLABIC or not (unicodedata.combining(letter) or letter in _UNHEARD)
    )


def _sounds(letters: str) -> list[str]:
    sounds: list[str] = []
    place = 0
    while place < len(letters):
        unit = _UNITS.match(letters, place)
        if unit is None:
            raise UnknownPhoneme(letters[place])
        sounds += _FROM_IPA[unit[0]].split()
        place = unit.end()
    return sounds


def _with_stress(sounds: list[str], stress: str) -> str:
    centre = next((place for place, sound in enumerate(sounds) if sound in VOWELS), None)
    return " ".join(f"{sound}{stress}" if place == centre else sound for place, sound in enumerate(sounds))


_LETTERS = {
    "AA": "ah",
    "AE": "a",
    "AH": "uh",
    "AX": "uh",
    "AO": "aw",
    "AW": "ow",
    "AY": "eye",
    "EH": "eh",
    "ER": "er",
    "EY": "ay",
    "IH": "ih",
    "IY": "ee",
    "OW": "oh",
    "OY": "oy",
    "UH": "oo",
    "UW": "oo",
    "DH": "th",
    "HH": "h",
    "JH": "j",
}
#: Before a consonant of the same syllable the short vowels are safer without an h.
_CLOSED = {"AX": "u", "AH": "u", "EH": "e", "IH": "i", "UH": "u"}


def _respelt(sounds: list[str]) -> str:
    said = ""
    for place, sound in enumerate(sounds):
        bare = sound.rstrip("12")
        closed = place + 1 < len(sounds)
        said += _CLOSED[bare] if closed and bare in _CLOSED else _LETTERS.get(bare, bare.lower())
    return said
