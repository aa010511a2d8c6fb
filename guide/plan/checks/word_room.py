"""Whether the words of a hold had room: worked out afresh, without asking where the plan put them.

Each cue takes the first place that it may have. Cues keep their order, so a later place for one can never help the
next, and what does not fit in this way does not fit in any.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from guide.plan.checks.breach import GAP_MS, QUIET_FROM_BREATHS
from guide.plan.checks.breathgrid import BreathGrid
from guide.plan.checks.evidence import Seen, Settled, Wish
from guide.sequence.steps import AtBreath, AtTime, InBreaths


@dataclass(frozen=True, slots=True)
class WordRoom:
    """The part of a hold in which its words may lie, in milliseconds after it began."""

    grid: BreathGrid
    from_ms: int
    until_ms: int

    def holds_calmly(self, wishes: Iterable[Wish]) -> bool:
        """Whether every cue can begin on an exhale (or just where the file asks), one in a breath."""
        free_ms, last_breath = self.from_ms, -1
        for at, length_ms in self.settled(wishes, self.grid.last_exhale):
            if isinstance(at, Settled):
                last_breath = self.grid.breath_under_way(at.ms)
                if at.ms + length_ms > self.until_ms:
                    return False
                continue
            start_ms, last_breath = self._calm_place(at, free_ms, last_breath)
            if start_ms + length_ms > self.until_ms:
                return False
            free_ms = start_ms + length_ms + GAP_MS
        return True

    def holds_closely(self, wishes: Iterable[Wish]) -> bool:
        """Whether every cue can begin on some inhale or exhale (or just where the file asks)."""
        free_ms = self.from_ms
        for at, length_ms in self.settled(wishes, self.grid.last_half):
            if isinstance(at, Settled):
                if at.ms + length_ms > self.until_ms:
                    return False
                continue
            asked_ms = free_ms if at is None else max(free_ms, self.grid.asked_ms(at))
            exact = at is not None and asked_ms == self.grid.asked_ms(at)
            start_ms = asked_ms if exact else self.grid.next_half(asked_ms)
            if start_ms + length_ms > self.until_ms:
                return False
            free_ms = start_ms + length_ms + GAP_MS
        return True

    def settled(self, wishes: Iterable[Wish], last: Callable[[int], int]) -> list[Wish]:
        """The wishes with a time for the last breath: as late as leaves this cue and those after it a beat each.

        `last` is the last beat up to a time: an exhale where the cues lie calmly, any half breath where they are close.
        """
        found: list[Wish] = []
        until_ms, asked = self.until_ms, list(wishes)
        if not any(isinstance(at, AtBreath) and at.number is None for at, _ in asked):
            return asked
        for at, length_ms in reversed(asked):
            start_ms = last(until_ms - length_ms) if until_ms >= length_ms else -1
            if isinstance(at, AtBreath) and at.number is None:
                at = AtTime(max(0, start_ms))
            found.append((at, length_ms))
            until_ms = start_ms - GAP_MS
        return found[::-1]

    def _calm_place(self, at: AtBreath | AtTime | None, free_ms: int, last_breath: int) -> tuple[int, int]:
        if at is None:
            return self.grid.next_exhale(free_ms, last_breath + 1)
        asked_ms, breath = self.grid.asked_ms(at), self.grid.breath_of(at)
        if asked_ms >= free_ms and breath > last_breath:
            return asked_ms, breath
        return self.grid.next_exhale(max(free_ms, asked_ms), last_breath + 1)


def whole_breaths(seen: Seen, length_ms: int) -> int:
    """How many whole breaths a hold of this length has."""
    if isinstance(seen.step.hold, InBreaths) and not seen.step.hold.and_a_half:
        return round(length_ms * seen.grid.ticks / seen.grid.period)
    return seen.grid.breaths_in(length_ms)


def quiet_from_ms(seen: Seen, length_ms: int) -> int | None:
    """Where the quiet last breath of a hold begins; None for a hold of less than three breaths."""
    breaths = whole_breaths(seen, length_ms)
    if breaths < QUIET_FROM_BREATHS:
        return None
    if isinstance(seen.step.hold, InBreaths):
        return seen.grid.inhale_ms(breaths - 1)
    return length_ms - seen.grid.inhale_ms(1)


def word_room_of(seen: Seen, length_ms: int) -> WordRoom:
    """The room that the hold of a step has for words when it is kept for `length_ms`."""
    quiet_ms = quiet_from_ms(seen, length_ms)
    halves = isinstance(seen.step.hold, InBreaths) and seen.step.hold.and_a_half
    words_ms = seen.grid.inhale_ms(whole_breaths(seen, length_ms)) if halves else length_ms
    return WordRoom(
        grid=seen.grid,
        from_ms=max(GAP_MS if seen.step.entry else 0, seen.free_ms or 0),
        until_ms=words_ms - GAP_MS if quiet_ms is None else quiet_ms,
    )
