"""How near estimated lengths of words come to those of the voice."""

import statistics
from pathlib import Path

from guide.plan.estimate import EstimatedLengths, spoken_ms

LINES = Path(__file__).with_name("lengths.tsv").read_text(encoding="utf-8").splitlines()
LENGTHS_MS = {text: int(ms) for ms, text in (line.split("\t") for line in LINES if not line.startswith("#"))}


def test_estimated_lengths_are_near_those_of_the_voice() -> None:
    """Lengths of the natural voice at rate 0.75 (kept from `bench_estimate`): each within a third, all within 4 %."""
    off = [spoken_ms(text, 0.75) / ms - 1 for text, ms in LENGTHS_MS.items()]
    assert len(off) == 60
    assert max(map(abs, off)) < 1 / 3
    assert statistics.pstdev(off) < 0.1
    assert abs(sum(spoken_ms(text, 0.75) for text in LENGTHS_MS) / sum(LENGTHS_MS.values()) - 1) < 0.04


def test_words_take_half_as_long_at_twice_the_rate() -> None:
    for text in LENGTHS_MS:
        assert abs(spoken_ms(text, 1.0) - 2 * spoken_ms(text, 2.0)) <= 1


def test_more_words_take_longer_and_a_figure_takes_as_long_as_a_word() -> None:
    assert spoken_ms("Bend your knees.", 1.0) < spoken_ms("Bend your knees a little.", 1.0)
    assert spoken_ms("3", 1.0) == spoken_ms("three", 1.0)
    assert spoken_ms("Śavāsana.", 1.0) == spoken_ms("Savasana.", 1.0)


def test_a_length_is_worked_out_when_it_is_asked_for() -> None:
    lengths_ms = EstimatedLengths(0.75)
    assert lengths_ms["Seven"] == spoken_ms("Seven", 0.75)
    assert dict(lengths_ms) == {"Seven": spoken_ms("Seven", 0.75)}
