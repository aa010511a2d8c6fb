"""Sanskrit words that stand in no table of names are said by rule, with marks and without; English stays English."""

import re

from hibari import Hibari
from rows import each_row

from guide.voice.class_clips import said_by
from guide.voice.lexicon import said_in_sanskrit
from guide.voice.natural import NaturalVoice, phonemes
from guide.voice.normalise import folded
from guide.voice.sanskrit_names import more_words, sanskrit_of, table_rows
from guide.voice.system import SystemVoice

MORE = more_words()

#: Words that teachers were found to use and that were read as English, and their sounds.
SAID = {
    "ashtanga": "əʃtˈɑŋɡə",
    "mula": "mˈulə",
    "uddiyana": "ˌʊddijˈɑnə",
    "jalandhara": "ʤɑlˈʌndəɹə",
    "bandha": "bˈʌndə",
    "chandra": "ʧˈʌndɹə",
    "namaskar": "nˌʌməskˈɑɹ",
    "prana": "pɹˈɑnə",
    "hatha": "hˈʌtə",
    "chakra": "ʧˈʌkɹə",
    "nidra": "nˈɪdɹɑ",
    "om": "ˈOm",
    "shitali": "ʃˈitəli",
    "Sheetali": "ʃˈitəli",
    "kapalbhati": "kˌʌpɑlbˈɑti",
    "bhastrika": "bˈʌstɹɪkɑ",
    "asanas": "ˈɑsənəz",
    "chakra's": "ʧˈʌkɹəz",
    "sama": "sˈʌmə",
    "vṛtti": "vɹˈɪti",
    "samasthitiḥ": "səmˈʌstɪtɪhi",
    "marjaryasana": "mˌɑɹʤɑɹjˈɑsənə",
    "baddha": "bˈʌddə",
    "jnana": "ɡjˈɑnə",
    "gyana": "ɡjˈɑnə",
    "ashwini": "ˈʌʃvɪni",
    "viparīta karaṇī": "vˌɪpəɹˌitə kˈʌɹəni",
    "utthita trikonasana": "ˌʊtɪtə tɹˌɪkOnˈɑsənə",
    "Utthitatrikonasana": "ˌʊtɪtə tɹˌɪkOnˈɑsənə",
    "adho mukha śvānāsana": "ˌʌdO mˌʊkə ʃvɑnˈɑsənə",
    "caturaṅga daṇḍāsana": "ʧˌʌtʊɹˌʌŋɡə dəndˈɑsənə",
}

#: Words in no list of ours.
UNLISTED = {
    "bhumika": "bhumika",
    "shambhala": "śambhala",
    "vishama-vritti": "viṣama vṛtti",
    "shunyamudra": "śunyamudrā",
    "loma pranayama": "prāṇāyāma",
    "vegasana": "vegāsana",
}

ENGLISH = """
    sit sat man chin mala tapas ham ram yam mat pose mountain Maria Alabama agenda spa khaki redhead adhere ahead
    childhood Needham shakshuka Buddha dharma karma guru mantra yoga sadhu salsa sauna agave panorama dogma tuba ricksha
"""


@each_row("written, sounds", SAID.items())
def test_words_that_teachers_use_have_their_sounds(written: str, sounds: str) -> None:
    said = said_by(NaturalVoice(), f"Now {written}.", {})
    assert " ".join(re.findall(r"\(/([^/]*)/\)", said)) == sounds
    assert "[" not in said.removesuffix(".")[4:].partition("[")[0]


@each_row("written, iast", UNLISTED.items())
def test_words_outside_the_lists_are_read_by_their_spelling(written: str, iast: str) -> None:
    assert " ".join(filter(None, map(sanskrit_of, re.split("[ -]", written)))) == iast


def test_two_hundred_more_words_are_known_with_their_marks_and_without() -> None:
    vocabulary = frozenset(Hibari().vocab)
    assert len(set(MORE) - {row["iast"] for row in table_rows()}) > 300
    for iast in MORE:
        assert sanskrit_of(iast) == iast
        assert (sanskrit_of(folded(iast)) is None) == (iast == "ṣaṭ"), iast
        said = phonemes(said_in_sanskrit(iast, iast).sounds or "")
        assert set(said) <= vocabulary
        assert said.count("ˈ") == 1


@each_row("word", ENGLISH.split())
def test_english_words_that_look_alike_stay_english(word: str) -> None:
    assert said_by(NaturalVoice(), word, {}) == f"{word}."


def test_the_words_of_a_name_stand_apart_in_syllables_too() -> None:
    assert said_by(SystemVoice(), "utthita trikonasana", {}) == "ut-tih-tuh trih-koh-nah-suh-nuh."
