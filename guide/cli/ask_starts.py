"""Asking the teacher about the steps of which a voice does not tell surely when they began."""

from typing import TYPE_CHECKING

import click

from guide.cli.tell import tell
from guide.problem import UnusableChoice
from guide.units import clock
from guide.visible import visible_in_line

if TYPE_CHECKING:
    from guide.plan.timeline import Timeline
    from guide.review.hearing.by_voice import Listened
    from guide.review.hearing.doubts import Doubt


def answers(timeline: "Timeline", heard: "Listened") -> "tuple[tuple[Doubt, int], ...]":
    """What the person at the keyboard says of each doubtful step; those that are skipped are left out.

    Answers by which steps began in another order than planned are refused, all of them.
    """
    from guide.review.hearing.doubts import answered, doubtful

    doubts = doubtful(timeline, heard)
    if doubts:
        tell("\nNot sure (yes, a time such as 3:50, or skip):")
    said = [(doubt, _asked(doubt, heard.length_ms)) for doubt in doubts]
    given = tuple((doubt, at_ms) for doubt, at_ms in said if at_ms is not None)
    try:
        answered(timeline, heard, given)
    except UnusableChoice as error:
        tell(str(error))
        return ()
    return given


def _asked(doubt: "Doubt", length_ms: int) -> int | None:
    from guide.review.hearing.doubts import answer_ms

    side = f" ({doubt.side})" if doubt.side else ""
    others = [clock(moment.at_ms) for moment in doubt.likely_starts[1:]]
    instead = f", or at {' or '.join(others)}" if others else ""
    sure = round(100 * doubt.likely_starts[0].probability)
    title = visible_in_line(doubt.title[:1].upper() + doubt.title[1:])
    while True:
        said = click.prompt(
            f"Did {title}{side} begin at {clock(doubt.best_ms)} ({sure} % sure){instead}?",
            default="skip",
        )
        try:
            return answer_ms(said, doubt, length_ms)
        except UnusableChoice as error:
            tell(str(error))
