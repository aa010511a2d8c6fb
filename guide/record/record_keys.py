"""From keys to what they ask for while lines are recorded: on a terminal, by a pedal, or by a remote."""

import threading
from collections.abc import Callable, Iterable, Mapping

from guide.live import steady_clock
from guide.live.key_presses import Presses
from guide.record.session import Ask

#: What keys ask for; the first of each is shown. A pedal or a remote does all with one key.
KEYS: Mapping[str, Ask] = {
    "space": Ask.GO,
    "enter": Ask.GO,
    "page down": Ask.GO,
    "button": Ask.GO,
    "p": Ask.HEAR,
    "r": Ask.AGAIN,
    "page up": Ask.AGAIN,
    "right": Ask.NEXT,
    "n": Ask.NEXT,
    "down": Ask.NEXT,
    "left": Ask.BACK,
    "b": Ask.BACK,
    "up": Ask.BACK,
    "f": Ask.FLOW,
    "q": Ask.END,
    "ctrl c": Ask.END,
}


def keys_for(flows: bool) -> str:
    """The keys, each with what it asks for, in a line."""
    shown = {ask: next(key for key in KEYS if KEYS[key] is ask) for ask in Ask}
    words = {**{ask: ask.value for ask in Ask}, Ask.FLOW: "line by line" if flows else "flow"}
    return " · ".join(f"{shown[ask]}: {words[ask]}" for ask in Ask)


class RecordKeys:
    """Takes the names of keys, and gives `ask` what they ask for."""

    def __init__(self, ask: Callable[[Ask], None]) -> None:
        self._ask = ask
        self._presses = Presses()
        self._lock = threading.Lock()

    def typed(self, keys: Iterable[str]) -> None:
        """Keys from a terminal, which sends one that is held down again and again; all of them came now."""
        now_s = steady_clock.now_s()
        with self._lock:
            given = [press for key in keys for press in self._presses.pressed(key, now_s)]
            given += self._presses.due(now_s)
        self._do(given)

    def pressed(self, key: str) -> None:
        """A key from a device that tells presses from keys held down."""
        self._do([key.partition(" ")[0] if key.startswith("button ") else key])

    def tick(self) -> None:
        """Let go of what was kept back; called a few times a second."""
        with self._lock:
            given = self._presses.due(steady_clock.now_s())
        self._do(given)

    def _do(self, keys: Iterable[str]) -> None:
        for key in keys:
            if key in KEYS:
                self._ask(KEYS[key])
