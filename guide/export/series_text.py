"""Tracks of one class for some weeks, and a short text for the student how to use them."""

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass

from guide.export.registry import TextExporter
from guide.export.seal import AT_THE_END
from guide.plan.thinning import ALL_WORDS, NAMED, WordsKept, turns_left_out
from guide.plan.timeline import Timeline
from guide.sequence.caution import caution
from guide.sequence.poses.pose import Condition
from guide.units import clock, so_many

COLUMNS = 76


@dataclass(frozen=True, slots=True)
class Week:
    """The track of one week: the name of its file, the words that are asked for, and what is heard."""

    track: str
    kept: WordsKept
    timeline: Timeline

    @property
    def said(self) -> str:
        """How many of its lines are said: `34 of 54`."""
        said, left_out = len(self.timeline.cues), len(self.timeline.left_out)
        return f"{said} of {said + left_out}"

    @property
    def without(self) -> str:
        """What is left out, in words; what goes only in part is `some`."""
        if self.kept.percent is None:
            return "all words"
        gone = turns_left_out(self.timeline)
        return (
            ", ".join(f"{'' if some == of else 'some '}{turn.value}" for turn, (some, of) in gone.items()) or "nothing"
        )


@dataclass(frozen=True, slots=True)
class Series:
    """One class as a track for each week, in their order; `avoid` are the conditions that it is to spare."""

    title: str
    weeks: tuple[Week, ...]
    avoid: tuple[Condition, ...] = ()


def how_to_practise(series: Series) -> str:
    """The text for the student."""
    weeks = len(series.weeks)
    head = f"{series.title}, week by week"
    paragraphs = [
        f"{head}\n{'=' * len(head)}",
        _filled(
            f"These {so_many(weeks, 'track')} are one class of {clock(series.weeks[0].timeline.length_ms)}. Every "
            "breath, bell and pause comes at the same moment in each of them; from week to week, fewer words are said."
        ),
        "\n".join(table(series)),
        _filled(
            "Practise with the track of the week as often as you like, three times or more. Go on to the next when you "
            "no longer wait for the words. Go back whenever you are unsure, or stay longer: you set the pace."
        ),
        _filled(" ".join(_rule(series))),
        _filled(caution(series.avoid)),
    ]
    return "\n\n".join(paragraphs) + "\n"


def _filled(text: str) -> str:
    return textwrap.fill(text, COLUMNS)


def table(series: Series, columns: int = COLUMNS) -> Iterator[str]:
    """A line for each week: its track, how many lines are said, and what is left out."""
    names = max(len("track"), *(len(week.track) for week in series.weeks))
    said = max(len("lines said"), *(len(week.said) for week in series.weeks))
    yield f"week  {'track'.ljust(names)}  {'lines said'.ljust(said)}  left out"
    for number, week in enumerate(series.weeks, 1):
        start = f"{number:4}  {week.track.ljust(names)}  {week.said.ljust(said)}  "
        room = max(columns - len(start), 30)
        first, *rest = textwrap.wrap(week.without, room)
        yield start + first
        yield from (" " * len(start) + line for line in rest)


def _rule(series: Series) -> Iterator[str]:
    """How words go in this series, and what to know before a track without any."""
    kept = [week.kept for week in series.weeks]
    if any(each not in (ALL_WORDS, NAMED["bells"]) for each in kept):
        yield (
            "What was said before in the class goes first; then how to do a pose while you are in it, the words of the "
            "moves, and the ways in and out."
        )
    if NAMED["bells"] in kept:
        number = kept.index(NAMED["bells"]) + 1
        yield (
            "Names, easier ways and what keeps you from harm are said as long as anything is. Week "
            f"{number} has bells and chimes alone: hear an earlier track once more before it, and keep to what that "
            "says of easier ways and of your safety."
        )
    else:
        yield "Names, easier ways and what keeps you from harm are said in every track."


HOW_TO = TextExporter("how to practise with a series", Series, how_to_practise, AT_THE_END)
