"""LRC: timed lines that music players show beside a track. There is no standard; this is what they all read."""

from itertools import zip_longest

from guide.export.captions.base import captions, plain
from guide.plan.timeline import Timeline

#: A line stays on the screen until the next one; after so much quiet it is taken away by an empty line.
#: (Source: BBC Subtitle Guidelines 4.5 for the second below which no gap is left.)
GAP_MS = 1000

#: Shows nothing; keeps words that begin with a bracket from being read as a time or a tag.
NOTHING = "\u200b"


def lrc(timeline: Timeline) -> str:
    """The whole file; minutes count on past 59, times are rounded to the hundredth of a second."""
    lines = [f"[ti:{plain(timeline.title)}]", f"[length: {_length(timeline.length_ms)}]"]
    shown = list(captions(timeline))
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
