"""Makes the pictures of the README: a shipped class in a real terminal, led at three moments, and rehearsed at one.

    python tests/readme/pictures.py

It needs tmux (sudo apt install tmux).
"""

import os
import sys
import tempfile
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from rich.text import Text

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
FOLDER = HERE / "pictures"

sys.path[:0] = [str(HERE), str(ROOT / "tests" / "real")]
import screen_picture  # noqa: E402 (of this folder)
from hall import until  # noqa: E402 (the helpers of another folder)
from led_class import own_state  # noqa: E402
from tmux_pane import Pane, pane  # noqa: E402

from guide.live.screen import letters  # noqa: E402

#: Letters so high, in half rows, have the name and the breath alone.
NAME_HIGH = 6


def on_to(made: Pane, name: str, least_high: int = NAME_HIGH) -> None:
    """Go on, step by step, until this is done."""
    for number in range(100):
        before = step_shown(made)
        made.type(("Right", "n")[number % 2])
        with suppress(AssertionError):
            until(lambda before=before: step_shown(made) != before, "another step", 5)
        try:
            made.wait_for_large(name, 0.25, least_high)
        except AssertionError:
            continue
        return
    raise AssertionError("no such step comes")


def step_shown(made: Pane) -> list[str]:
    """The rows that name the step, its side and the next pose; of the script, the one that names the next step."""
    rows = made.rows()
    return [row for row in rows if "next: " in row] or [*rows[:5], *rows[17:20]]


def breathed(made: Pane, way: str) -> None:
    """Until the breath goes this way, and the bar is about half full."""
    made.wait_for_large(way, least_high=NAME_HIGH)
    until(lambda: any(38 < row.count("█") < 60 and "░" in row for row in made.rows()), "half a breath")


def hold(made: Pane) -> None:
    """A pose held on the right, in its third breath."""
    on_to(made, "warrior two")
    made.wait_for_large("3/5", least_high=NAME_HIGH)
    breathed(made, "in")


def move(made: Pane) -> None:
    """A move of one breath without a name, while the breath goes in."""
    on_to(made, "right leg back, left arm forward")
    breathed(made, "in")


def paused(made: Pane) -> None:
    """A class that waits, in the first breath of a hold."""
    on_to(made, "bird dog")
    breathed(made, "in")
    made.type("Space")
    made.wait_for_large("paused")


def rehearsed(made: Pane) -> None:
    """The script of a pose held on the right, while its second words are to be said."""
    on_to(made, "bird dog", letters.DOTS)
    # A move leads into it.
    with suppress(AssertionError):
        made.wait_for("► Keep both hips level", 15)
        return
    made.type("NPage")
    made.wait_for("► Keep both hips level")


@dataclass(frozen=True, slots=True)
class Moment:
    """How a moment is come to, in a screen of which size; `same` are the rows that are alike whenever it is."""

    come_to: Callable[[Pane], None]
    command: str = "play --output silent"
    columns: int = 80
    rows: int = 24
    same: Sequence[int] = (*range(8), 10, *range(17, 20))


#: Every picture by its name. What differs each time is the clock, the time left, the bar, and how far the words are.
MOMENTS: Mapping[str, Moment] = {
    "hold": Moment(hold),
    "move": Moment(move),
    "paused": Moment(paused, same=(*range(8), *range(10, 14), *range(17, 20))),
    "rehearsed": Moment(rehearsed, "rehearse", 80, 30, (*range(1, 4), *range(7, 29))),
}


def taken(name: str, folder: Path) -> Text:
    """The screen at a moment."""
    moment, own = MOMENTS[name], own_state(folder, {})
    named = {key: own[key] for key in ("XDG_STATE_HOME", "XDG_CONFIG_HOME", "GUIDE_CACHE")}
    command = f"cd {ROOT} && {sys.executable} -m guide {moment.command} sequences/lakeside-morning.yaml"
    with pane(command, named | {"COLORTERM": "truecolor"}, folder, moment.columns, moment.rows) as made:
        made.tmux("set-option", "-sa", "terminal-features", ",*:RGB")
        if moment.come_to is rehearsed:
            made.wait_for_large("ready")
            made.type("Space")
        made.wait_for("Lakeside morning")
        moment.come_to(made)
        return Text.from_ansi(made.styled())


def main() -> None:
    FOLDER.mkdir(exist_ok=True)
    os.environ.setdefault("CI", "1")
    for name in MOMENTS:
        with tempfile.TemporaryDirectory() as folder:
            (FOLDER / f"{name}.svg").write_text(screen_picture.drawn(taken(name, Path(folder))), encoding="utf-8")


if __name__ == "__main__":
    main()
