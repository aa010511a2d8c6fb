"""`guide render`: the track of a class, with its captions and chapters beside it."""

import re
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guide.cli.class_argument import STDIN, each, loaded, progress_bar
from guide.cli.class_place import first_and_last
from guide.cli.options import (
    USUAL_LEVEL,
    files_argument,
    force_option,
    level_option,
    slot_option,
    voice_options,
    words_option,
)
from guide.cli.stopping import telling_what_is_left
from guide.cli.tell import tell
from guide.cli.track_options import CAPTION_KINDS, captions_option, channel_options, loudness_option
from guide.problem import UnusableChoice
from guide.units import clock, so_many

if TYPE_CHECKING:
    from guide.export.replacing import Replace
    from guide.plan.thinning import WordsKept
    from guide.ready.make_ready import ReadyClass


@click.command(name="render")
@files_argument
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="PATH",
    help="The file to write, or a folder for several; its ending chooses the format. "
    "Without it, the class's own name with .mp3, in the current folder.",
)
@click.option("--format", "suffix", metavar="NAME", help="mp3, m4a, opus, ogg, flac or wav, where PATH does not say.")
@captions_option
@loudness_option
@click.option("--from", "begins", metavar="WHERE", help="Begin there: a line of the file, a time, or part of a name.")
@click.option("--to", "ends", metavar="WHERE", help="End with that: a line of the file, a time, or part of a name.")
@channel_options
@force_option
@slot_option
@level_option
@words_option
@voice_options
@click.pass_context
def command(
    ctx: click.Context,
    files: tuple[str, ...],
    output: Path | None,
    suffix: str | None,
    captions: tuple[str, ...],
    loudness: float,
    begins: str | None,
    ends: str | None,
    stereo: bool,
    room_tone: bool,
    replacing: "Replace",
    slot_ms: int | None,
    level: str | None,
    words_kept: "WordsKept",
    voice: str | None,
    voice_rate: float | None,
) -> None:
    """Make the sound file of a class, with its captions.

    The sections, or the poses of a class without any, become chapters in the file's tags, and the captions stand in a
    file of the same name beside it. Old files of those names stay until all the new ones are whole. What the program
    did not make, such as a recording of your own or captions that you mended, is not replaced without --force, and
    what the class is read from never. FILE is a class file, or the name of a class that comes with the program; `-`
    reads one from standard input.

    --from and --to make a track of a part: `--from Standing --to Balance` has both sections, `--from 12:30` begins with
    the step that is under way then. The clock of the track and of its captions begins at zero.

    --words leaves words out for those who know the class, at the same timing: first what was said before in the class,
    then alignment in holds, the words of moves, and ways in and out: half of all these with `some`, all of them with
    `names`. Names, numbers, offers and lines of safety go with `bells` alone. `guide series` makes a track for each
    week.
    """
    targets = _targets(files, output, suffix, level)

    def render(file: str) -> None:
        from guide.export.chapters import has_chapters
        from guide.export.registry import check_may_write
        from guide.ready.fewer_words import with_words
        from guide.ready.make_ready import make_ready

        opened = loaded(file, level)
        class_file, steps = opened.whole()
        target = targets.get(file) or Path(f"{_slug(class_file.title)}.{suffix or 'mp3'}")
        paths = beside(target, captions, has_chapters(steps))
        # Refused before the words are spoken, which may take minutes.
        check_may_write(paths, _class_files(files) | opened.made_from(), replacing)
        with telling_what_is_left(paths):
            with progress_bar("Speaking the words") as progress:
                ready = _part_of(make_ready(opened, voice, voice_rate, slot_ms, loudness, progress), begins, ends)
                ready = with_words(ready, words_kept)
                ready = replace(ready, channels=2 if stereo else 1, room_tone=room_tone or ready.room_tone)
            said = render_class(ready, target, captions, replacing)
        if ready.unrecorded:
            tell(f"{file}: {ready.unrecorded}", err=True)
        tell(said)

    ctx.exit(each(files, render))


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


def render_class(
    ready: "ReadyClass", target: Path, captions: tuple[str, ...], replacing: "Replace | None" = None
) -> str:
    """Write the track and what belongs beside it; returns the line that says what was made.

    Raises:
        GuideError: the target or the format cannot be had, or the machine cannot write it.
    """
    from guide.export.chapters import has_chapters
    from guide.export.registry import write_together
    from guide.export.replacing import Replace

    with progress_bar(f"Writing {target.name}") as progress:
        paths = beside(target, captions, has_chapters(ready.steps))
        levels = write_together(ready, paths, progress, replacing or Replace.OWN)
    parts = f"{_cues(ready)}, {so_many(len(ready.timeline.chapters), 'section')}"
    return f"{target}: {clock(ready.timeline.length_ms)}, {parts}, {levels}"


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


def _targets(files: tuple[str, ...], output: Path | None, suffix: str | None, level: str | None) -> dict[str, Path]:
    """Where each class goes; one from standard input without a name of its own is named after its title, later.

    Raises:
        UnusableChoice: two classes would go to the same file, or a name has an ending that no format has.
    """
    from guide.export.audio import format_of

    folder = output is not None and (len(files) > 1 or output.is_dir())
    targets: dict[str, Path] = {}
    for file in files:
        if output is not None and not folder:
            targets[file] = output
        elif file != STDIN:
            stem = Path(file).stem if level in (None, USUAL_LEVEL) else f"{Path(file).stem}-{level}"
            name = f"{stem}.{(suffix or 'mp3').lstrip('.')}"
            targets[file] = output / name if output is not None else Path(name)
    for file, target in targets.items():
        format_of(target)
        twins = [other for other, place in targets.items() if place == target and other != file]
        if twins:
            raise UnusableChoice(f"{file} and {twins[0]} would both become {target} (render them one by one with -o)")
    if folder and output is not None and not output.is_dir():
        raise UnusableChoice(f"{output}: is not a folder, and {len(files)} classes need one (make it first)")
    return targets


def _slug(title: str) -> str:
    return re.sub(r"[^\w]+", "-", title.lower()).strip("-") or "class"
