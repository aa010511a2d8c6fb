"""WebVTT: captions for the web, and sections as its chapters.

Source: W3C WebVTT, "WebVTT file structure" and "Types of WebVTT cue payload".
"""

from collections.abc import Iterable
from itertools import starmap

from guide.export.captions.base import Caption, captions, parts_of_time, plain
from guide.export.captions.for_reading import reading_captions
from guide.export.chapters import chapters
from guide.plan.timeline import Chapter, Timeline


def webvtt(timeline: Timeline) -> str:
    """The whole file, for readers, with a note where a section begins."""
    return _file(timeline, reading_captions(timeline))


def exact_webvtt(timeline: Timeline) -> str:
    """The same with one caption for each cue of the class, which ends with its words: for programs."""
    return _file(timeline, captions(timeline))


def _file(timeline: Timeline, shown: Iterable[Caption]) -> str:
    blocks = [_head(timeline.title)]
    section = None
    for number, caption in enumerate(shown, start=1):
        if caption.section is not None and caption.section != section:
            section = caption.section
            blocks.append(f"NOTE {remark(timeline.chapters[section].title)}".rstrip())
        blocks.append(_numbered(number, caption))
    return "\n\n".join(blocks) + "\n"


def numbered_file(title: str, shown: Iterable[Caption]) -> str:
    """These captions as a file with this title."""
    return "\n\n".join([_head(title), *starmap(_numbered, enumerate(shown, start=1))]) + "\n"


def _numbered(number: int, caption: Caption) -> str:
    text = "\n".join(map(escaped, caption.lines))
    return f"{number}\n{time_line(caption.start_ms, caption.end_ms)}\n{text}"


def chapters_webvtt(timeline: Timeline) -> str:
    """The chapters as a file: consecutive cues, each with its title."""
    return chapter_cues(timeline.title, chapters(timeline))


def chapter_cues(title: str, listed: Iterable[Chapter]) -> str:
    """These chapters of a class as a file."""
    blocks = [_head(title)]
    for number, chapter in enumerate(listed, start=1):
        times = time_line(chapter.start_ms, max(chapter.end_ms, chapter.start_ms + 1))
        blocks.append(f"{number}\n{times}\n{escaped(chapter.title)}")
    return "\n\n".join(blocks) + "\n"


def escaped(text: str) -> str:
    """`text` with what WebVTT would take for markup, or for the arrow of a time line, as references."""
    return plain(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def remark(text: str) -> str:
    """`text` for the head line or a note, which know no references and must not hold the arrow of a time line."""
    return plain(text).replace("-->", "→")


def time_line(start_ms: int, end_ms: int) -> str:
    """The line of a cue's times (WebVTT 4.1)."""
    return f"{_time(start_ms)} --> {_time(end_ms)}"


def _head(title: str) -> str:
    return f"WEBVTT {remark(title)}".rstrip()


def _time(ms: int) -> str:
    hours, minutes, seconds, thousandths = parts_of_time(ms)
    return f"{hours:02}:{minutes:02}:{seconds:02}.{thousandths:03}"
