"""The sections of a class, or the poses of one without, as chapters without a gap, and as JSON."""

from collections.abc import Iterable
from itertools import pairwise

from guide.plan.moment import named
from guide.plan.timeline import Chapter, Span, Timeline
from guide.sequence.steps import StepKind, Steps
from guide.visible import json_text

#: Version of the format (Source: podcast namespace, "JSON Chapters" 1.2).
VERSION = "1.2.0"

#: More are no help to find one's way.
MOST_POSES = 100

#: What is a chapter in a class without sections.
KEPT = (StepKind.POSE, StepKind.REST, StepKind.BREATHING)


def chapters(timeline: Timeline) -> tuple[Chapter, ...]:
    """The sections, sorted; what lies before the first one becomes a chapter with the title of the class.

    In a class without sections each pose, rest and breathing pattern is one; where there are more than help, none.
    """
    sections = timeline.chapters or _poses(timeline)
    if not sections or sections[0].start_ms == 0:
        return sections
    return (Chapter(timeline.title, 0, sections[0].start_ms), *sections)


def has_chapters(steps: Steps) -> bool:
    """Whether a class will have chapters."""
    return bool(steps.sections) or 0 < sum(step.kind in KEPT for step in steps.steps) <= MOST_POSES


def _poses(timeline: Timeline) -> tuple[Chapter, ...]:
    starts = list(_starts(span for span in timeline.spans if span.kind in KEPT))
    ends = (*starts, ("", timeline.length_ms))
    listed = tuple(Chapter(title, start_ms, end_ms) for (title, start_ms), (_, end_ms) in pairwise(ends))
    return listed if len(listed) <= MOST_POSES else ()


def _starts(spans: Iterable[Span]) -> Iterable[tuple[str, int]]:
    for span in spans:
        title = f"{span.title[:1].upper()}{span.title[1:]}"
        yield named(title, span.side.value if span.side else ""), span.start_ms


def chapters_json(timeline: Timeline) -> str:
    """JSON chapters: version, title of the class, and start, end (seconds) and title of each chapter."""
    listed = [
        {"startTime": chapter.start_ms / 1000, "endTime": chapter.end_ms / 1000, "title": chapter.title}
        for chapter in chapters(timeline)
    ]
    document = {"version": VERSION, "title": timeline.title, "chapters": listed}
    return json_text(document, indent=2) + "\n"
