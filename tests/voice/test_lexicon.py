"""Names are found in any usual spelling and said with the right sounds; a class file can add its own."""

import re

import pytest
from hibari import Hibari
from rows import each_row

from guide.problem import UnusableChoice
from guide.voice.lexicon import Pronunciation, pieces, pronounced, said_in_sanskrit
from guide.voice.natural import NaturalVoice, phonemes
from guide.voice.normalise import folded, normalised
from guide.voice.phonemes import UnknownPhoneme, arpabet, respelling
from guide.voice.sanskrit_names import PARTS, sanskrit_of, table_rows
from guide.voice.system import SystemVoice

NAMES = [row["iast"] for row in table_rows()]

SPELLINGS = {
    "Tadasana": "tāḍāsana",
    "Tāḍāsana": "tāḍāsana",
    "Savasana": "śavāsana",
    "Shavasana": "śavāsana",
    "adho mukha svanasana": "adhomukhaśvānāsana",
    "Adho-Mukha Shvanasana": "adhomukhaśvānāsana",
    "Adho Mukha Śvānāsana": "adhomukhaśvānāsana",
    "Vrksasana": "vṛkṣāsana",
    "Vrikshasana": "vṛkṣāsana",
    "Marichyasana": "marīcyāsana",
    "Chaturanga Dandasana": "caturaṅgadaṇḍāsana",
    "Parivritta Trikonasana": "parivṛttatrikoṇāsana",
    "Setu Bandha Sarvangasana": "setubandhasarvāṅgāsana",
    "Surya Namaskara": "sūryanamaskāra",
    "nadi shodhana": "nāḍīśodhana",
    "ujjayi": "ujjāyī",
    "Trikonasana": "trikoṇāsana",
    "Bitilasana": "bitilāsana",
    "tiryaktāḍāsana": "tiryaktāḍāsana",
}


def found(text: str, teacher: dict[str, str] | None = None) -> list[Pronunciation]:
    return [piece for piece in pieces(normalised(text), teacher or {}) if isinstance(piece, Pronunciation)]


@each_row("written, iast", SPELLINGS.items())
def test_a_name_is_known_in_its_usual_spellings(written: str, iast: str) -> None:
    assert found(f"Come into {written} now.") == [
        said_in_sanskrit(iast, re.sub("-", " ", written)),
    ]


@each_row("iast", NAMES)
def test_every_word_of_the_table_is_known_with_its_marks_and_without(iast: str) -> None:
    assert sanskrit_of(iast) == iast
    without = folded(iast)
    assert sanskrit_of(without) == (None if iast == "ṣaṭ" else iast)


def test_a_numbered_name_keeps_its_number() -> None:
    parts = pieces(normalised("Virabhadrasana II, right"), {})
    assert [part if isinstance(part, str) else part.written for part in parts] == ["Virabhadrasana", " two, right."]


def test_plain_cues_hold_no_sanskrit(movement_cues: list[str]) -> None:
    for cue in movement_cues:
        assert pieces(normalised(cue), {}) == (normalised(cue),)


def test_the_stress_and_the_sounds_of_a_name() -> None:
    said = said_in_sanskrit("śavāsana", "Savasana")
    assert said.sounds == "SH AX . V AA1 . S AX . N AX"
    assert said.respelt == "shuh-vah-suh-nuh"
    assert phonemes(said.sounds) == "ʃəvˈɑsənə"


@each_row("iast", [*NAMES, *PARTS])
def test_the_natural_voice_has_every_sound_of_every_name(iast: str, vocabulary: frozenset[str]) -> None:
    """The engine drops a phoneme that it does not have without a word."""
    said = said_in_sanskrit(iast, iast)
    assert said.sounds is not None
    assert set(phonemes(said.sounds)) <= vocabulary
    assert phonemes(said.sounds).count("ˈ") == 1


@pytest.fixture(scope="module")
def vocabulary() -> frozenset[str]:
    return frozenset(Hibari().vocab)


def test_the_teacher_goes_first_and_may_name_several_words() -> None:
    teacher = {"Warrior Two": "WOR-ee-er too", "svanasana": "shvah-NAH-sana", "prāṇa": "/ˈprɑːnə/"}
    assert [said.respelt for said in found("warrior two", teacher)] == ["WOR-ee-er too"]
    assert [said.respelt for said in found("Warrior II", teacher)] == ["WOR-ee-er too"]
    assert "shvah-NAH-sana" in [said.respelt for said in found("Adho mukha svanasana.", teacher)]
    assert [said.sounds for said in found("Feel the prana", teacher)] == ["P R AA1 N AX"]
    assert found("warriors", teacher) == []


def test_each_engine_is_told_in_its_own_way() -> None:
    known = said_in_sanskrit("śavāsana", "Savasana")
    own = pronounced("anjali", "un-JUH-lee")
    assert NaturalVoice().hint(known) == "[Savasana](/ʃəvˈɑsənə/)"
    assert NaturalVoice().hint(own) == "[anjali](un-JUH-lee)"
    assert SystemVoice().hint(known) == "shuh-vah-suh-nuh"
    assert SystemVoice().hint(own) == "un-juh-lee"


def test_english_ipa_is_understood() -> None:
    """Source: IPA and ARPAbet of these words as in CMUdict and any dictionary."""
    assert arpabet("ˈtʃaɪld") == "CH AY1 L D"
    assert arpabet("əˈbaʊt") == "AX . B AW1 T"
    assert arpabet("ˈjoʊ.ɡə") == "Y OW1 . G AX"
    assert arpabet("uːˈdʒɑː.ji") == "UW . JH AA1 . Y IY"
    assert arpabet("t͡ʃin") == "CH IH N"
    assert respelling("Y OW1 . G AX") == "yoh-guh"


@pytest.mark.parametrize("ipa", ["ʘa", "", "7", "ˈ"])
def test_ipa_that_is_none_is_refused(ipa: str) -> None:
    with pytest.raises(UnknownPhoneme):
        arpabet(ipa)


def test_a_pronunciation_that_cannot_be_read_says_which_word() -> None:
    with pytest.raises(UnusableChoice, match="the way to say “om” holds “ʘ”, which is no sound known here"):
        pieces("om.", {"om": "/ʘm/"})
    with pytest.raises(UnusableChoice, match="nothing says how “om” is said"):
        pieces("om.", {"om": "!"})
