"""Several performances of one class beside each other: how long the whole, each section and each step took each time.

Each performance is a comparison with the same plan, whatever it was known from. A length is known as surely as the less
sure of its two ends; what is less sure than `SURE` is shown, and counts for nothing.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from statistics import median

from guide.problem import UnusableChoice
from guide.review.comparison import Comparison, StepTaken, sure_of_length
from guide.review.report_phrases import SURE, unknown, was_by_ear


class HowSeen(Enum):
    """What is known of one time that something was done."""

    SURELY = "surely"
    UNSURE = "unsure"
    NO_END = "no end"
    LEFT_OUT = "left out"
    NOT_REACHED = "not reached"
    NOT_HEARD = "not heard"
    NOT_KNOWN = "not known"


@dataclass(frozen=True, slots=True)
class OneTime:
    """How long something took in one performance, None where that is not known; and how surely, 0 to 1."""

    seen: HowSeen
    length_ms: int | None = None
    sure: float = 0.0


@dataclass(frozen=True, slots=True)
class Lengths:
    """How long something was planned, and how long it was in each performance, in the order of those."""

    planned_ms: int
    times: tuple[OneTime, ...]

    @property
    def surely_ms(self) -> tuple[int, ...]:
        """The lengths that are known well enough to count."""
        return tuple(one.length_ms for one in self.times if one.seen is HowSeen.SURELY and one.length_ms is not None)

    @property
    def usual_ms(self) -> int | None:
        """The median of those; None where there is none."""
        return round(median(self.surely_ms)) if self.surely_ms else None


@dataclass(frozen=True, slots=True)
class StepLengths:
    """A step of the plan, as the first performance has it, and how long it was each time."""

    step: StepTaken
    lengths: Lengths


@dataclass(frozen=True, slots=True)
class SectionLengths:
    """A section, and how long it was each time: from its first step's start to the start of what came next."""

    number: int
    title: str
    lengths: Lengths


@dataclass(frozen=True, slots=True)
class Performance:
    """One time that the class was held. `on` is the day and the time of day as they shall be shown, "" where not
    known."""

    comparison: Comparison
    on: str = ""


@dataclass(frozen=True, slots=True)
class LeftAside:
    """A recording that counts for nothing, and why."""

    recording: str
    why: str


@dataclass(frozen=True, slots=True)
class History:
    """Performances of one class, in the order given, and the recordings that were left aside."""

    title: str
    performances: tuple[Performance, ...]
    whole: Lengths
    sections: tuple[SectionLengths, ...]
    steps: tuple[StepLengths, ...]
    left_aside: tuple[LeftAside, ...]

    @property
    def comparisons(self) -> tuple[Comparison, ...]:
        """Each performance beside the plan."""
        return tuple(one.comparison for one in self.performances)


def beside_each_other(performances: Sequence[Performance]) -> History:
    """What performances of one class tell together, all compared with one plan.

    Raises:
        UnusableChoice: fewer than two are of this class.
    """
    asides = [_aside(one.comparison, performances[:number]) for number, one in enumerate(performances)]
    counted = tuple(one for one, aside in zip(performances, asides, strict=True) if aside is None)
    left_aside = tuple(filter(None, asides))
    if len(counted) < 2:
        whys = "; ".join(f"{one.recording}: {one.why}" for one in left_aside)
        what = f"{len(counted)} of {len(performances)} counts ({whys})" if whys else "one is given"
        raise UnusableChoice(f"--history shows several performances beside each other, and {what}: name another")
    first = counted[0].comparison
    steps = tuple(
        StepLengths(step, Lengths(step.planned_ms, tuple(_time(one.comparison, step.number) for one in counted)))
        for step in first.steps
    )
    whole = Lengths(first.planned_ms, tuple(_whole(one.comparison) for one in counted))
    return History(first.title, counted, whole, tuple(_sections(first, counted)), steps, left_aside)


def _aside(comparison: Comparison, before: Sequence[Performance]) -> LeftAside | None:
    """Why a performance counts for nothing: it is of another class, or the same as one before."""
    if comparison.is_another:
        return LeftAside(comparison.recording, "of another class")
    for one in before:
        if _taken(one.comparison) == _taken(comparison):
            return LeftAside(comparison.recording, f"the same performance as {one.comparison.recording}")
    return None


def _taken(comparison: Comparison) -> list[tuple[int | None, int | None]]:
    """When each step began and how long it was: to the millisecond, no two performances are alike."""
    return [(step.real_start_ms, step.real_ms) for step in comparison.steps]


def _time(comparison: Comparison, number: int) -> OneTime:
    """How long one step was."""
    step = comparison.steps[number]
    if step.real_start_ms is None:
        return OneTime(HowSeen(unknown(comparison, step)))
    if step.real_ms is None:
        return OneTime(HowSeen.NO_END)
    return _known(step.real_ms, sure_of_length(comparison.steps, number))


def _known(length_ms: int, sure: float) -> OneTime:
    return OneTime(HowSeen.SURELY if sure >= SURE else HowSeen.UNSURE, length_ms, sure)


def _whole(comparison: Comparison) -> OneTime:
    return _stretch(comparison, 0, len(comparison.steps) - 1)


def _sections(plan: Comparison, performances: Sequence[Performance]) -> Iterator[SectionLengths]:
    """Each section whose steps follow each other, by the numbers of its first and of its last step."""
    for number, title in enumerate(plan.sections):
        inside = [step.number for step in plan.steps if step.section == number]
        if not inside or inside[-1] - inside[0] >= len(inside):
            continue
        planned_ms = sum(plan.steps[one].planned_ms for one in inside)
        times = tuple(_stretch(one.comparison, inside[0], inside[-1]) for one in performances)
        yield SectionLengths(number, title, Lengths(planned_ms, times))


def _stretch(comparison: Comparison, first: int, last: int) -> OneTime:
    """From the start of the first of these steps that was taken, to the end of the last.

    By ear, a step that was not heard may have been there all the same, so that a stretch without its end steps is
    unsure.
    """
    steps = comparison.steps
    taken = [step for step in steps[first : last + 1] if step.real_start_ms is not None]
    if not taken or taken[0].real_start_ms is None:
        return OneTime(HowSeen(unknown(comparison, steps[first])))
    end = taken[-1]
    if end.real_start_ms is None or end.real_ms is None:
        return OneTime(HowSeen.NO_END)
    is_whole = not was_by_ear(comparison) or (taken[0] is steps[first] and end is steps[last])
    sure = min(taken[0].sure, sure_of_length(steps, end.number)) if is_whole else 0.0
    return _known(end.real_start_ms + end.real_ms - taken[0].real_start_ms, sure)
