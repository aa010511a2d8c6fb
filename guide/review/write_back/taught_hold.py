"""A hold as it was really done, every time, and what becomes of it in the file."""

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from guide.problem import Place
from guide.sequence.steps import AtBreath, AtTime, InBreaths, InTime, Side, StepKind


class SidesKept(Enum):
    """What becomes of two sides that were not held alike."""

    EQUAL = "equal"
    """Both get the mean of what was done."""
    AS_TAUGHT = "as taught"
    """Each keeps its own length where they differ by a breath or more. Where one is not known, both get the other's."""


class Why(Enum):
    """Why holds stay as they are written."""

    NOT_KNOWN = "nothing tells when they began"
    NO_END = "nothing tells when they ended"
    UNSURE = "not sure enough when they began or ended"
    ONCE = "surely known in one performance only"
    ELSEWHERE = "written in another file"
    CUE = "cues ask for a place in them"
    CALLED_AGAIN = "other steps call their length again"
    BY_HAND = "to be changed by hand only"


@dataclass(frozen=True, slots=True)
class Left:
    """A hold that stays as it is written, and why; `side` is the side of which that is so, None for all of it."""

    place: Place
    title: str
    side: Side | None
    why: Why


@dataclass(frozen=True, slots=True)
class Done:
    """One time that a hold was done: how long it really was, and how long it was planned.

    `held_ms` may be nothing or less, where less time was taken than the way in should have had. Of several
    `performances` in which it is known, it is the median.
    """

    pass_number: int
    side: Side | None
    held_ms: int
    planned_ms: int
    period_ms: Fraction
    performances: int = 1


@dataclass(frozen=True, slots=True)
class TaughtHold:
    """A hold as it was done every time that is known of it, by the place of its entry.

    `usual` is the hold where the file writes none. `asked` are the places in it that cues and counting ask for,
    `periods_ms` the lengths of one breath in it, and `passes` the passes through `both sides` that it is done on, 0 for
    one outside: all of them at every step that is written there.
    """

    place: Place
    title: str
    kind: StepKind
    usual: InBreaths | InTime
    asked: frozenset[AtBreath | AtTime]
    periods_ms: frozenset[Fraction]
    passes: frozenset[int]
    done: tuple[Done, ...]

    def on_pass(self, number: int) -> tuple[Done, ...]:
        """What was done on the first pass through `both sides` (1), or the second (2)."""
        return tuple(one for one in self.done if one.pass_number == number)


@dataclass(frozen=True, slots=True)
class ToKeep:
    """The holds that are known well enough to be kept, in the order of the file, and those that stay as they are."""

    sides: SidesKept
    holds: tuple[TaughtHold, ...]
    left: tuple[Left, ...]
