"""`guide series`: one class as a track for each week, with fewer words from week to week."""

import shutil
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from guide.cli.class_argument import STDIN, loaded, progress_bar
from guide.cli.options import USUAL_LEVEL, file_argument, force_option, level_option, slot_option, voice_options
from guide.cli.render_one import beside, no_cover
from guide.cli.stopping import telling_what_is_left
from guide.cli.tell import tell
from guide.cli.track_options import (
    again_option,
    captions_option,
    channel_options,
    cover_option,
    loudness_option,
    unchanged,
)
from guide.problem import UnusableChoice
from guide.units import clock, so_many

if TYPE_CHECKING:
    from guide.export.made_record import MadeRecord
    from guide.export.replacing import Replace
    from guide.export.series_text import Series
    from guide.plan.thinning import WordsKept
    from guide.ready.choices import Cover
    from guide.ready.load import LoadedClass
    from guide.ready.make_ready import ReadyClass
    from guide.voice.class_clips import Progress

USUAL_WEEKS, MOST_WEEKS = 6, 52

#: The text for the student.
TEXT_NAME = "how-to-practise.txt"


def _weeks_kept(ctx: click.Context, param: click.Parameter, value: str | None) -> Any:
    """How many words each week keeps, where that is told."""
    from guide.plan.thinning import read_words

    if value is None:
        return None
    asked = [part.strip() for part in value.split(",")]
    kept = [read_words(part) for part in asked]
    if None in kept:
        wrong = asked[kept.index(None)]
        what = f"`{wrong}` is not how many words are kept"
        raise click.BadParameter(f"{what} (write all, some, names, bells, or a share such as 70%)", ctx, param)
    return tuple(kept)


@click.command(name="series")
@file_argument
@click.option(
    "-o",
    "--output",
    "folder",
    type=click.Path(path_type=Path),
    required=True,
    metavar="FOLDER",
    help="Where the tracks go; it is made where it is not there.",
)
@click.option(
    "--weeks",
    type=click.IntRange(2, MOST_WEEKS),
    metavar="NUMBER",
    help=f"How many tracks; {USUAL_WEEKS} where nothing is said.",
)
@click.option(
    "--words",
    "words_kept",
    callback=_weeks_kept,
    metavar="HOW,HOW,…",
    help="How many words each week keeps, as in `guide render`: all,75%,some,25%,names,bells.",
)
@click.option(
    "--format", "suffix", default="mp3", show_default=True, metavar="NAME", help="mp3, m4a, opus, ogg, flac or wav."
)
@captions_option
@loudness_option
@channel_options
@cover_option
@again_option
@force_option
@slot_option
@level_option
@voice_options
def command(
    file: str,
    folder: Path,
    weeks: int | None,
    words_kept: "tuple[WordsKept, ...] | None",
    suffix: str,
    captions: tuple[str, ...],
    loudness: float,
    stereo: bool,
    room_tone: bool,
    cover: "Cover | bytes",
    again: bool,
    replacing: "Replace",
    slot_ms: int | None,
    level: str | None,
    voice: str | None,
    voice_rate: float | None,
) -> None:
    """Make a track for each week, in which the words thin out.

    All tracks are one class at one timing: whatever is still said or rung begins at the same millisecond. The first
    week has all words, the last has bells and chimes alone, the one before it names, offers and lines of safety and no
    more; the weeks between leave out equal shares of what goes before names: first what was said before in the class,
    then alignment in holds, the words of moves, and ways in and out. --words sets another rule, a word or a share for
    each week.

    In FOLDER go numbered tracks with captions and an album in their tags, and a short text for the student how to use
    them. They take their places together, when all of them are whole. A track of which nothing has changed is left as
    it is, as with `guide render`. FILE is a class file, or the name of a class that comes with the program; `-` reads
    one from standard input.
    """
    from guide.export.made_record import MadeRecord
    from guide.ready.ingredients import made_of
    from guide.ready.make_ready import make_ready

    kept = _rule(weeks, words_kept)
    opened = loaded(file, level)
    tracks = [folder / name for name in _names("class" if file == STDIN else Path(file).stem, level, suffix, len(kept))]
    # Refused before the words are spoken, which may take minutes.
    files = _checked(opened, tracks, captions, replacing)
    asked = (captions, loudness, stereo, room_tone, cover, slot_ms, level, voice_rate)
    parts = _parts(files, kept, made_of(opened, voice, asked))
    record = MadeRecord.read(folder)
    changed = [part for part in parts if again or file == STDIN or not part.is_in(record)]
    if not changed:
        tell(f"{folder}: nothing has changed, {unchanged(len(tracks))}")
        return
    with progress_bar("Speaking the words") as progress:
        ready = make_ready(opened, voice, voice_rate, slot_ms, loudness, progress)
    ready = replace(ready, channels=2 if stereo else 1, room_tone=room_tone or ready.room_tone, cover=cover)
    if ready.unrecorded:
        tell(f"{file}: {ready.unrecorded}", err=True)
    with telling_what_is_left([path for part in changed for path in part.paths]), _made(folder):
        weeks_made = _write(ready, kept, parts, changed, replacing)
    for part in changed:
        part.keep_in(record)
    tell(_told(ready, weeks_made, folder, sum(part.week is not None for part in changed)))


@dataclass(frozen=True, slots=True)
class _Part:
    """A track of the series with what belongs beside it, or the text (of no `week`); `of` is what it is made of."""

    paths: list[Path]
    week: int | None
    of: str

    def is_in(self, record: "MadeRecord") -> bool:
        """Whether it is there as it was left, and nothing has changed."""
        made = record.tracks.get(self.paths[0].name)
        return made is not None and made.is_there(self.of, self.paths)

    def keep_in(self, record: "MadeRecord") -> None:
        """Keep what it was made of."""
        from guide.export.made_record import Made, hashes

        record.keep(self.paths[0], Made(self.of, hashes(self.paths)))


def _parts(files: Sequence[list[Path]], kept: "Sequence[WordsKept]", of: str) -> list[_Part]:
    """All parts of a series of a class that is made `of` something."""
    weeks = [
        _Part(paths, number, f"{of}, week {number} of {len(kept)}, {words.percent} %")
        for number, (paths, words) in enumerate(zip(files, kept, strict=True), 1)
    ]
    told = [(part.paths[0].name, words.percent) for part, words in zip(weeks, kept, strict=True)]
    return [*weeks, _Part([files[0][0].parent / TEXT_NAME], None, f"{of}, {told}")]


def _rule(weeks: int | None, words_kept: "tuple[WordsKept, ...] | None") -> "tuple[WordsKept, ...]":
    """How many words each week keeps.

    Raises:
        UnusableChoice: another number of weeks is asked for than is told of.
    """
    from guide.plan.thinning import week_by_week

    if words_kept is None:
        return week_by_week(weeks or USUAL_WEEKS)
    if weeks not in (None, len(words_kept)):
        told = so_many(len(words_kept), "week")
        raise UnusableChoice(
            f"--words tells of {told}, and --weeks is {weeks} (leave --weeks out, or tell of each week)"
        )
    if not 2 <= len(words_kept) <= MOST_WEEKS:
        raise UnusableChoice(f"a series has 2 to {MOST_WEEKS} weeks (for one track, `guide render --words …`)")
    return words_kept


def _names(stem: str, level: str | None, suffix: str, weeks: int) -> list[str]:
    """The names of the tracks, in whose order a folder shows them. Raises UnusableChoice for a format there is not."""
    from guide.export.audio import format_of

    name = f"{stem}-{level}" if level not in (None, USUAL_LEVEL) else stem
    names = [f"{week:0{len(str(weeks))}}-{name}.{suffix.lstrip('.')}" for week in range(1, weeks + 1)]
    format_of(Path(names[0]))
    return names


def _checked(
    opened: "LoadedClass", tracks: Sequence[Path], captions: tuple[str, ...], replacing: "Replace"
) -> list[list[Path]]:
    """Each track with what belongs beside it.

    Raises:
        FaultyFile, UnusableChoice: the class cannot be rendered, there is no such folder to make one in, or something
            there stays.
    """
    from guide.export.chapters import has_chapters
    from guide.export.registry import check_may_write
    from guide.export.replacing import check_may_replace
    from guide.export.series_text import HOW_TO

    files = [beside(track, captions, has_chapters(opened.whole()[1])) for track in tracks]
    folder = tracks[0].parent
    if not folder.is_dir() and (folder.exists() or not folder.absolute().parent.is_dir()):
        what = "is a file" if folder.exists() else f"there is no folder {folder.parent} to make it in"
        raise UnusableChoice(f"{folder}: {what} (name another folder)")
    check_may_write([path for paths in files for path in paths], opened.never_written_over(), replacing)
    check_may_replace(folder / TEXT_NAME, HOW_TO.whose, opened.never_written_over(), replacing)
    return files


@contextmanager
def _made(folder: Path) -> Iterator[None]:
    """The folder, which goes again where nothing comes into it. Raises MachineTrouble where it cannot be made."""
    was_there = folder.is_dir()
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        from guide.export.atomic_write import trouble_writing

        raise trouble_writing(folder, error) from error
    try:
        yield
    finally:
        if not was_there:
            with suppress(OSError):
                folder.rmdir()


def _write(
    ready: "ReadyClass",
    kept: "Sequence[WordsKept]",
    parts: Sequence[_Part],
    changed: Sequence[_Part],
    replacing: "Replace",
) -> "Series":
    """Write the parts that have changed, which take their places together; gives what is told of all of them."""
    from guide.export.registry import Job, job_of, write_jobs
    from guide.export.series_text import HOW_TO, Series, Week
    from guide.ready.fewer_words import week_of

    made = [week_of(ready, words, number, len(kept)) for number, words in enumerate(kept, 1)]
    names = [part.paths[0].name for part in parts if part.week]
    weeks = [Week(name, words, one.timeline) for name, words, one in zip(names, kept, made, strict=True)]
    series = Series(ready.class_file.title, tuple(weeks), ready.class_file.avoid)
    jobs = [
        job_of(path, made[part.week - 1]) if part.week else Job(path, HOW_TO, series)
        for part in changed
        for path in part.paths
    ]
    tracks = sum(part.week is not None for part in changed)
    with progress_bar("Reading the music") as progress:
        ready.music.make(progress)
    with progress_bar(f"Writing {so_many(tracks, 'track')}") as progress:
        write_jobs(jobs, ready.made_from, replacing, _of_all(progress, tracks))
    return series


def _of_all(progress: "Progress | None", tracks: int) -> "Progress | None":
    """What is told of one track after the other, told of all of them, which are of one length."""
    if progress is None:
        return None
    ended = 0

    def told(done: int, total: int) -> None:
        nonlocal ended
        progress(ended * total + done, tracks * total)
        ended += done == total

    return told


def _told(ready: "ReadyClass", series: "Series", folder: Path, written: int) -> str:
    from guide.export.series_text import table

    columns = shutil.get_terminal_size((100, 24)).columns
    length = clock(ready.timeline.length_ms)
    tracks = so_many(len(series.weeks), "track")
    left = len(series.weeks) - written
    lost = no_cover(Path(series.weeks[0].track), ready.cover)
    told = f"; {written} written, {unchanged(left)}" if left else ""
    return "\n".join([f"{folder}: {tracks} of {length}, and {TEXT_NAME}{told}{lost}", *table(series, columns)])
