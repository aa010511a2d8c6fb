"""A place in a class as it is asked for: a line of its file, a time, or part of the name of a step or a section."""

import re
from typing import TYPE_CHECKING

from guide.problem import UnusableChoice

if TYPE_CHECKING:
    from guide.plan.timeline import Timeline


def where_ms(timeline: "Timeline", file: str, asked: str | None) -> int:
    """Where the class of a file begins: at the start of the step that is asked for, 0 where nothing is.

    Raises:
        UnusableChoice: there is no such place; it says what to write.
    """
    if asked is None:
        return 0
    spans = timeline.spans
    found = None
    if re.fullmatch(r"[0-9]+", asked):
        # A line of a block file is not a line of the class.
        lines = {span.place.line: span for span in reversed(spans) if span.place.file == file}
        found = lines.get(max((line for line in lines if line <= int(asked)), default=0))
    elif time := re.fullmatch(r"([0-9]+):([0-5][0-9])", asked):
        ms = (int(time[1]) * 60 + int(time[2])) * 1000
        found = next((span for span in spans if ms < span.end_ms), None)
    else:
        words = asked.casefold()
        chapters = [each.start_ms for each in timeline.chapters if words in each.title.casefold()]
        named = [span for span in spans if words in span.title.casefold()]
        found = next((span for span in spans if chapters and span.end_ms > chapters[0]), None) or next(
            iter(named), None
        )
    if found is None:
        raise UnusableChoice(f"`{asked}` is nowhere in this class (write a line, a time such as 12:30, or a pose)")
    return found.start_ms
