"""From keys to orders: what is pressed anywhere, in whatever thread, asks for something once."""

import threading
from collections.abc import Callable, Iterable
from queue import SimpleQueue

from guide.live import steady_clock
from guide.live.key_presses import Presses
from guide.live.keys import Bindings, order_of
from guide.live.orders import Order

#: What ends a program in every terminal ends a class too, whatever else was learned.
ALWAYS = {"ctrl c": Order.END}


class Controls:
    """Takes the names of keys, and gives `order` what they ask for."""

    def __init__(self, order: Callable[[Order], None], bindings: Bindings) -> None:
        self._order = order
        self._bindings = {**bindings, **ALWAYS}
        self._presses = Presses()
        self._lock = threading.Lock()
        self._later: SimpleQueue[Order] = SimpleQueue()

    def typed(self, keys: Iterable[str]) -> None:
        """Keys from a terminal, which sends one that is held down again and again; all of them came now."""
        now_s = steady_clock.now_s()
        with self._lock:
            given = [press for key in keys for press in self._presses.pressed(key, now_s)]
            given += self._presses.due(now_s)
        self._ask(given)

    def pressed(self, key: str) -> None:
        """A key from a device that tells presses from keys held down."""
        self._ask([key])

    def tick(self) -> None:
        """Let go of what was kept back; called a few times a second."""
        while not self._later.empty():
            self._order(self._later.get())
        with self._lock:
            given = self._presses.due(steady_clock.now_s())
        self._ask(given)

    def later(self, order: Order) -> None:
        """Ask at the next tick; may be called from where nothing may wait, such as a signal's handler."""
        self._later.put(order)

    def _ask(self, keys: Iterable[str]) -> None:
        for key in keys:
            order = order_of(key, self._bindings)
            if order is not None:
                self._order(order)
