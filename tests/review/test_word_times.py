"""When the words of captions were said."""

from itertools import pairwise

import pytest
from talked import PUT_AWAY_BEFORE, captions, talked

from guide.review.captions.transcript import Segment, Transcript
from guide.review.captions.word_times import word_times


def times_of(*blocks: tuple[int, int, str]) -> list[list[tuple[float, float, float]]]:
    transcript = Transcript("captions", tuple(Segment(*block) for block in blocks))
    return [[(one.start_ms, one.end_ms, one.loose_ms) for one in words] for words in word_times(transcript)]


def test_words_lie_in_their_caption_one_after_the_other() -> None:
    blocks = ((1_000, 3_000, "Lift your arms"), (3_000, 30_000, "Stay here. Five breaths. And lower them."))
    for (start_ms, end_ms, _), words in zip(blocks, times_of(*blocks), strict=True):
        edges = [start_ms, *(edge for word in words for edge in word[:2]), end_ms]
        assert all(one <= other + 1e-6 for one, other in pairwise(edges))
        assert all(word[2] >= 0 for word in words)


def test_the_quiet_of_a_long_caption_lies_after_its_sentences() -> None:
    (words,) = times_of(
        (0, 30_000, "Stay here for five long breaths. And now let the arms come down beside you, and look up.")
    )
    quiets = [after[0] - before[1] for before, after in pairwise(words)]
    assert quiets.index(max(quiets)) == 5
    assert max(quiets) > 5_000


def test_a_short_caption_that_stands_until_the_next_has_its_quiet_at_the_end() -> None:
    words, _ = times_of((0, 20_000, "and lift the arms"), (20_000, 21_000, "and lower"))
    assert words[-1][1] < 3_000
    assert max(word[2] for word in words) < 1_000


def test_nothing_is_said_of_a_caption_without_words() -> None:
    assert times_of((0, 1_000, ""), (1_000, 2_000, "now")) == [[], [(1_000.0, pytest.approx(1_333, abs=1), 0.0)]]


@pytest.mark.parametrize(("cut", "least"), [("40 s", 0.62), ("40 s, no points", 0.45), ("rolling", 0.95)])
def test_words_of_long_captions_are_found_better_than_by_their_letters(cut: str, least: float) -> None:
    """Beside the times of a talk that nothing was learned from, within two seconds."""
    talk = talked(PUT_AWAY_BEFORE, "tilly-1")
    transcript = captions(talk, cut)
    starts = [word.start_ms for words in word_times(transcript) for word in words]
    right = [abs(start_ms - word.start_ms) <= 2_000 for start_ms, word in zip(starts, talk.words, strict=True)]
    assert sum(right) >= max(least, _by_letters(transcript, [word.start_ms for word in talk.words])) * len(right)


def _by_letters(transcript: Transcript, starts_ms: list[int]) -> float:
    found: list[float] = []
    for block in transcript.blocks:
        words, before = block.text.split(), 0
        for word in words:
            found.append(block.start_ms + (block.end_ms - block.start_ms) * before / len("".join(words)))
            before += len(word)
    return sum(abs(one - other) <= 2_000 for one, other in zip(found, starts_ms, strict=True)) / len(found)
