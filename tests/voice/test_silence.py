"""Silence around speech is cut off; what is loud enough to hear never is."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from guide.voice.silence import KEPT_MS, joined, trimmed

RATE_HZ = 24_000
KEPT = KEPT_MS * RATE_HZ // 1000


@given(st.integers(0, 5000), st.integers(1, 3000), st.integers(0, 5000))
@settings(deadline=None, max_examples=60)
def test_thirty_milliseconds_of_silence_stay_on_each_side(before: int, loud: int, after: int) -> None:
    quiet = np.float32(0.003)  # -50.5 dBFS
    heard = np.float32(0.0033)  # -49.6 dBFS
    sound = np.concatenate((np.full(before, quiet), np.full(loud, heard), np.full(after, quiet)))
    cut = trimmed(sound, RATE_HZ)
    assert cut.size == min(before, KEPT) + loud + min(after, KEPT)
    assert np.count_nonzero(cut == heard) == loud


def test_silence_alone_becomes_nothing() -> None:
    assert trimmed(np.full(1000, 0.001, np.float32), RATE_HZ).size == 0
    assert trimmed(np.zeros(0, np.float32), RATE_HZ).size == 0


def test_sentences_stand_apart_by_the_pause_and_the_silence_that_was_kept() -> None:
    silence = np.zeros(RATE_HZ, np.float32)
    part = np.concatenate((silence, np.full(100, 0.5, np.float32), silence))
    sound = joined([part, part], [350], RATE_HZ)
    first, second = np.split(np.flatnonzero(sound), 2)
    assert second[0] - first[-1] - 1 == 2 * KEPT + 350 * RATE_HZ // 1000
    assert sound.size == 2 * (100 + 2 * KEPT) + 350 * RATE_HZ // 1000
