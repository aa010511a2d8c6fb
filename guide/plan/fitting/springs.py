"""Springs under one pull: lengths that give together until they fill a total, each within its own bounds; exact.

Each spring has a length at rest and gives in its own measure; one number, the ease, says how far all of them give.
This is the glue of TeX (with its cap on shrinking), the flexible lengths of CSS, and bounded least squares, in one.
"""

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

NOTHING = Fraction(0)


@dataclass(frozen=True, slots=True)
class Spring:
    """A length that gives: `natural` at rest, never under `least` or over `most` (None: without end).

    At ease r it is `natural + r * stretch` for r >= 0 and `natural + r * shrink` for r < 0, kept within its bounds.
    Neither measure is negative; `natural` itself may lie outside the bounds.
    """

    natural: Fraction
    least: Fraction
    most: Fraction | None
    stretch: Fraction
    shrink: Fraction

    def at(self, ease: Fraction) -> Fraction:
        """How long it is at this ease."""
        free = self.natural + ease * (self.stretch if ease >= 0 else self.shrink)
        return max(self.least, free if self.most is None else min(free, self.most))

    def ends(self) -> list[Fraction]:
        """Every ease at which it reaches a bound, or leaves one."""
        reached = [bound - self.natural for bound in (self.least, self.most) if bound is not None]
        return [
            off / measure
            for off in reached
            for measure in (self.stretch if off > 0 else self.shrink,)
            if off and measure
        ]


@dataclass(frozen=True, slots=True)
class Spread:
    """A total shared out: the ease, the lengths in the order of the springs, and what is wrong with their sum.

    `missing` is 0 where the lengths fill the total; above 0 it is what they cannot be stretched to, below 0 what they
    cannot be tightened by. The ease is then the nearest to 0 at which no spring can give any more.
    """

    ease: Fraction
    lengths: tuple[Fraction, ...]
    missing: Fraction


def bounded(natural: Fraction | int, least: Fraction | int, most: Fraction | int) -> Spring:
    """A spring that reaches its bounds at the eases -1 and 1, as all of a class do; `natural` lies between them."""
    at_rest = Fraction(natural)
    return Spring(at_rest, Fraction(least), Fraction(most), most - at_rest, at_rest - least)


def spread(springs: Sequence[Spring], total: Fraction | int) -> Spread:
    """Share `total` out so that all the springs have the same ease."""
    wanted = Fraction(total)

    def length(ease: Fraction) -> Fraction:
        return sum((spring.at(ease) for spring in springs), NOTHING)

    at_rest = length(NOTHING)
    if wanted >= at_rest:
        ends = sorted({end for spring in springs for end in spring.ends() if end > 0})
        ease = _ease([NOTHING, *ends], wanted, length)
    else:
        ends = sorted({-end for spring in springs for end in spring.ends() if end < 0})
        ease = -_ease([NOTHING, *ends], -wanted, lambda turned: -length(-turned))
    lengths = tuple(spring.at(ease) for spring in springs)
    return Spread(ease, lengths, wanted - sum(lengths, NOTHING))


def _ease(ends: Sequence[Fraction], wanted: Fraction, length: Callable[[Fraction], Fraction]) -> Fraction:
    """The least ease, of those from `ends[0]` up, at which a length that never falls is `wanted`.

    Between two of the ends the length runs straight; after the last it runs on for ever, or stands.
    """
    number = bisect_left(ends, wanted, key=length)
    if number == 0:
        return ends[0]
    before = ends[number - 1]
    after = ends[number] if number < len(ends) else before + 1
    risen = length(after) - length(before)
    if risen == 0:
        return before
    return before + (wanted - length(before)) / risen * (after - before)
