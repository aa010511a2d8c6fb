"""A class in lines: for each step, each order, and what befalls the sound."""

import os
import pty
from collections.abc import Iterable

import pytest
from live_scenes import scene
from pressing import LONGEST_S

from guide.live.lead_loop import TICK_S
from guide.live.line_view import Lines, typed


def written(*scenes: object) -> list[str]:
    lines: list[str] = []
    view = Lines(lines.append, lambda: "", lambda keys: None)
    for each in scenes:
        view.show(each)  # type: ignore[arg-type]
    return lines


def test_a_step_is_told_once_with_its_side_and_breaths_and_what_comes_after_it() -> None:
    assert written(scene(section=""), scene(section="", at_ms=101_000)) == [
        "   1:40  warrior two, left, 5 breaths; next: triangle, left"
    ]


def test_a_section_is_told_when_it_begins_with_its_length_and_how_long_the_class_goes_on() -> None:
    resting = scene(step=4, section="Resting", breaths=0, section_ms=95_000, left_ms=100_000)
    assert written(scene(), scene(words="Look up."), resting)[::2] == [
        "   1:40  Standing: 5:00, 8:10 to go",
        "   1:40  Resting: 1:35, 1:40 to go",
    ]


def test_a_move_without_a_name_tells_what_to_do_and_nothing_more() -> None:
    move = scene(section="", title="inhale", action="right leg back", side="right", breath=0, breaths=0)
    assert written(move) == ["   1:40  inhale, right: right leg back"]


def test_words_breaths_and_countdowns_are_no_lines() -> None:
    quiet = (scene(words="Look up."), scene(breath=4), scene(begins_ms=3000), scene(next_words="Look down."))
    assert len(written(scene(), *quiet)) == len(written(scene()))


def test_the_same_told_twice_is_written_twice() -> None:
    assert written(scene(), scene("voice up", tells=1), scene("voice up", tells=1), scene("voice up", tells=2))[2:] == [
        "   1:40  (voice up)",
        "   1:40  (voice up)",
    ]


def test_lost_sound_is_told_once() -> None:
    assert written(scene(), scene(lost=True), scene(lost=True), scene("the sound is back", tells=1))[2:] == [
        "   1:40  (the sound is gone; the class waits for it)",
        "   1:40  (the sound is back)",
    ]


def test_keys_are_read_from_a_terminal_as_they_are_typed() -> None:
    ours, theirs = pty.openpty()
    taken: list[str] = []

    def take(keys: Iterable[str]) -> None:
        taken.extend(keys)

    with os.fdopen(theirs, "r", encoding="utf-8") as stream, typed(stream) as keys:
        view = Lines(lambda line: None, keys, take)
        os.write(ours, b"\x1b[C .")
        for _ in range(round(LONGEST_S / TICK_S)):
            view.wait()
            if len(taken) >= 3:
                break
        assert taken == ["right", "space", "."]
        os.close(ours)
        # A terminal that has gone gives nothing, and raises nothing.
        view.wait()
    assert taken == ["right", "space", "."]


def test_what_is_no_terminal_has_no_keys(capfd: pytest.CaptureFixture[str]) -> None:
    with open(os.devnull, encoding="utf-8") as stream, typed(stream) as keys:  # noqa: PTH123 (a stream, not a path)
        assert keys() == ""
