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
    return 0 if asked is None else timeline.spans[_step(timeline, file, asked, 0)].start_ms


def first_and_last(timeline: "Timeline", file: str, begins: str | None, ends: str | None) -> tuple[int, int]:
    """The numbers of the steps from one place up to another and with it: all of a section, each time that a step is
    done in its section. Where nothing is asked for, from the beginning, to the end.

    Raises:
        UnusableChoice: there is no such place, or the end is before the beginning; it says what to write.
    """
    spans = timeline.spans
    first = 0 if begins is None else _step(timeline, file, begins, 0)
    if ends is None:
        return first, len(spans) - 1
    try:
        found = _step(timeline, file, ends, first)
    except UnusableChoice:
        if _step(timeline, file, ends, 0) < first:
            raise UnusableChoice(f"`{ends}` comes before `{begins}` (write the earlier of them first)") from None
        raise
    place, section = spans[found].place, spans[found].section
    whole = section is not None and _names(ends) and ends.casefold() in timeline.chapters[section].title.casefold()
    return first, max(
        number for number, span in enumerate(spans) if span.section == section and (whole or span.place == place)
    )


def _names(asked: str) -> bool:
    return re.fullmatch(r"[0-9:]+", asked) is None


def _step(timeline: "Timeline", file: str, asked: str, least: int) -> int:
    """The number of the step that a place means, of those from `least` on."""
    steps = list(enumerate(timeline.spans))[least:]
    found = None
    if re.fullmatch(r"[0-9]+", asked):
        # A line of a block file is not a line of the class.
        lines = {span.place.line: number for number, span in reversed(steps) if span.place.file == file}
        found = lines.get(max((line for line in lines if line <= int(asked)), default=0))
    elif time := re.fullmatch(r"([0-9]+):([0-5][0-9])", asked):
        ms = (int(time[1]) * 60 + int(time[2])) * 1000
        found = next((number for number, span in steps if ms < span.end_ms), None)
    else:
        words = asked.casefold()
        sections = [number for number, each in enumerate(timeline.chapters) if words in each.title.casefold()]
        of_section = (number for number, span in steps if span.section in sections)
        named = (number for number, span in steps if words in span.title.casefold())
        found = next(of_section, None) if sections else None
        found = next(named, None) if found is None else found
    if found is None:
        raise UnusableChoice(f"`{asked}` is nowhere in this class (write a line, a time such as 12:30, or a pose)")
    return found
