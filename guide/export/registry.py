"""Everything that comes out as a file, by the ending of its name."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, Generic, Protocol, TypeVar

from guide.export.atomic_write import write_atomically
from guide.export.audio import AUDIO
from guide.export.captions.lrc import lrc
from guide.export.captions.srt import srt
from guide.export.captions.webvtt import chapters_webvtt, exact_webvtt, webvtt
from guide.export.chapters import chapters_json
from guide.export.comparison_page.html_page import html_page
from guide.export.plan_json import plan_as_json
from guide.export.plan_table import full_plan_table
from guide.export.track import write_track
from guide.plan.timeline import Timeline
from guide.problem import UnusableChoice
from guide.ready.make_ready import ReadyClass
from guide.review.comparison import Comparison
from guide.voice.class_clips import Progress

Subject = TypeVar("Subject")
Subject_contra = TypeVar("Subject_contra", contravariant=True)

#: The plan as text has lines of so many columns.
TEXT_COLUMNS = 100


class Exporter(Protocol[Subject_contra]):
    """Writes one kind of file.

    To add one: a class with these three, in a file beside this one, and a line in `EXPORTERS`. What it writes depends
    on nothing but its subject (and a page on the day that stands on it). An old file stays until the new one is whole.
    """

    @property
    def name(self) -> str:
        """What it writes, for people."""
        ...

    @property
    def subject(self) -> type[Any]:
        """What it is made of: a class that is ready, its timeline alone, or a comparison."""
        ...

    def write(self, path: Path, subject: Subject_contra, progress: Progress | None) -> str:
        """Write the file; what there is to say of it, or nothing. Raises UnusableChoice and MachineTrouble."""
        ...


@dataclass(frozen=True, slots=True)
class TrackExporter:
    """A sound file in one of the formats of `audio.AUDIO`."""

    name: str
    subject: type[Any] = ReadyClass

    def write(self, path: Path, subject: ReadyClass, progress: Progress | None) -> str:
        return str(write_track(path, subject, progress))


@dataclass(frozen=True, slots=True)
class TextExporter(Generic[Subject]):
    """A file of text, made by a pure function of its subject."""

    name: str
    subject: type[Subject]
    text: Callable[[Subject], str]

    def write(self, path: Path, subject: Subject, progress: Progress | None) -> str:
        write_atomically(path, self.text(subject))
        return ""


def _plan_text(timeline: Timeline) -> str:
    return full_plan_table(timeline, TEXT_COLUMNS)


def _page(comparison: Comparison) -> str:
    today = date.today()
    return html_page(comparison, f"{today.day} {today:%B %Y}")


EXPORTERS: Mapping[str, Exporter[Any]] = {
    **{suffix: TrackExporter(audio_format.name) for suffix, audio_format in AUDIO.items()},
    ".vtt": TextExporter("captions, WebVTT", Timeline, webvtt),
    ".exact.vtt": TextExporter("captions to the millisecond, WebVTT", Timeline, exact_webvtt),
    ".srt": TextExporter("captions, SubRip", Timeline, srt),
    ".lrc": TextExporter("captions, LRC", Timeline, lrc),
    ".chapters.vtt": TextExporter("chapters, WebVTT", Timeline, chapters_webvtt),
    ".chapters.json": TextExporter("chapters, JSON", Timeline, chapters_json),
    ".plan.txt": TextExporter("the plan as text", Timeline, _plan_text),
    ".plan.json": TextExporter("the plan as JSON", Timeline, plan_as_json),
    ".html": TextExporter("a comparison as a page", Comparison, _page),
}


def exporter_of(path: Path) -> Exporter[Any]:
    """What writes files of this name, in capitals or not; the longest ending counts.

    Raises:
        UnusableChoice: with the endings that there are.
    """
    name = path.name.lower()
    fitting = [ending for ending in EXPORTERS if name.endswith(ending)]
    if not fitting:
        what = f"no file of ours ends in {path.suffix}" if path.suffix else "the name has no ending"
        raise UnusableChoice(f"{path}: {what} (use one of {', '.join(EXPORTERS)})")
    return EXPORTERS[max(fitting, key=len)]


def write(subject: ReadyClass | Timeline | Comparison, path: str | Path, progress: Progress | None = None) -> str:
    """Write what the ending of `path` names, in place of an older file; returns what there is to say of it, or nothing.

    `progress` is told `(done, total)` while sound is written, in frames.
    Sound needs a class that is ready, captions, chapters and the plan a timeline, and a page a comparison.

    Raises:
        UnusableChoice: no file has that ending, it is not made of such a subject, or `path` cannot be a file.
        MachineTrouble: the disk or a missing library does not let it.
    """
    path = Path(path)
    exporter = exporter_of(path)
    if exporter.subject is Timeline and isinstance(subject, ReadyClass):
        subject = subject.timeline
    if not isinstance(subject, exporter.subject):
        made_of = {ReadyClass: "a class that is ready", Timeline: "a class", Comparison: "a comparison"}
        raise UnusableChoice(f"{path}: {exporter.name} is made of {made_of[exporter.subject]} (name another ending)")
    return exporter.write(path, subject, progress)
