"""The screen in a process of its own, so that nothing which happens to a terminal can disturb the class.

The screen asks the class for what there is to show (see `scene_server`), and is never waited for.
"""

import contextlib
import os
import subprocess
import sys
import time
from importlib.util import find_spec
from typing import Any

from guide.live.lead_loop import TICK_S
from guide.live.scene import Showable

#: Where the process finds the line to the class, and the key that opens it.
ADDRESS, KEY = "PRACTICE_GUIDE_SCREEN", "PRACTICE_GUIDE_SCREEN_KEY"

#: How long the process may take to leave the terminal as it was.
LEAVES_S = 3.0

#: What sets a terminal right again after a screen that was killed: its usual page, the cursor, lines that wrap, and no
#: reports of mouse, focus, paste or keys. Source: XTerm Control Sequences (Dickey), "DEC Private Mode Reset".
SET_RIGHT = "\x1b[?1049l\x1b[?25h\x1b[?7h\x1b[?1000l\x1b[?1003l\x1b[?1006l\x1b[?1015l\x1b[?1004l\x1b[?2004l\x1b[<u"


def has_terminal() -> bool:
    """Whether there is a terminal to show a screen on."""
    return all(stream.isatty() for stream in (sys.stdin, sys.stdout, sys.stderr)) and os.environ.get("TERM") != "dumb"


def can_draw() -> bool:
    """Whether the library that draws the screen is installed."""
    return find_spec("textual") is not None


class ScreenProcess:
    """A screen that shows the class which comes to `address`, for whoever has the `key`."""

    def __init__(self, address: str, key: str) -> None:
        self._address, self._key = address, key
        self._process: subprocess.Popen[bytes] | None = None
        self._modes: list[Any] | None = None

    def start(self) -> None:
        self._modes = _modes()
        # The size is asked of the terminal, whatever these two say.
        others = {name: value for name, value in os.environ.items() if name not in ("COLUMNS", "LINES")}
        self._process = subprocess.Popen(
            [sys.executable, "-m", "guide.live.screen"], env=others | {ADDRESS: self._address, KEY: self._key}
        )

    @property
    def is_gone(self) -> bool:
        """Whether the screen has ended, with its terminal or by itself."""
        return self._process is None or self._process.poll() is not None

    def show(self, scene: Showable) -> None:
        """Nothing to do: the screen asks."""

    def wait(self) -> None:
        time.sleep(TICK_S)

    def stop(self) -> None:
        """Wait until the screen has left the terminal as it was, which it does when it is shown that the class is over.

        One that does not is killed, and the terminal set right.
        """
        if self._process is None:
            return
        try:
            is_clean = self._process.wait(LEAVES_S) == 0
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
            is_clean = False
        if not is_clean:
            self._set_right()
        self._process = None

    def _set_right(self) -> None:
        # The terminal may have gone as well.
        with contextlib.suppress(OSError):
            os.write(sys.stderr.fileno(), SET_RIGHT.encode())
        if self._modes is not None:
            import termios

            with contextlib.suppress(OSError, termios.error):
                termios.tcsetattr(sys.stdin.fileno(), termios.TCSANOW, self._modes)


def _modes() -> list[Any] | None:
    """How the terminal reads keys, where it can be told."""
    if sys.platform == "win32":
        return None
    import termios

    try:
        return termios.tcgetattr(sys.stdin.fileno())
    except (OSError, termios.error):
        return None
