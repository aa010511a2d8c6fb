"""A class led in lines: one for each step and each order, for screen readers, logs, and terminals of any kind."""

import select
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import IO

from guide.live.leading import Leading, Scene
from guide.live.orders import Order
from guide.units import clock

#: How often the class is looked at.
TICK_S = 0.05

#: The same key again within this time is a key held down, not a second order.
REPEAT_S = 0.15

#: What keys ask for. Presenter remotes send page up and down, `.` or `b`, and F5; pedals arrows, pages, space or enter.
KEYS: Mapping[str, Order] = {
    " ": Order.PAUSE,
    "\r": Order.PAUSE,
    "\n": Order.PAUSE,
    # F5, as most terminals send it and as the Linux console does.
    "\x1b[15~": Order.PAUSE,
    "\x1b[[E": Order.PAUSE,
    "\x1b[C": Order.NEXT,
    "\x1b[6~": Order.NEXT,
    "n": Order.NEXT,
    "\x1b[D": Order.AGAIN,
    "\x1b[5~": Order.AGAIN,
    "a": Order.AGAIN,
    "p": Order.PREVIOUS,
    "\x1b[A": Order.LONGER,
    "+": Order.LONGER,
    "\x1b[B": Order.SHORTER,
    "-": Order.SHORTER,
    "h": Order.STAY,
    "s": Order.SLOWER,
    "f": Order.QUICKER,
    "r": Order.SIDE_AGAIN,
    "o": Order.OTHER_SIDE,
    "v": Order.VOICE_UP,
    "V": Order.VOICE_DOWN,
    "c": Order.CHIMES_UP,
    "C": Order.CHIMES_DOWN,
    "w": Order.FEWER_WORDS,
    "W": Order.ALL_WORDS,
    ".": Order.HUSH,
    "b": Order.HUSH,
    "e": Order.REST,
    "q": Order.QUIT,
}


def lead(leading: Leading, write: Callable[[str], None], keys: Callable[[], str]) -> None:
    """Lead a class that has been started until it is over, writing a line for all that happens.

    `keys` waits for up to `TICK_S` and gives what was typed, or nothing.
    """
    shown: Scene | None = None
    pressed: tuple[str, float] = ("", 0.0)
    while True:
        leading.tick()
        scene = leading.scene()
        for line in _lines(shown, scene):
            write(line)
        shown = scene
        if scene.is_over:
            return
        key = keys()
        is_repeat = key == pressed[0] and time.monotonic() - pressed[1] < REPEAT_S
        if key in KEYS and not is_repeat:
            leading.order(KEYS[key])
        if key:
            # Taken after the order, which may take longer than a key that is held down needs to come again.
            pressed = key, time.monotonic()


def _lines(before: Scene | None, scene: Scene) -> Iterator[str]:
    now = scene.where
    moment = f"{clock(now.at_ms):>7}"
    side = f", {now.side}" if now.side else ""
    if before is None or before.where.step != now.step:
        breaths = f", {now.breaths} breaths" if now.breaths > 1 else ""
        yield f"{moment}  {now.title}{side}{breaths}"
    is_news = scene.told and scene.told != f"{now.title}{side}"
    if is_news and (before is None or scene.told != before.told):
        yield f"{moment}  ({scene.told})"
    was_lost = before is not None and before.sound_lost
    if scene.sound_lost != was_lost:
        yield f"{moment}  (the sound is {'gone; the class waits for it' if scene.sound_lost else 'back'})"


@contextmanager
def typed(stream: IO[str]) -> Iterator[Callable[[], str]]:
    """What is typed, key by key, without waiting for the end of a line; nothing where the stream is no terminal."""
    if not stream.isatty() or sys.platform == "win32":
        yield _nothing
        return
    import os
    import termios
    import tty

    number = stream.fileno()
    before = termios.tcgetattr(number)

    def keys() -> str:
        ready, _, _ = select.select([number], [], [], TICK_S)
        # A key that sends several characters sends them at once.
        return os.read(number, 16).decode("utf-8", "ignore") if ready else ""

    try:
        tty.setcbreak(number)
        yield keys
    finally:
        termios.tcsetattr(number, termios.TCSADRAIN, before)


def _nothing() -> str:
    time.sleep(TICK_S)
    return ""
