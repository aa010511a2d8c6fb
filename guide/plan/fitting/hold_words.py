"""What the words of holds need, however far their paces give: the lengths at which a hold need not grow for them."""

from dataclasses import replace
from fractions import Fraction
from itertools import takewhile

from guide.plan.fitting.led_steps import NOTCHES, ClassPace, LedSteps, class_pace
from guide.plan.fixed_lengths import GAP_MS, QUIET_FROM_BREATHS
from guide.plan.step_lengths import (
    Setting,
    Twins,
    grown_breaths,
    usual,
    words_before_end_ms,
    words_end_ms,
    words_fit,
)
from guide.sequence.steps import InBreaths, InTime, PaceRoom, Step


def without_growth(led: LedSteps) -> LedSteps:
    """The steps without those parts of the rooms of paces at which a hold would grow by more breaths or fewer.

    What a quicker pace wins is not worth a breath more, and a slower class would be a shorter one.
    """
    return replace(led, paces=tuple(_steady(pace, led) if pace.gives else pace for pace in led.paces))


def _steady(pace: ClassPace, led: LedSteps) -> ClassPace:
    among = dict.fromkeys(led.twins_of[number] for number in pace.numbers)
    risky = [twins for twins in among if any(_may_grow(one.step, twins, pace) for one in twins.each)]
    if not risky:
        return pace

    def growth(ease: Fraction) -> list[int]:
        grid = pace.grid(ease)
        settings = ({one.number: Setting(grid, usual(one.step)) for one in twins.each} for twins in risky)
        return list(map(grown_breaths, risky, settings))

    at_ease = growth(Fraction(0))
    quickest, slowest = (
        pace.at(max(takewhile(lambda ease: growth(ease) == at_ease, notches), key=abs))
        for notches in ([Fraction(way * notch, NOTCHES) for notch in range(NOTCHES + 1)] for way in (-1, 1))
    )
    return class_pace(pace.numbers, pace.pace, PaceRoom(quickest, slowest))


def _may_grow(step: Step, twins: Twins, pace: ClassPace) -> bool:
    match step.hold if twins.length_ms else None:
        case InTime(least_ms, _, most_ms):
            return least_ms == most_ms or not fitting_lengths(twins, pace, (least_ms, most_ms))
        case InBreaths(most=most):
            # Slower, every beat that served still does, so that words need the most breaths at the quickest.
            quickest = pace.grid(-1)
            return not words_fit(twins, quickest, most)
    return False


def fitting_lengths(twins: Twins, pace: ClassPace, bounds: tuple[int, int]) -> list[tuple[int, int]]:
    """The ranges of lengths in ms, within the bounds, in which the words fit however far the pace gives.

    There may be two with a gap between them, as a hold of three whole breaths leaves its last one quiet.
    """
    least_ms, most_ms = bounds
    # After words at a time of the clock the next beat may come later at a quicker pace: no end is surely the worst.
    end_ms = max(words_end_ms(twins, grid) for grid in pace.grids.values()) if twins.length_ms else 0
    ending_ms = words_before_end_ms(twins)
    if not end_ms:
        return [(max(least_ms, ending_ms), most_ms)] if ending_ms <= most_ms else []
    quickest, slowest = pace.grid(-1), pace.grid(1)
    last_ms = quickest.breath_ms(QUIET_FROM_BREATHS) - 1
    short_ms, long_ms = end_ms + max(GAP_MS, ending_ms), end_ms + max(slowest.breath_ms(1), ending_ms)
    ranges = [(short_ms, most_ms)]
    if long_ms > last_ms:
        ranges = [(short_ms, last_ms), (max(long_ms, slowest.breath_ms(QUIET_FROM_BREATHS) + 1), most_ms)]
    inside = [(max(least_ms, from_ms), min(most_ms, to_ms)) for from_ms, to_ms in ranges]
    return [(from_ms, to_ms) for from_ms, to_ms in inside if from_ms <= to_ms]


def fewest_breaths(twins: Twins, pace: ClassPace, hold: InBreaths) -> int:
    """The fewest breaths, from the least to the most of the hold, in which the words have room at the quickest pace."""
    if not twins.length_ms:
        return hold.least
    quickest = pace.grid(-1)
    enough = (n for n in range(hold.least, hold.most) if words_fit(twins, quickest, n))
    return next(enough, hold.most)
