"""A class led in lines: one for each step and each order, for screen readers, logs, and terminals of any kind."""

import os
import select
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from typing import IO, Generic, TypeVar

from guide.live.key_list import HELP, key_lines, lists_keys, own_bindings
from guide.live.lead_loop import TICK_S
from guide.live.scene import Scene, Showable
from guide.live.terminal_keys import KeyStream
from guide.plan.moment import Moment, named
from guide.units import clock

SceneT = TypeVar("SceneT", bound=Showable)


class TypedLines(Generic[SceneT]):
    """Writes the lines that `told` makes of each scene and the one before; `keys` waits for up to `TICK_S` and gives
    what was typed, or nothing."""

    is_gone = False

    def __init__(
        self, write: Callable[[str], None], keys: Callable[[], str], typed: Callable[[Iterable[str]], None]
    ) -> None:
        self._write, self._keys, self._typed = write, keys, typed
        self._stream = KeyStream()
        self._shown: SceneT | None = None

    def told(self, before: SceneT | None, scene: SceneT) -> Iterator[str]:
        """What has happened since `before`, which is None for the first scene."""
        raise NotImplementedError

    def show(self, scene: SceneT) -> None:
        """Write what is new."""
        for line in self.told(self._shown, scene):
            self._write(line)
        self._shown = scene

    def wait(self) -> None:
        """Take what is typed, for about `TICK_S`; the key that lists the keys has its answer here."""
        keys = [*self._stream.keys(self._keys())]
        if HELP in keys and self._shown is not None:
            self._list_keys(self._shown)
        self._typed(keys)

    def _list_keys(self, scene: SceneT) -> None:
        bound = own_bindings()
        if lists_keys(HELP, bound):
            for line in key_lines(scene, bound):
                self._write(f"{'':9}{line}")


class Lines(TypedLines[Scene]):
    """A line for each section, each step, each order, and what befalls the sound."""

    def told(self, before: Scene | None, scene: Scene) -> Iterator[str]:
        """The lines that tell it: sections, steps, orders, and the sound that goes and comes back."""
        now, then = scene.moment, before.moment if before else None
        moment = f"{clock(now.at_ms):>7}"
        if now.section and (then is None or then.section != now.section):
            yield f"{moment}  {now.section}: {clock(now.section_ms)}, {clock(now.left_ms)} to go"
        if then is None or then.step != now.step:
            yield f"{moment}  {_step(now)}"
        is_news = scene.told and scene.told != named(now.title, now.side)
        if is_news and (before is None or scene.tells != before.tells):
            yield f"{moment}  ({scene.told})"
        if scene.sound_lost and not (before is not None and before.sound_lost):
            yield f"{moment}  (the sound is gone; the class waits for it)"


def _step(now: Moment) -> str:
    """A step in a line: what it is, on which side, for how many breaths; of a hold, which pose comes after it.

    A move lasts a breath, in which there is no time to listen to more than what to do.
    """
    breaths = f", {now.breaths} breaths" if now.breaths > 1 else ""
    asked = f": {now.action}" if now.action != now.title else ""
    after = f"; next: {named(now.next_pose, now.next_pose_side)}" if breaths and now.next_pose else ""
    return f"{named(now.title, now.side)}{breaths}{asked}{after}"


def can_be_typed(stream: IO[str]) -> bool:
    """Whether keys can be read from a stream one by one."""
    return stream.isatty() and sys.platform != "win32"


@contextmanager
def typed(stream: IO[str]) -> Iterator[Callable[[], str]]:
    """What is typed, key by key, without waiting for the end of a line; nothing where the stream is no terminal."""
    if not can_be_typed(stream):
        yield _nothing
        return
    import termios
    import tty

    number = stream.fileno()
    before = termios.tcgetattr(number)
    try:
        tty.setcbreak(number)
        yield lambda: _read(number)
    finally:
        # The terminal may have gone.
        with suppress(termios.error):
            termios.tcsetattr(number, termios.TCSADRAIN, before)


def _read(number: int) -> str:
    try:
        ready, _, _ = select.select([number], [], [], TICK_S)
        if not ready:
            return ""
        # A key that sends several characters sends them at once.
        raw = os.read(number, 64).decode("utf-8", "ignore")
    except OSError:
        raw = ""
    # A terminal that has gone is always ready, and has nothing.
    return raw or _nothing()


def _nothing() -> str:
    time.sleep(TICK_S)
    return ""
