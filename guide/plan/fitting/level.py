"""How far a class grows for its slot: the ease at which it would fill it, and the links of its chain that it takes."""

from bisect import bisect_left, bisect_right
from fractions import Fraction

from guide.plan.fitting.chain import Chain
from guide.plan.fitting.led_steps import NOTCHES
from guide.plan.fitting.leeway import Leeway

#: Breaths begin on whole milliseconds, so that a hold may be off by half of one; no breath is given up for that, nor
#: for more than this in a long class.
MOST_SLACK_MS = 500


def ease_of(leeway: Leeway, chain: Chain) -> Fraction:
    """The ease at which the class would fill its slot if breaths could be cut."""
    springs = [one.spring() for one in leeway.timed]

    def even_ms(notch: int) -> Fraction:
        ease = Fraction(notch, NOTCHES)
        gives_ms = (*(load.even_ms(ease) for load in leeway.loads), *(spring.at(ease) for spring in springs))
        return sum(gives_ms, chain.unloaded_ms)

    usual_ms = even_ms(0)
    way = 1 if leeway.slot_ms >= usual_ms else -1
    off_ms, ends = abs(leeway.slot_ms - usual_ms), range(NOTCHES + 1)

    def given_ms(notch: int) -> Fraction:
        return abs(even_ms(way * notch) - usual_ms)

    notch = min(bisect_left(ends, off_ms, key=given_ms), NOTCHES)
    before, after = given_ms(max(0, notch - 1)), given_ms(notch)
    if after == before:
        return Fraction(0)
    return way * min(Fraction(1), (notch - 1 + (off_ms - before) / (after - before)) / NOTCHES)


def links_of(leeway: Leeway, chain: Chain, ease: Fraction) -> int:
    """How many links are taken: those due, or the nearest number with which the rests can fill the slot."""
    lengths_ms = chain.lengths_ms
    least_ms, most_ms = (leeway.slot_ms - rests_ms for rests_ms in reversed(leeway.rests_ms))
    slack_ms = min(len(leeway.led.steps) // 2, MOST_SLACK_MS)
    fewest = bisect_left(lengths_ms, least_ms - slack_ms)
    most = bisect_right(lengths_ms, most_ms + slack_ms) - 1
    if fewest <= most:
        return min(max(bisect_right(chain.dues, ease), fewest), most)
    if most < 0 or fewest == len(lengths_ms):
        return min(fewest, len(lengths_ms) - 1)
    return most if least_ms - lengths_ms[most] <= lengths_ms[fewest] - most_ms else fewest
