"""A thread that only sleeps tells whether this machine is in time: what is late on one that is not may be its doing.

with sleeping() as sleeper:
    ...
assert late_ms < sleeper.bound(5.0)
"""

import math
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

NAP_S = 0.005

#: Woken later than this, a thread that needs no work at all, the machine has stalled: other programs have its cores.
#: On two cores with two programs that never rest: 3 ms at most.
STALL_MS = 20.0


@dataclass(frozen=True, slots=True)
class Sleeper:
    """`woken` has each time that it woke: the moment, in seconds of the steady clock, and how many ms it was late."""

    woken: list[tuple[float, float]] = field(default_factory=list)

    def worst_ms(self, from_s: float = 0.0) -> float:
        """How late it woke at the worst since a moment."""
        return max((late_ms for at_s, late_ms in list(self.woken) if at_s >= from_s), default=0.0)

    def stalls(self) -> int:
        return sum(late_ms > STALL_MS for _, late_ms in list(self.woken))

    def stalled(self, from_s: float, to_s: float) -> bool:
        """Whether the machine stalled between two moments."""
        return any(late_ms > STALL_MS and from_s <= at_s <= to_s for at_s, late_ms in list(self.woken))

    def bound(self, limit: float, from_s: float = 0.0) -> float:
        """The limit, or none where the machine has stalled since a moment."""
        return limit if self.worst_ms(from_s) <= STALL_MS else math.inf

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
        if made.stalls():
            print(f"the machine itself stalled {made.stalls()} times, for {made.worst_ms():.0f} ms at the worst")
