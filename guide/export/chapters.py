"""The sections of a class as chapters without a gap, and as JSON."""

from guide.plan.timeline import Chapter, Timeline
from guide.visible import json_text

#: Version of the format (Source: podcast namespace, "JSON Chapters" 1.2).
VERSION = "1.2.0"


def chapters(timeline: Timeline) -> tuple[Chapter, ...]:
    """The sections, sorted; what lies before the first one becomes a chapter with the title of the class.

    A class without sections has no chapters.
    """
    sections = timeline.chapters
    if not sections or sections[0].start_ms == 0:
        return sections
    return (Chapter(timeline.title, 0, sections[0].start_ms), *sections)


def chapters_json(timeline: Timeline) -> str:
    """JSON chapters: version, title of the class, and start, end (seconds) and title of each chapter."""
    listed = [
        {"startTime": chapter.start_ms / 1000, "endTime": chapter.end_ms / 1000, "title": chapter.title}
        for chapter in chapters(timeline)
    ]
    document = {"version": VERSION, "title": timeline.title, "chapters": listed}
    return json_text(document, indent=2) + "\n"
