"""The screen in the terminal: looks at the class many times a second, and passes on what is pressed."""

import os
from collections.abc import Callable
from datetime import datetime, timedelta

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.app import App, ComposeResult
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from guide.live.key_list import key_lines, lists_keys
from guide.live.keys import KEYS, Bindings
from guide.live.scene import Showable
from guide.live.screen.drawing import drawn
from guide.live.screen.key_rows import key_rows
from guide.live.screen.rows import Day, Ink, Room, Row

#: So often the screen is drawn again.
FRAMES_A_SECOND = 10

#: The console of Linux has half blocks, and no quarters; how narrow letters may be, in half columns.
NARROWEST = 2 if os.environ.get("TERM") == "linux" else 1

#: How each ink looks. Nothing is told by colour alone: a side is told by its word and its place, an alarm by its words.
INKS = {
    Ink.PLAIN: Style(color="#d0d0d0"),
    Ink.FAINT: Style(color="#a8a8a8"),
    Ink.NOW: Style(color="#ffffff", bold=True),
    Ink.LEFT: Style(color="#5fafd7", bold=True),
    Ink.RIGHT: Style(color="#d7af5f", bold=True),
    Ink.BREATH: Style(color="#87af87"),
    Ink.TIME: Style(color="#d0d0d0"),
    Ink.TOLD: Style(color="#ffffff", bold=True),
    Ink.WAITS: Style(color="#ffffff", bgcolor="#444444", bold=True),
    Ink.ALARM: Style(color="#ffffff", bgcolor="#af0000", bold=True),
}


class Picture(Widget):
    """The whole of the screen, a row of text at a time."""

    DEFAULT_CSS = "Picture { width: 100%; height: 100%; background: #000000; }"

    def __init__(self) -> None:
        super().__init__()
        self._rows: tuple[Row, ...] = ()

    def show(self, rows: tuple[Row, ...]) -> None:
        before, self._rows = self._rows, rows
        if len(before) != len(self._rows):
            self.refresh()
            return
        for y, (old, new) in enumerate(zip(before, self._rows, strict=True)):
            if old != new:
                self.refresh(Region(0, y, self.size.width, 1))

    def render_line(self, y: int) -> Strip:
        if y >= len(self._rows):
            return Strip.blank(self.size.width, INKS[Ink.PLAIN])
        return Strip([Segment(run.text, INKS[run.ink]) for run in self._rows[y]])


class Screen(App[None]):
    """Shows the scene that `look` gives, and calls `press` with the name and the character of every key.

    It ends by itself when the class is over. It has no keys of its own but one that lists all others, so that none can
    end the class by mistake. `bound` is what keys ask for.
    """

    CSS = "Screen { background: #000000; }"
    ENABLE_COMMAND_PALETTE = False

    def __init__(
        self,
        look: Callable[[], Showable],
        press: Callable[[str, str | None], None],
        day: Callable[[], datetime] = datetime.now,
        bound: Bindings = KEYS,
    ) -> None:
        super().__init__()
        self._look, self._press, self._day, self._bound = look, press, day, bound
        self._lists_keys = False
        self._picture = Picture()
        # The keys that every application has by itself, quitting among them, are the class's here.
        self._bindings.key_to_bindings.clear()

    def compose(self) -> ComposeResult:
        yield self._picture

    def on_mount(self) -> None:
        self.set_interval(1 / FRAMES_A_SECOND, self.draw)
        self.call_after_refresh(self.draw)

    def on_resize(self) -> None:
        self.call_after_refresh(self.draw)

    def draw(self) -> None:
        """Look at the class, and show it as it is."""
        try:
            scene = self._look()
        except (EOFError, OSError):
            # The class has gone, and its terminal is to be as it was.
            scene = None
        if scene is None or scene.is_over:
            self.exit()
            return
        size = self._picture.size
        room = Room(size.width, size.height, NARROWEST)
        if self._lists_keys:
            self._picture.show(key_rows([*key_lines(scene, self._bound)], room))
            return
        now = self._day()
        ends = now + timedelta(milliseconds=scene.left_ms)
        day = Day(f"{now:%H:%M}", f"{ends:%H:%M}")
        self._picture.show(drawn(scene, day, room))

    def on_key(self, event: events.Key) -> None:
        event.stop()
        is_list = lists_keys(event.character or "", self._bound)
        self._lists_keys = is_list and not self._lists_keys
        if is_list:
            self.draw()
        else:
            self._press(event.key, event.character)
