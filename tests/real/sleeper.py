"""How late this machine wakes a program that only sleeps: so much may be late that no program of ours can mend.

with sleeping() as sleeper:
    ...
assert late_ms < PROMISED_MS + sleeper.worst_ms()
"""

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

NAP_S = 0.005


@dataclass(frozen=True, slots=True)
class Sleeper:
    """`woken` has each time that it woke: the moment, in seconds of the steady clock, and how many ms it was late."""

    woken: list[tuple[float, float]] = field(default_factory=list)

    def worst_ms(self, from_s: float = 0.0) -> float:
        """How late it woke at the worst since a moment."""
        return max((late_ms for at_s, late_ms in list(self.woken) if at_s >= from_s), default=0.0)

    def stalls(self, over_ms: float) -> int:
        """How often it woke later than this."""
        return sum(late_ms > over_ms for _, late_ms in list(self.woken))

    def sleep_until(self, over: threading.Event) -> None:
        while not over.is_set():
            due_s = time.monotonic() + NAP_S
            time.sleep(NAP_S)
            now_s = time.monotonic()
            self.woken.append((now_s, 1000 * (now_s - due_s)))


@contextmanager
def sleeping() -> Iterator[Sleeper]:
    """A thread that sleeps and wakes for as long as the block lasts."""
    made, over = Sleeper(), threading.Event()
    thread = threading.Thread(target=made.sleep_until, args=(over,), daemon=True)
    thread.start()
    try:
        yield made
    finally:
        over.set()
        thread.join()
