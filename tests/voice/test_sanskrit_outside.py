"""Our Sanskrit beside an independent phonemiser, and beside a dictionary of English; the figures are printed."""

import re
import shutil
import subprocess
from collections.abc import Callable

import pytest
from hibari import Hibari

from guide.voice.sanskrit import ipa
from guide.voice.sanskrit_names import more_words, sanskrit_of, table_rows

pytestmark = pytest.mark.real

VOWELS, SIGNS, ALONE = "a ā i ī u ū ṛ e ai o au", "- ा ि ी ु ू ृ े ै ो ौ", "अ आ इ ई उ ऊ ऋ ए ऐ ओ औ"
CONSONANTS = "k kh g gh ṅ c ch j jh ñ ṭ ṭh ḍ ḍh ṇ t th d dh n p ph b bh m y r l v ś ṣ s h"
THEIR_LETTERS = "क ख ग घ ङ च छ ज झ ञ ट ठ ड ढ ण त थ द ध न प फ ब भ म य र ल व श ष स ह"


def paired(ours: str, theirs: str) -> dict[str, str]:
    return dict(zip(ours.split(), theirs.replace("-", "").split(" "), strict=True))


AFTER, FIRST, STOPS = paired(VOWELS, SIGNS), paired(VOWELS, ALONE), paired(CONSONANTS, THEIR_LETTERS)
NO_VOWEL = "्"
LETTER = re.compile("|".join(sorted((*AFTER, *STOPS, "ṃ"), key=len, reverse=True)))

#: The same sounds as the two write them. espeak-ng has no vowel r: Kannada says "ru".
OURS = paired("tɕ dʑ ɾ ʱ ɦ ʋ ɻ̩ ɑw ɐj ̪ . ˈ", "c ɟ r ʰ h v ru aʊ aɪ - - -")
THEIRS = paired("ɹ ˈ ˌ", "r - -")


def devanagari(word: str) -> str:
    """A word in IAST as its letters are in Devanagari."""
    said = ""
    for letter in LETTER.findall(word):
        if letter in STOPS:
            said += STOPS[letter] + NO_VOWEL
        elif said.endswith(NO_VOWEL):
            said = said.removesuffix(NO_VOWEL) + AFTER[letter]
        else:
            said += FIRST.get(letter, "ं")
    return said


def sounding(said: str, same: dict[str, str]) -> str:
    for one, other in same.items():
        said = said.replace(one, other)
    return said


def test_our_devanagari_is_that_of_the_table() -> None:
    for row in table_rows():
        assert devanagari(row["iast"]) == row["devanagari"]


def test_espeak_says_the_same_sounds(needs: Callable[[bool, str], None]) -> None:
    """espeak-ng has no Sanskrit, and its Hindi leaves vowels out; its Kannada says every letter, in its own script,
    whose letters stand in the order of Devanagari's. Its stress is Kannada's, and is left out.
    """
    needs(shutil.which("espeak-ng") is not None, "espeak-ng is not installed (apt install espeak-ng)")
    words = [word for word in (*(row["iast"] for row in table_rows()), *more_words()) if word[-1] not in "ṃḥ"]
    kannada = "\n".join("".join(chr(ord(sign) - 0x900 + 0xC80) for sign in devanagari(word)) for word in words)
    done = subprocess.run(
        ["espeak-ng", "-v", "kn", "--ipa", "-q"], input=kannada, capture_output=True, text=True, check=True, timeout=120
    )
    told = done.stdout.splitlines()
    other = {
        word: (sounding(ipa(word), OURS), sounding(theirs.strip(), THEIRS))
        for word, theirs in zip(words, told, strict=True)
        if sounding(ipa(word), OURS) != sounding(theirs.strip(), THEIRS)
    }
    print(f"espeak-ng says {len(words) - len(other)} of {len(words)} words with the same sounds; else: {other}")
    assert not other


def test_hardly_a_word_of_an_english_dictionary_is_taken_for_sanskrit() -> None:
    """Source: the dictionary of 174,000 words inside hibari-tts."""
    lexicon = Hibari().g2p.lexicon
    words = {
        word for part in (lexicon.golds.d, lexicon.silvers.d) for word in part if word.isalpha() and word.islower()
    }
    taken = sorted(word for word in words if sanskrit_of(word))
    print(f"{len(taken)} of {len(words)} English words are said as Sanskrit: {' '.join(taken)}")
    assert len(taken) < 100
