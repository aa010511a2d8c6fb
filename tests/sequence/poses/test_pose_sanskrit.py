"""The Sanskrit of the library against published spellings, and through Devanagari and back."""

import re

from indic_transliteration import sanscript
from rows import each_row

from guide.sequence.poses.names import folded
from guide.sequence.poses.pose import Pose
from guide.sequence.poses.shipped_library import shipped
from guide.voice.sanskrit import is_iast, syllables
from guide.voice.sanskrit_names import table_rows

#: Source: `guide/voice/sanskrit.tsv`, 99 words with their Devanagari, checked against published lists.
ROWS = table_rows()
PUBLISHED = {folded(row["iast"]): row for row in ROWS}

#: Words of the table that are no poses: salutations, terms, and the numbers from one to seventeen.
NO_POSES = {
    "sūryanamaskāra",
    "prāṇāyāma",
    "kumbhaka",
    "vinyāsa",
    "dṛṣṭi",
    "namaste",
    "śānti",
    "vīrabhadrāsana",  # of which there are three
}
NAMES = [row["iast"] for row in ROWS if row["english"] and row["iast"] not in NO_POSES]

NAMED = [pose for pose in shipped() if pose.sanskrit]
each_named = each_row("pose", NAMED)


def bare(sanskrit: str) -> str:
    """A name without its spaces, its ordinal and its visarga."""
    return re.sub(r" (?:I|II|III|IV)$", "", sanskrit).replace(" ", "").removesuffix("ḥ")


def test_most_names_of_the_library_are_in_the_published_table() -> None:
    assert sum(bare(pose.sanskrit) in NAMES for pose in NAMED) >= 55


@each_named
def test_a_name_that_is_in_the_table_is_written_as_there(pose: Pose) -> None:
    row = PUBLISHED.get(folded(bare(pose.sanskrit)))
    assert row is None or bare(pose.sanskrit) == row["iast"]


@each_named
def test_a_name_is_in_iast_and_comes_back_whole_from_devanagari(pose: Pose) -> None:
    """Source: the package indic-transliteration, which knows nothing of ours."""
    words = re.sub(r" (?:I|II|III|IV)$", "", pose.sanskrit)
    assert syllables(words.replace(" ", ""))
    # A word without a diacritic is not told from English by its letters; the table vouches for it.
    assert is_iast(words.replace(" ", "")) or words in NAMES
    devanagari = sanscript.transliterate(words, sanscript.IAST, sanscript.DEVANAGARI)
    assert not re.search("[a-zA-Zāīūṛṅñṭḍṇśṣṃḥ]", devanagari)
    assert sanscript.transliterate(devanagari, sanscript.DEVANAGARI, sanscript.IAST) == words


def test_the_package_writes_the_devanagari_of_the_table() -> None:
    for row in ROWS:
        assert sanscript.transliterate(row["iast"], sanscript.IAST, sanscript.DEVANAGARI) == row["devanagari"]


@each_row("name", NAMES)
def test_every_pose_of_the_table_is_in_the_library(name: str) -> None:
    found = shipped().find(name)
    assert found is not None


#: Two in the table are called mountain in English; the one of the twelve positions is a downward dog.
MOUNTAIN_TWICE = {"parvatāsana"}


@each_row("row", [row for row in ROWS if row["iast"] in set(NAMES) - MOUNTAIN_TWICE])
def test_its_english_name_in_the_table_leads_to_the_same_pose(row: dict[str, str]) -> None:
    by_english = shipped().find(re.sub(r" \(.*\)$", "", row["english"]))
    assert by_english is None or by_english is shipped().find(row["iast"])
