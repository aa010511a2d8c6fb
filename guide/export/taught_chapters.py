"""Chapters for the video of a class that was taught: its sections, or poses, when they really began."""

from collections.abc import Iterator
from itertools import pairwise

from guide.export.captions.webvtt import chapter_cues
from guide.export.chapters import KEPT
from guide.export.tags import one_line
from guide.plan.moment import named
from guide.plan.timeline import Chapter
from guide.problem import UnusableChoice
from guide.review.comparison import Comparison, StepTaken
from guide.review.report_phrases import title_of
from guide.units import clock


def taught_chapters(comparison: Comparison) -> tuple[Chapter, ...]:
    """The chapters without a gap from 0 on, sorted; what lies before the first has the title of the class.

    A section begins with the first of its steps of which that is known, and one without any is left out. In a class
    without sections each pose, rest and breathing pattern is one.

    Raises:
        UnusableChoice: of no chapter it is known when it began.
    """
    begun = list(_sections(comparison) if comparison.sections else _poses(comparison))
    if comparison.is_another or not begun:
        raise UnusableChoice(f"{comparison.recording}: it does not tell when a section or a pose began (no chapters)")
    if begun[0][1] > 0:
        begun.insert(0, (comparison.title, 0))
    end_ms = max(_end_ms(step) for step in comparison.steps)
    ends = (*begun, ("", max(end_ms, begun[-1][1] + 1)))
    return tuple(Chapter(title, start_ms, to_ms) for (title, start_ms), (_, to_ms) in pairwise(ends))


def _sections(comparison: Comparison) -> Iterator[tuple[str, int]]:
    before = None
    for step in comparison.steps:
        if step.section is not None and step.section != before and step.real_start_ms is not None:
            before = step.section
            yield comparison.sections[step.section], step.real_start_ms


def _poses(comparison: Comparison) -> Iterator[tuple[str, int]]:
    for step in comparison.steps:
        if step.kind in KEPT and step.real_start_ms is not None:
            yield named(title_of(step), step.side.value if step.side else ""), step.real_start_ms


def _end_ms(step: StepTaken) -> int:
    """When a step was over, as far as it is known; of one that tells nothing, 0."""
    if step.real_start_ms is None:
        return 0
    return step.real_start_ms + (step.planned_ms if step.real_ms is None else step.real_ms)


def chapters_as_webvtt(comparison: Comparison) -> str:
    """As a WebVTT file of chapters. Raises what `taught_chapters` does."""
    return chapter_cues(comparison.title, taught_chapters(comparison))


def chapters_as_lines(comparison: Comparison) -> str:
    """As lines `0:00 Title`, which sites for videos read in a description. Raises what `taught_chapters` does."""
    return "".join(f"{clock(one.start_ms)} {one_line(one.title)}\n" for one in taught_chapters(comparison))


def chapters_as_ffmetadata(comparison: Comparison) -> str:
    """As ffmpeg reads them, to put into the video itself. Raises what `taught_chapters` does.

    Source: FFmpeg Formats Documentation, "Metadata".
    """
    blocks = [f";FFMETADATA1\ntitle={_escaped(comparison.title)}\n"]
    for one in taught_chapters(comparison):
        times = f"START={one.start_ms}\nEND={one.end_ms}"
        blocks.append(f"[CHAPTER]\nTIMEBASE=1/1000\n{times}\ntitle={_escaped(one.title)}\n")
    return "".join(blocks)


def _escaped(text: str) -> str:
    return "".join(f"\\{sign}" if sign in "=;#\\" else sign for sign in one_line(text))
