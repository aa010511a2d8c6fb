"""LRC: timed lines that music players show beside a track. There is no standard; this is what they all read."""

from itertools import zip_longest

from guide.export.captions.base import plain
from guide.export.captions.for_reading import GAP_MS, reading_captions
from guide.plan.timeline import Timeline

#: Shows nothing; keeps words that begin with a bracket from being read as a time or a tag.
NOTHING = "\u200b"


def lrc(timeline: Timeline) -> str:
    """The whole file; minutes count on past 59, times are rounded to the hundredth of a second.

    A line stays until the next one comes, or an empty one that takes it away.
    """
    by = [f"[ar:{plain(timeline.by)}]"] if plain(timeline.by) else []
    lines = [f"[ti:{plain(timeline.title)}]", *by, f"[length: {_length(timeline.length_ms)}]"]
    shown = list(reading_captions(timeline))
    for caption, following in zip_longest(shown, shown[1:]):
        guard = NOTHING if caption.text.startswith("[") else ""
        lines.append(f"[{_time(caption.start_ms)}]{guard}{caption.text}")
        if following is None or following.start_ms - caption.end_ms >= GAP_MS:
            lines.append(f"[{_time(caption.end_ms)}]")
    return "\n".join(lines) + "\n"


def _length(ms: int) -> str:
    return f"{ms // 60_000}:{ms // 1000 % 60:02}"


def _time(ms: int) -> str:
    seconds, hundredths = divmod((ms + 5) // 10, 100)
    return f"{seconds // 60:02}:{seconds % 60:02}.{hundredths:02}"
