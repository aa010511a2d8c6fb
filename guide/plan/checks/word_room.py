"""Whether the words of a hold had room: worked out afresh, without asking where the plan put them.

Each cue takes the first place that it may have. Cues keep their order, so a later place for one can never help the
next, and what does not fit in this way does not fit in any.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from guide.plan.checks.breach import GAP_MS, QUIET_FROM_BREATHS
from guide.plan.checks.breathgrid import BreathGrid
from guide.plan.checks.evidence import FreeWish, Seen, Settled, Wish
from guide.sequence.steps import AtBreath, AtTime, BeforeEnd, InBreaths


@dataclass(frozen=True, slots=True)
class WordRoom:
    """The part of a hold in which its words may lie, in milliseconds after it began; the hold lasts `length_ms`.

    `numbers` has, for a breath from 0, when its number may begin and must be over, and how long it takes. By
    `counted_ms` all words are over where a countdown has the rest of the hold; its last breath is what it was.
    """

    grid: BreathGrid
    from_ms: int
    until_ms: int
    length_ms: int
    numbers: Mapping[int, tuple[int, int, int]] = field(default_factory=dict)
    counted_ms: int | None = None

    @property
    def over_ms(self) -> int:
        """By when all words are over."""
        return self.until_ms if self.counted_ms is None else min(self.until_ms, self.counted_ms)

    def holds_calmly(self, wishes: Iterable[Wish]) -> bool:
        """Whether every cue can begin on an exhale (or just where the file asks), one in a breath."""
        room, others = self.before_the_ending(wishes)
        free_ms, last_breath = self.from_ms, -1
        if room is None:
            return False
        for at, length_ms in room.settled(others, self.grid.last_exhale):
            if isinstance(at, Settled):
                last_breath = self.grid.breath_under_way(at.ms)
                if at.ms + length_ms > room.over_ms:
                    return False
                continue
            start_ms, last_breath = room._calm_place(at, length_ms, free_ms, last_breath)
            if start_ms + length_ms > room.over_ms:
                return False
            free_ms = start_ms + length_ms + GAP_MS
        return True

    def holds_closely(self, wishes: Iterable[Wish]) -> bool:
        """Whether every cue can begin on some inhale or exhale (or just where the file asks)."""
        room, others = self.before_the_ending(wishes)
        free_ms = self.from_ms
        if room is None:
            return False
        for at, length_ms in room.settled(others, self.grid.last_half):
            if isinstance(at, Settled):
                if at.ms + length_ms > room.over_ms:
                    return False
                continue
            asked_ms = free_ms if at is None else max(free_ms, self.grid.asked_ms(at))
            exact = at is not None and asked_ms == self.grid.asked_ms(at)
            start_ms = asked_ms if exact else self.grid.next_half(asked_ms)
            if start_ms + length_ms > room.over_ms:
                return False
            free_ms = start_ms + length_ms + GAP_MS
        return True

    def settled(self, wishes: Iterable[FreeWish], last: Callable[[int], int]) -> list[FreeWish]:
        """The wishes with a time for the last breath: as late as leaves this cue and those after it a beat each.

        `last` is the last beat up to a time: an exhale where the cues lie calmly, any half breath where they are close.
        """
        found: list[FreeWish] = []
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

    def before_the_ending(self, wishes: Iterable[Wish]) -> tuple["WordRoom | None", list[FreeWish]]:
        """The room that is left by cues placed before the end of the hold, and the wishes of all others.

        None for a hold in which not even those have room.
        """
        asked = list(wishes)
        starts_ms = self.ending_ms(asked)
        others = [(at, length_ms) for at, length_ms in asked if not isinstance(at, BeforeEnd)]
        if not starts_ms:
            return self, others
        if starts_ms[0] < self.from_ms:
            return None, others
        return replace(self, until_ms=min(self.until_ms, starts_ms[0] - GAP_MS)), others

    def ending_ms(self, wishes: Sequence[Wish]) -> list[int]:
        """Where cues placed before the end begin: there, or as much earlier as they and those after them need."""
        starts_ms: list[int] = []
        for at, needs_ms in reversed([wish for wish in wishes if isinstance(wish[0], BeforeEnd)]):
            next_ms = starts_ms[-1] if starts_ms else self.length_ms
            asked_ms = self.length_ms - at.ms if isinstance(at, BeforeEnd) else self.length_ms
            starts_ms.append(min(asked_ms, next_ms - GAP_MS - needs_ms))
        return starts_ms[::-1]

    def takes_a_number(self, breath: int, start_ms: int, length_ms: int, free_ms: int) -> bool:
        """Whether a cue leaves the number of its breath no place, though it had one until then."""
        if breath not in self.numbers:
            return False
        from_ms, until_ms, number_ms = self.numbers[breath]
        over_ms = max(from_ms, free_ms) + number_ms
        fits_at_all, fits_before = over_ms <= until_ms, over_ms + GAP_MS <= start_ms
        return fits_at_all and not fits_before and start_ms + length_ms + GAP_MS + number_ms > until_ms

    def _calm_place(
        self, at: AtBreath | AtTime | None, length_ms: int, free_ms: int, last_breath: int
    ) -> tuple[int, int]:
        earliest_ms = free_ms
        if at is not None:
            asked_ms, breath = self.grid.asked_ms(at), self.grid.breath_of(at)
            if asked_ms >= free_ms and breath > last_breath:
                return asked_ms, breath
            earliest_ms = max(free_ms, asked_ms)
        start_ms, breath = self.grid.next_exhale(earliest_ms, last_breath + 1)
        while start_ms + length_ms <= self.over_ms and self.takes_a_number(breath, start_ms, length_ms, free_ms):
            start_ms, breath = self.grid.next_exhale(start_ms, breath + 1)
        return start_ms, breath


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
        length_ms=length_ms,
    )
