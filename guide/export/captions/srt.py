"""SubRip captions, for players that know nothing else. There is no standard; this is what they all read."""

from collections.abc import Iterable

from guide.export.captions.base import Caption, parts_of_time
from guide.export.captions.for_reading import reading_captions
from guide.plan.timeline import Timeline


def srt(timeline: Timeline) -> str:
    """The whole file."""
    return subrip(reading_captions(timeline))


def subrip(shown: Iterable[Caption]) -> str:
    """These captions as a file. SubRip has no escapes, so the words stand as they are."""
    return "\n".join(
        f"{number}\n{_time(caption.start_ms)} --> {_time(caption.end_ms)}\n" + "\n".join(caption.lines) + "\n"
        for number, caption in enumerate(shown, start=1)
    )


def _time(ms: int) -> str:
    hours, minutes, seconds, thousandths = parts_of_time(ms)
    return f"{hours:02}:{minutes:02}:{seconds:02},{thousandths:03}"
