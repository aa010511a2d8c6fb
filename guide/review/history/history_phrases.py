"""What is told of several performances in words, in text and on the page."""

from collections.abc import Callable, Iterator, Sequence
from pathlib import PurePath

from guide.review.history.performances import History, HowSeen, Lengths, OneTime, Performance
from guide.review.history.recurrences import (
    Missing,
    Recurrence,
    always_over,
    always_under,
    by_chance,
    missing,
    trends,
    varies_most,
)
from guide.review.report_phrases import UNKNOWN, length, more, named, of_plan, plain, whole
from guide.units import clock, so_many

#: Of the steps that were left out or not heard, so many are named.
MOST_MISSING = 8

#: What stands behind a length that does not count.
DOUBT = "?"

#: What stands for a step that has no length, by why it has none.
WITHOUT = {
    HowSeen.LEFT_OUT: "out",
    HowSeen.NOT_HEARD: "–",
    HowSeen.NOT_REACHED: "·",
    HowSeen.NOT_KNOWN: "–",
    HowSeen.NO_END: "–",
}

#: What each of those means, for the foot of the table.
MEANS = {
    "?": "less than 80 % sure, and not counted",
    "out": "left out",
    "–": "nothing tells how long it was",
    "·": "the class was broken off before",
}


def totals(history: History) -> str:
    """`3 performances, planned 7:02, usually 7:14 (7:10 to 7:23)`."""
    plan = of_plan(history.performances[0].comparison)
    planned = f"planned {clock(whole(history.whole.planned_ms))}{f' {plan}' if plan else ''}"
    return f"{so_many(len(history.performances), 'performance')}, {planned}, {_usual(history.whole, clock_of)}"


def name_of(performance: Performance) -> str:
    """The file of a performance, without its folder."""
    return plain(PurePath(performance.comparison.recording).name)


def measures(history: History, number: int) -> tuple[str, str, str, str]:
    """How one performance was held, how long it took, how much more that was, and how many lengths are sure."""
    comparison, whole_time = history.performances[number - 1].comparison, history.whole.times[number - 1]
    took_ms, doubt = whole_time.length_ms, DOUBT if whole_time.seen is HowSeen.UNSURE else ""
    took = UNKNOWN if took_ms is None else clock_of(took_ms) + doubt
    over = UNKNOWN if took_ms is None else more(history.whole.planned_ms, took_ms)
    sure = sum(one.lengths.times[number - 1].seen is HowSeen.SURELY for one in history.steps)
    return comparison.how.value, took, over, f"{sure} of {so_many(len(history.steps), 'length')}"


def clock_of(ms: int) -> str:
    """A length as a clock shows it, in whole seconds."""
    return clock(whole(ms))


def length_or_unknown(ms: int | None) -> str:
    """A length, or that it is not known."""
    return UNKNOWN if ms is None else length(ms)


def spread_ms(lengths: Lengths) -> tuple[int | None, int | None, int | None]:
    """The usual length, the least and the most of those that are known surely."""
    return lengths.usual_ms, min(lengths.surely_ms, default=None), max(lengths.surely_ms, default=None)


def usually(lengths: Lengths) -> str:
    """`planned 1:39, usually 1:50 (1:42 to 2:01)`."""
    return f"planned {length(lengths.planned_ms)}, {_usual(lengths, length)}"


def _usual(lengths: Lengths, shown: Callable[[int], str]) -> str:
    usual_ms, least_ms, most_ms = spread_ms(lengths)
    if usual_ms is None or least_ms is None or most_ms is None:
        return "how long it usually is cannot be told"
    if len(lengths.surely_ms) == 1:
        return f"once {shown(usual_ms)}"
    spread = f" ({shown(least_ms)} to {shown(most_ms)})" if whole(least_ms) != whole(most_ms) else ""
    return f"usually {shown(usual_ms)}{spread}"


def time_words(one: OneTime) -> str:
    """One time that a step was done: `1:05`, `1:05?`, `out`."""
    if one.length_ms is None:
        return WITHOUT[one.seen]
    return length(one.length_ms) + (DOUBT if one.seen is HowSeen.UNSURE else "")


def each_time(lengths: Lengths, columns: int) -> str:
    """The times of every performance in order; where there is not room for all, the last ones behind `…`."""
    words = [time_words(one) for one in lengths.times]
    shown = ", ".join(words)
    while len(shown) > columns and len(words) > 1:
        words = words[1:]
        shown = ", ".join(("…", *words))
    return shown


def feet(history: History) -> Iterator[str]:
    """What the columns mean, and the signs that stand in them."""
    yield (
        "The clock is the plan's. usual: the median of the lengths of which both ends are at least 80 % sure; "
        "least and most of the same."
    )
    signs = {time_words(time)[-1:] if time.length_ms else time_words(time) for time in _all_times(history)}
    met = [f"{sign} {means}" for sign, means in MEANS.items() if sign in signs]
    if met:
        yield f"each time: {'; '.join(met)}."


def _all_times(history: History) -> Iterator[OneTime]:
    return (time for one in history.steps for time in one.lengths.times)


def told(history: History) -> Iterator[tuple[str, list[str]]]:
    """What keeps coming, under a heading each; and what was left aside."""
    found = {
        "Always ran over": [_over(one) for one in always_over(history)],
        "Always shorter than planned": [_over(one) for one in always_under(history)],
        "Left out, or not heard": list(_missing(missing(history))),
        "Varies most": [_varies(one) for one in varies_most(history)],
        "From time to time": list(_trends(trends(history))),
        "What is unsure": list(_unsure(history)),
    }
    yield from ((title, entries) for title, entries in found.items() if entries)


def _over(one: Recurrence) -> str:
    usual_ms = one.lengths.usual_ms or 0
    took = f"usually {length(usual_ms)} in place of {length(one.lengths.planned_ms)}"
    return f"{one.name}: {more(one.lengths.planned_ms, usual_ms)}, {took}, {_each_of(one.lengths)}"


def _each_of(lengths: Lengths) -> str:
    """`each of 3 times`, or of how many it is known: `each of the 2 times known, of 3`."""
    known, of = len(lengths.surely_ms), len(lengths.times)
    return f"each of {of} times" if known == of else f"each of the {known} times known, of {of}"


def _varies(one: Recurrence) -> str:
    _, least_ms, most_ms = spread_ms(one.lengths)
    return f"{one.name}: {length(least_ms or 0)} to {length(most_ms or 0)}, planned {length(one.lengths.planned_ms)}"


def _trends(found: Sequence[Recurrence]) -> Iterator[str]:
    for one in found:
        times = [length(ms) for ms in one.lengths.surely_ms]
        way = "longer" if one.lengths.surely_ms[-1] > one.lengths.surely_ms[0] else "shorter"
        chance = by_chance(len(times))
        yield f"{one.name}: {way} each time, {', '.join(times)} (by chance, one in {chance} looks so)"


def _missing(found: Sequence[Missing]) -> Iterator[str]:
    for one in found[:MOST_MISSING]:
        parts = [
            *([f"left out in {one.left_out} of {one.of}"] if one.left_out else []),
            *([f"not heard in {one.not_heard} of {one.of}: left out, or not to be heard"] if one.not_heard else []),
        ]
        yield f"{clock(one.step.step.planned_start_ms)} {named(one.step.step)}: {', '.join(parts)}"
    if len(found) > MOST_MISSING:
        yield f"and {so_many(len(found) - MOST_MISSING, 'other step')}"


def _unsure(history: History) -> Iterator[str]:
    times = list(_all_times(history))
    unsure = sum(one.seen is HowSeen.UNSURE for one in times)
    if unsure:
        yield f"{unsure} of {so_many(len(times), 'length')} are less than 80 % sure; nothing above rests on them"
    rare = sum(len(one.lengths.surely_ms) < 2 for one in history.steps)
    if rare:
        yield f"{so_many(rare, 'step')} of {len(history.steps)} known surely less than twice: nothing is said of them"
    for one in history.left_aside:
        yield f"{plain(one.recording)}: {plain(one.why)}, left aside"
    led = sum(one.comparison.how.value == "led" for one in history.performances)
    if led:
        yield f"{so_many(led, 'performance')} led by the program: steps are as planned but where you stayed or skipped"
