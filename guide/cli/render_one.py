"""One class rendered: what is asked of its track, the files that it becomes, and the line that tells of it."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from guide.cli.class_argument import STDIN
from guide.cli.class_place import first_and_last
from guide.cli.track_options import CAPTION_KINDS
from guide.sound.balance import Balance
from guide.units import clock, so_many

if TYPE_CHECKING:
    from guide.export.replacing import Replace
    from guide.plan.thinning import WordsKept
    from guide.ready.choices import Cover
    from guide.ready.load import LoadedClass
    from guide.ready.make_ready import ReadyClass
    from guide.voice.class_clips import Progress


@dataclass(frozen=True, slots=True)
class TrackOptions:
    """What is asked of a track, whichever class it is of."""

    captions: tuple[str, ...]
    loudness: float
    part: tuple[str | None, str | None]
    words_kept: "WordsKept"
    stereo: bool
    room_tone: bool
    stems: bool
    balance: Balance
    cover: "Cover | bytes"
    replacing: "Replace"
    slot_ms: int | None
    level: str | None
    voice: str | None
    voice_rate: float | None


def checked_paths(opened: "LoadedClass", target: Path, asked: TrackOptions, files: tuple[str, ...]) -> list[Path]:
    """The track, what belongs beside it, and its stems where they are asked for; none is refused when it is written.

    Raises:
        FaultyFile, UnusableChoice: the class cannot be rendered, or something there stays.
    """
    from guide.export.chapters import has_chapters
    from guide.export.registry import check_may_write, stem_jobs

    paths = beside(target, asked.captions, has_chapters(opened.whole()[1]))
    if asked.stems:
        paths += [job.path for job in stem_jobs(target, None)]
    # Refused before the words are spoken, which may take minutes.
    check_may_write(paths, _class_files(files) | opened.never_written_over(), asked.replacing)
    return paths


def made_ready(opened: "LoadedClass", asked: TrackOptions, progress: "Progress | None") -> "ReadyClass":
    """The class as it is to be written. Raises GuideError."""
    from guide.ready.fewer_words import with_words
    from guide.ready.make_ready import make_ready

    ready = make_ready(opened, asked.voice, asked.voice_rate, asked.slot_ms, asked.loudness, progress)
    ready = with_words(_part_of(ready, *asked.part), asked.words_kept)
    room_tone = asked.room_tone or ready.room_tone
    return replace(
        ready, channels=2 if asked.stereo else 1, room_tone=room_tone, balance=asked.balance, cover=asked.cover
    )


def _part_of(ready: "ReadyClass", begins: str | None, ends: str | None) -> "ReadyClass":
    """The class from one place to another, all of it where none is asked for.

    Raises:
        UnusableChoice: there is no such place.
    """
    if begins is None and ends is None:
        return ready
    from guide.plan.excerpt import excerpt

    first, last = first_and_last(ready.timeline, ready.class_file.place.file, begins, ends)
    steps = replace(ready.steps, steps=ready.steps.steps[first : last + 1])
    return replace(ready, steps=steps, timeline=excerpt(ready.timeline, first, last))


def write_class(ready: "ReadyClass", paths: list[Path], replacing: "Replace", progress: "Progress | None") -> str:
    """Write the track, which is the first of the paths, and what belongs beside it, among that its stems.

    Returns the line that tells of it.

    Raises:
        GuideError: the machine cannot write it.
    """
    from guide.export.registry import check_jobs, job_of, stem_jobs, write_jobs

    stems = {job.path: job for job in stem_jobs(paths[0], ready)}
    jobs = [stems.get(path) or job_of(path, ready) for path in paths]
    check_jobs(jobs, ready.made_from, replacing)
    levels = ", ".join(filter(None, write_jobs(jobs, ready.made_from, replacing, progress)))
    parts = f"{_cues(ready)}, {so_many(len(ready.timeline.chapters), 'section')}"
    return f"{paths[0]}: {clock(ready.timeline.length_ms)}, {parts}, {levels}{no_cover(paths[0], ready.cover)}"


def no_cover(track: Path, cover: "Cover | bytes") -> str:
    """What there is to say of a file given as the cover of a track that has no place for one, or nothing."""
    from guide.export.audio import format_of

    lost = isinstance(cover, bytes) and not format_of(track).has_cover
    return f", without the cover (a {track.suffix.lower()} has no place for one)" if lost else ""


def _cues(ready: "ReadyClass") -> str:
    """How many cues there are, and of how many where some are left out."""
    said, left_out = len(ready.timeline.cues), len(ready.timeline.left_out)
    return f"{said} of {so_many(said + left_out, 'cue')}" if left_out else so_many(said, "cue")


def beside(target: Path, captions: tuple[str, ...], with_chapters: bool) -> list[Path]:
    """The track, and the captions and chapters that belong beside it."""
    beside = [ending for kind in captions if (ending := CAPTION_KINDS[kind])]
    if beside and with_chapters:
        beside.append(".chapters.vtt")
    return [target, *map(target.with_suffix, dict.fromkeys(beside))]


def _class_files(files: tuple[str, ...]) -> dict[Path, str]:
    """All the classes that are rendered: what one becomes must not be written over another."""
    return {Path(file): "a class file" for file in files if file != STDIN}
