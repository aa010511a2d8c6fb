"""Quiet inside words is a wide space where they are shown, and a pause where they are spoken."""

from guide.pauses import DOTS_MS, PARAGRAPH_MS, parted, pause, shown
from guide.plan.estimate import spoken_ms


def test_words_are_cut_where_a_pause_is_asked_for() -> None:
    text = f"Lie down.{pause(PARAGRAPH_MS)}Breathe in … and out.{pause(3500)}"
    assert parted(text) == [("Lie down.", 1200), ("Breathe in…", DOTS_MS), ("and out.", 3500)]
    assert shown(text) == "Lie down. Breathe in … and out."
    assert len(text.split()) == 7


def test_three_dots_pause_between_words_alone() -> None:
    assert parted("Wait... then go. … Rest…") == [("Wait…", 700), ("then go.", 700), ("Rest…", 0)]
    assert parted("… and on") == [("… and on", 0)]


def test_words_with_a_pause_are_estimated_with_it() -> None:
    assert spoken_ms(f"Rest.{pause(3000)}", 0.75) == spoken_ms("Rest.", 0.75) + 3000
