"""Everything that comes out as a file, by the ending of its name."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import Any, Generic, Protocol, TypeVar

from guide.export.atomic_write import atomic_file, written_together
from guide.export.audio import AUDIO, format_of
from guide.export.audio.base import AudioFormat
from guide.export.captions.lrc import lrc
from guide.export.captions.srt import srt
from guide.export.captions.taught import TaughtWords, taught_srt, taught_webvtt
from guide.export.captions.webvtt import chapters_webvtt, exact_webvtt, webvtt
from guide.export.chaptered_film import FilmExporter
from guide.export.chapters import chapters_json
from guide.export.comparison_page.history_page import history_page
from guide.export.comparison_page.html_page import PlannedPicture, html_page
from guide.export.picture.drawn import described, picture_for_page
from guide.export.picture.exporters import PngExporter, SvgExporter
from guide.export.picture.seen import seen
from guide.export.plan_json import plan_as_json
from guide.export.plan_table import full_plan_table
from guide.export.replacing import Replace, check_may_replace
from guide.export.seal import (
    AT_THE_END,
    GENERATOR,
    KEY,
    LINE_ENDS,
    NOTE,
    REMARK,
    SEMICOLON,
    TOOL,
    Seal,
    sealed_pdf,
    whose_pdf,
    whose_sound,
)
from guide.export.sheet.boxes import SheetPages
from guide.export.sheet.content import ClassSheet
from guide.export.sheet.html_page import sheet_html
from guide.export.sheet.layout import laid_out
from guide.export.sheet.markdown import sheet_markdown
from guide.export.sheet.pdf import sheet_pdf, without_shapes
from guide.export.sheet.svg import sheet_svg
from guide.export.taught_chapters import chapters_as_ffmetadata, chapters_as_lines, chapters_as_webvtt
from guide.export.track import STEMS, Sound, write_track
from guide.plan.advice.view import ClassView
from guide.plan.timeline import Timeline
from guide.problem import UnusableChoice
from guide.ready.make_ready import ReadyClass
from guide.review.comparison import Comparison
from guide.review.history.performances import History
from guide.sound.mixer import centre
from guide.voice.class_clips import Progress

Subject = TypeVar("Subject")
Subject_contra = TypeVar("Subject_contra", contravariant=True)

#: The plan as text has lines of so many columns.
TEXT_COLUMNS = 100


class Exporter(Protocol[Subject_contra]):
    """Writes one kind of file.

    To add one: a class with these four, in a file beside this one, and a line in `EXPORTERS`. What it writes depends
    on nothing but its subject (and a page on the day that stands on it).
    """

    @property
    def name(self) -> str:
        """What it writes, for people."""
        ...

    @property
    def subject(self) -> type[Any]:
        """What it is made of: a class that is ready, its timeline alone, or a comparison."""
        ...

    def write(self, part: Path, subject: Subject_contra, progress: Progress | None) -> str:
        """Write a new file; what there is to say of it, or nothing. Raises OSError, UnusableChoice, MachineTrouble."""
        ...

    def whose(self, path: Path) -> str:
        """Why a file is not one that was written so, and left as it was; nothing where it is. Raises OSError."""
        ...


@dataclass(frozen=True, slots=True)
class TrackExporter:
    """A sound file in one of the formats of `audio.AUDIO`, of all that is heard or a part of it."""

    format: AudioFormat
    subject: type[Any] = ReadyClass
    sound: Sound = centre

    @property
    def name(self) -> str:
        return self.format.name

    def write(self, part: Path, subject: ReadyClass, progress: Progress | None) -> str:
        return str(write_track(part, self.format, subject, progress, self.sound))

    def whose(self, path: Path) -> str:
        return whose_sound(path)


@dataclass(frozen=True, slots=True)
class TextExporter(Generic[Subject]):
    """A file of text, made by a pure function of its subject; `seal` makes it known as the program's own."""

    name: str
    subject: type[Subject]
    text: Callable[[Subject], str]
    seal: Seal

    def write(self, part: Path, subject: Subject, progress: Progress | None) -> str:
        part.write_bytes(self.seal.put(self.text(subject)).encode())
        return ""

    def whose(self, path: Path) -> str:
        return self.seal.whose(path)


@dataclass(frozen=True, slots=True)
class PdfExporter(Generic[Subject]):
    """A PDF, made by a pure function of its subject; `told` says what there is to say of what it could not show."""

    name: str
    subject: type[Subject]
    pdf: Callable[[Subject], bytes]
    told: Callable[[Subject], str] = lambda subject: ""

    def write(self, part: Path, subject: Subject, progress: Progress | None) -> str:
        part.write_bytes(sealed_pdf(self.pdf(subject)))
        return self.told(subject)

    def whose(self, path: Path) -> str:
        return whose_pdf(path)


def _plan_text(timeline: Timeline) -> str:
    return full_plan_table(timeline, TEXT_COLUMNS)


def _today() -> str:
    today = date.today()
    return f"{today.day} {today:%B %Y}"


def _page(comparison: Comparison) -> str:
    return html_page(comparison, _today())


def _history_page(history: History) -> str:
    return history_page(history, _today())


PAGE = TextExporter("a comparison as a page", Comparison, _page, GENERATOR)


def page_headed_by(view: ClassView) -> TextExporter[Comparison]:
    """The same, headed by the picture of the class as planned."""

    def headed(comparison: Comparison) -> str:
        klass = seen(view)
        return html_page(comparison, _today(), PlannedPicture(picture_for_page(klass), described(klass)))

    return replace(PAGE, text=headed)


#: Not by its ending: a page of performances is written by `guide compare --history` alone.
HISTORY_PAGE = TextExporter("performances beside each other, as a page", History, _history_page, GENERATOR)

EXPORTERS: Mapping[str, Exporter[Any]] = {
    **{suffix: TrackExporter(audio_format) for suffix, audio_format in AUDIO.items()},
    ".vtt": TextExporter("captions, WebVTT", Timeline, webvtt, NOTE),
    ".exact.vtt": TextExporter("captions to the millisecond, WebVTT", Timeline, exact_webvtt, NOTE),
    ".srt": TextExporter("captions, SubRip", Timeline, srt, LINE_ENDS),
    ".lrc": TextExporter("captions, LRC", Timeline, lrc, TOOL),
    ".chapters.vtt": TextExporter("chapters, WebVTT", Timeline, chapters_webvtt, NOTE),
    ".chapters.json": TextExporter("chapters, JSON", Timeline, chapters_json, KEY),
    ".plan.txt": TextExporter("the plan as text", Timeline, _plan_text, AT_THE_END),
    ".plan.json": TextExporter("the plan as JSON", Timeline, plan_as_json, KEY),
    ".picture.svg": SvgExporter(),
    ".picture.png": PngExporter(),
    ".html": PAGE,
}

#: Chapters of a class as it was taught, for the video that there is of it.
TAUGHT_CHAPTERS: Mapping[str, Exporter[Comparison]] = {
    ".vtt": TextExporter("chapters as taught, WebVTT", Comparison, chapters_as_webvtt, NOTE),
    ".txt": TextExporter("chapters as taught, lines for a description", Comparison, chapters_as_lines, LINE_ENDS),
    ".ffmetadata": TextExporter("chapters as taught, for ffmpeg", Comparison, chapters_as_ffmetadata, SEMICOLON),
    **dict.fromkeys((".mp4", ".m4v", ".m4a"), FilmExporter("mp4")),
    ".mov": FilmExporter("mov"),
    ".mkv": FilmExporter("matroska"),
}

#: The pose library's figures.
CONTACT_SHEETS = PdfExporter("contact sheets, PDF", SheetPages, sheet_pdf)

#: A class as a sheet to carry to the mat.
SHEETS: Mapping[str, Exporter[ClassSheet]] = {
    ".pdf": PdfExporter("a class sheet, PDF", ClassSheet, lambda sheet: sheet_pdf(laid_out(sheet)), without_shapes),
    ".html": TextExporter("a class sheet as a page", ClassSheet, sheet_html, GENERATOR),
    ".svg": TextExporter("a class sheet as a picture", ClassSheet, lambda sheet: sheet_svg(laid_out(sheet)), REMARK),
    ".md": TextExporter("a class sheet as Markdown", ClassSheet, sheet_markdown, AT_THE_END),
}

#: What was said in it, for the same video.
TAUGHT_CAPTIONS: Mapping[str, Exporter[TaughtWords]] = {
    ".vtt": TextExporter("captions as taught, WebVTT", TaughtWords, taught_webvtt, NOTE),
    ".srt": TextExporter("captions as taught, SubRip", TaughtWords, taught_srt, LINE_ENDS),
}


def exporter_of(path: Path, exporters: Mapping[str, Exporter[Any]] = EXPORTERS) -> Exporter[Any]:
    """What writes files of this name, in capitals or not; the longest ending counts.

    Raises:
        UnusableChoice: with the endings that there are.
    """
    name = path.name.lower()
    fitting = [ending for ending in exporters if name.endswith(ending)]
    if not fitting:
        what = f"no file of ours ends in {path.suffix}" if path.suffix else "the name has no ending"
        raise UnusableChoice(f"{path}: {what} (use one of {', '.join(exporters)})")
    return exporters[max(fitting, key=len)]


def write(
    subject: ReadyClass | Timeline | Comparison,
    path: str | Path,
    progress: Progress | None = None,
    replace: Replace = Replace.OWN,
) -> str:
    """Write what the ending of `path` names; returns what there is to say of it, or nothing.

    An older file of the program's own is replaced once the new one is whole, any other with `Replace.ANY` alone, and
    what the class itself is read from never. `progress` is told `(done, total)` while sound is written, in frames.
    Sound needs a class that is ready, captions, chapters and the plan a timeline, and a page a comparison.

    Raises:
        UnusableChoice: no file has that ending, it is not made of such a subject, or `path` cannot be a file or holds
            one that stays.
        MachineTrouble: the disk or a missing library does not let it.
    """
    return write_together(subject, [Path(path)], progress, replace)


def write_together(
    subject: ReadyClass | Timeline | Comparison,
    paths: Sequence[Path],
    progress: Progress | None = None,
    replace: Replace = Replace.OWN,
) -> str:
    """The same of several files, which take their places together; returns what there is to say of them."""
    inputs = subject.made_from if isinstance(subject, ReadyClass) else {}
    check_may_write(paths, inputs, replace)
    return ", ".join(filter(None, write_jobs([job_of(path, subject) for path in paths], inputs, replace, progress)))


@dataclass(frozen=True, slots=True)
class Job:
    """One file that is to be written: where, by what, and what it is made of."""

    path: Path
    exporter: Exporter[Any]
    subject: object


def job_of(path: Path, subject: ReadyClass | Timeline | Comparison) -> Job:
    """How the file that the ending of `path` names is written of a class. Raises UnusableChoice."""
    exporter = exporter_of(path)
    return Job(path, exporter, _subject(path, exporter, subject))


def stem_jobs(track: Path, subject: ReadyClass | None) -> list[Job]:
    """How the parts of a track are written beside it in its format: `NAME.voice.wav` and so on; they sum to it.

    Without a subject they can be checked alone. Raises UnusableChoice.
    """
    audio_format = format_of(track)
    return [
        Job(track.with_name(f"{track.stem}.{part}{track.suffix}"), _Stem(audio_format, sound=sound), subject)
        for part, sound in STEMS.items()
    ]


@dataclass(frozen=True, slots=True)
class _Stem(TrackExporter):
    """A part of a track, of which there is nothing to say beside what is said of the track."""

    def write(self, part: Path, subject: ReadyClass, progress: Progress | None) -> str:
        write_track(part, self.format, subject, progress, self.sound)
        return ""


def write_jobs(
    jobs: Sequence[Job], inputs: Mapping[Path, str], replace: Replace, progress: Progress | None = None
) -> list[str]:
    """Write files that take their places together; what there is to say of each. Raises what `write` does."""
    said = []
    with written_together() as beside:
        for job in jobs:
            with beside(job.path) as part:
                said.append(job.exporter.write(part, job.subject, progress))
        # While an hour of sound was made, somebody may have put a file there.
        check_jobs(jobs, inputs, replace)
    return said


def check_jobs(jobs: Sequence[Job], inputs: Mapping[Path, str], replace: Replace) -> None:
    """Refuse what may not be replaced. Raises UnusableChoice."""
    for job in jobs:
        check_may_replace(job.path, job.exporter.whose, inputs, replace)


def write_one(
    subject: Subject,
    exporter: Exporter[Subject],
    path: Path,
    replace: Replace,
    inputs: Mapping[Path, str] = MappingProxyType({}),
) -> str:
    """Write one file that belongs to no other, whatever its name; what there is to say. Raises what `write` does."""
    with atomic_file(path) as part:
        said = exporter.write(part, subject, None)
        check_may_replace(path, exporter.whose, inputs, replace)
    return said


def check_may_write(paths: Sequence[Path], inputs: Mapping[Path, str], replace: Replace) -> None:
    """Refuse paths with endings that there are not, and what may not be replaced (see `check_may_replace`).

    Raises:
        UnusableChoice: naming the first of them.
    """
    for path in paths:
        check_may_replace(path, exporter_of(path).whose, inputs, replace)


def _subject(path: Path, exporter: Exporter[Any], subject: ReadyClass | Timeline | Comparison) -> object:
    """What a file is made of. Raises UnusableChoice."""
    if exporter.subject is Timeline and isinstance(subject, ReadyClass):
        return subject.timeline
    if not isinstance(subject, exporter.subject):
        made_of = {ReadyClass: "a class that is ready", Timeline: "a class", Comparison: "a comparison"}
        raise UnusableChoice(f"{path}: {exporter.name} is made of {made_of[exporter.subject]} (name another ending)")
    return subject
