"""A class on the screen of a real terminal: keys in, screen out, over tmux as over SSH."""

import os
import re
import signal
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

import pytest
from hall import until
from led_class import own_state
from tmux_pane import Pane, pane

from guide.live.record import Asked, Began, Ended, Event, read

pytestmark = [pytest.mark.real, pytest.mark.paced]

#: What the process that shows the screen is called.
SCREEN = "-m guide.live.screen"

#: Poses held long enough to be looked at.
CLASS = """title: Tall trees
library cues: no
pace: {inhale: 2 s, exhale: 2 s}
bells: {class: none, section: none}
say names: no
class:
  - section: Standing
  - pose: mountain
    hold: 20 breaths
    say: none
  - both sides:
      - pose: tree
        hold: 20 breaths
        say: none
  - rest: 2 min
"""


@contextmanager
def shown(
    tmp_path: Path, *options: str, environment: Mapping[str, str] | None = None, text: str = CLASS
) -> Iterator[Pane]:
    file, log = tmp_path / "trees.yaml", tmp_path / "log.jsonl"
    file.write_text(text)
    own = own_state(tmp_path, environment or {})
    named = {name: own[name] for name in ("XDG_STATE_HOME", "XDG_CONFIG_HOME", "GUIDE_CACHE", *(environment or {}))}
    command = f"{sys.executable} -m guide play {file} --output silent --log {log} {' '.join(options)}"
    with pane(command, named, tmp_path) as made:
        yield made


def events(tmp_path: Path) -> tuple[Event, ...]:
    return read(tmp_path / "log.jsonl")


def orders(tmp_path: Path) -> list[str]:
    return [event.order for event in events(tmp_path) if isinstance(event, Asked)]


def test_every_kind_of_key_is_heeded_and_the_terminal_is_left_as_it_was(tmp_path: Path) -> None:
    with shown(tmp_path) as made:
        made.wait_for("Standing · Tall trees")
        made.wait_for_large("next: tree, right")
        made.type("Up")
        made.wait_for_large("mountain: 21 breaths")
        made.type("NPage")
        made.wait_for_large("right")
        made.wait_for_large("next: tree, left")
        made.type("o")
        made.wait_for_large("left")
        made.type("Escape")
        made.type(".")
        made.wait_for_large("paused")
        made.type("Enter")
        made.wait_for_large("going on")
        made.type("V")
        made.wait_for_large("voice -2 dB")
        made.type("PPage")
        made.type("e")
        made.wait_for_large("then the end")
        made.end()
        made.wait_for("ended with 0")
        assert made.tmux("display-message", "-p", "#{alternate_on} #{cursor_flag} #{mouse_any_flag}").strip() == "0 1 0"
    assert orders(tmp_path) == [
        *("longer", "next", "other side", "hush", "pause", "voice down", "again", "rest", "quit"),
    ]


@pytest.mark.alone
def test_a_key_held_down_is_one_order(tmp_path: Path) -> None:
    with shown(tmp_path) as made, made.keyboard() as press:
        made.wait_for_large("next: tree, right")
        # As Windows sends it: again after 500 ms, then every 33 ms (from memory).
        press("Up")
        time.sleep(0.5)
        for _ in range(12):
            press("Up")
            time.sleep(0.033)
        press("q")
        made.wait_for_large("once more to end")
        time.sleep(1)
        press("q")
        made.wait_for("ended with 0")
    assert orders(tmp_path) == ["longer", "quit"]


def test_control_c_asks_nothing_and_ends(tmp_path: Path) -> None:
    with shown(tmp_path) as made:
        made.wait_for_large("next: tree, right")
        made.type("C-c")
        made.wait_for("ended with 0")
    assert orders(tmp_path) == ["end now"]


@pytest.mark.parametrize("environment", [{"NO_COLOR": "1"}, {"TERM": "linux"}, {"TERM": "vt100"}, {"LC_ALL": "C"}])
def test_without_colour_and_on_a_plain_console_everything_is_there(environment: dict[str, str], tmp_path: Path) -> None:
    with shown(tmp_path, environment=environment) as made:
        made.wait_for_large("mountain")
        made.type("Right")
        made.wait_for_large("right")
        colours = re.findall(r"38;2;(\d+);(\d+);(\d+)", made.styled())
        if "NO_COLOR" in environment:
            assert all(red == green == blue for red, green, blue in colours)
        made.end()
        made.wait_for("ended with 0")


def test_a_terminal_that_changes_its_size_is_filled_again(tmp_path: Path) -> None:
    with shown(tmp_path) as made:
        made.wait_for_large("next: tree, right")
        made.tmux("resize-window", "-x", "120", "-y", "40")
        made.wait_for_large("mountain", least_high=10)
        made.tmux("resize-window", "-x", "40", "-y", "12")
        made.wait_for("mountain")
        made.end()


def test_when_its_terminal_goes_the_class_goes_on_to_its_end(tmp_path: Path) -> None:
    short = CLASS.replace("20 breaths", "2 breaths").replace("2 min", "3 s")
    with shown(tmp_path, text=short) as made:
        made.wait_for_large("next: tree, right")
        assert made.processes(SCREEN)
        made.tmux("kill-server")
        until(lambda: not made.processes(SCREEN), "the end of the screen")
        until(lambda: isinstance(events(tmp_path)[-1], Ended), "the end of the class")
    titles = [(event.title, event.side) for event in events(tmp_path) if isinstance(event, Began)]
    assert titles == [("mountain", None), ("tree", "right"), ("tree", "left"), ("rest", None)]
    assert orders(tmp_path) == []


def test_a_class_whose_terminal_has_gone_is_taken_up_in_another(tmp_path: Path) -> None:
    with shown(tmp_path) as made:
        made.wait_for_large("next: tree, right")
        made.tmux("kill-server")
        until(lambda: not made.processes(SCREEN), "the end of the screen")
        with shown(tmp_path, "--attach") as other:
            other.wait_for_large("next: tree, right")
            other.type("Right")
            other.wait_for_large("next: tree, left")
            other.end()
            other.wait_for("ended with 0")
    assert orders(tmp_path) == ["next", "quit"]


def test_when_the_screen_breaks_lines_go_on_and_keys_are_heeded(tmp_path: Path) -> None:
    with shown(tmp_path) as made:
        made.wait_for_large("next: tree, right")
        for number in made.processes(SCREEN):
            os.kill(number, signal.SIGKILL)
        made.wait_for("mountain, 20 breaths")
        made.type("Right")
        made.wait_for("tree, right, 20 breaths")
        made.end()
        made.wait_for("ended with 0")


def test_plain_is_a_line_a_step(tmp_path: Path) -> None:
    with shown(tmp_path, "--plain") as made:
        made.wait_for("0:00  mountain, 20 breaths")
        made.type("Right")
        made.wait_for("tree, right, 20 breaths")
        made.type("C-c")
        made.wait_for("(ended; its place is kept, for --resume)")
        made.wait_for("ended with 0")
        assert not any("█" in row for row in made.rows())
