"""The natural voice that wakes by what it kept says the same, to the sample, and looks words up as its package does."""

from collections.abc import Mapping
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from guide.voice.cache import Cache
from guide.voice.natural import NO_TELEMETRY
from guide.voice.natural_waking import WordLines, as_lines, woken

WORD = st.text(st.characters(exclude_characters="\t\n", exclude_categories=["Cs"]), max_size=6)
VALUE = st.text(max_size=4) | st.dictionaries(st.text(max_size=3), st.floats(-99, 99), max_size=2)


@given(st.dictionaries(WORD, VALUE, max_size=30), WORD)
def test_a_word_is_found_in_lines_as_in_the_dictionary_that_they_were_made_of(
    words: Mapping[str, object], other: str
) -> None:
    lines = WordLines(as_lines(words))
    for word in (*words, other):
        assert lines.get(word) == words.get(word)


@pytest.mark.real
def test_it_says_the_same_each_time_it_wakes(
    tmp_path: Path, movement_cues: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(NO_TELEMETRY, "1")
    from hibari import Hibari

    as_packaged = Hibari(threads=1)
    said = [*movement_cues[:2], "Read what you read; the ujjayi thingamajig, at 7:30, is live."]
    for _ in ("nothing kept", "the model kept", "all kept"):
        engine = woken("as tested", Cache(tmp_path))
        for text in said:
            assert np.array_equal(engine(text, seed=0), as_packaged(text, seed=0)), text
    assert type(engine.g2p.lexicon.golds.d) is WordLines
