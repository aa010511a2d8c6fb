"""Syllables, stress and sounds of Sanskrit names, against the table of 99 words worked out by hand."""

import pytest
from rows import each_row

from guide.voice.sanskrit import heavy, ipa, is_iast, stressed, syllables
from guide.voice.sanskrit_names import table_rows

ROWS = table_rows()
NAMES = [row["iast"] for row in ROWS]


def test_the_table_has_its_99_words() -> None:
    assert len(set(NAMES)) == 99


@each_row("row", ROWS)
def test_a_word_has_the_syllables_weights_stress_and_sounds_of_the_table(row: dict[str, str]) -> None:
    """Source: `sanskrit.tsv`, whose weights and IPA were cross-checked with skrutable and aksharamukha."""
    parts = syllables(row["iast"])
    stress = stressed(parts)
    shown = "-".join(part.upper() if place == stress else part for place, part in enumerate(parts))
    assert shown == row["syllables_stress"]
    assert "".join("–" if heavy(part) else "⏑" for part in parts) == row["weights"]
    assert ipa(row["iast"]) == row["ipa"]


def test_every_name_in_asana_is_stressed_on_its_long_a() -> None:
    """Source: the corollary of the stress rule (Macdonell, Coulson; from memory): 68 of 68 names."""
    names = [name for name in NAMES if name.endswith("āsana")]
    assert len(names) == 68
    for name in names:
        parts = syllables(name)
        assert stressed(parts) == len(parts) - 3
        assert parts[stressed(parts)].endswith("ā")


def test_only_words_with_letters_of_their_own_are_taken_for_sanskrit() -> None:
    assert is_iast("Tiryaktāḍāsana")
    assert is_iast("oṃ")
    for other in ("mountain", "namaste", "café", "piñata", "tāx", "ṣṭ", "plié"):
        assert not is_iast(other)


def test_a_word_that_is_no_sanskrit_has_no_syllables() -> None:
    with pytest.raises(ValueError, match="not a word in IAST: plank!"):
        syllables("plank!")
