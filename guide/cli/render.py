"""`guide render`: the track of a class, with its captions and chapters beside it."""

import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guide.cli.class_argument import STDIN, each, loaded, progress_bar
from guide.cli.options import (
    USUAL_LEVEL,
    balance_options,
    files_argument,
    force_option,
    level_option,
    slot_option,
    voice_options,
    words_option,
)
from guide.cli.render_one import TrackOptions, beside, checked_paths, made_ready, write_class
from guide.cli.stopping import telling_what_is_left
from guide.cli.tell import tell
from guide.cli.track_options import again_option, captions_option, channel_options, cover_option, loudness_option
from guide.problem import UnusableChoice
from guide.sound.balance import Balance

if TYPE_CHECKING:
    from guide.export.replacing import Replace
    from guide.plan.thinning import WordsKept
    from guide.ready.choices import Cover
    from guide.ready.make_ready import ReadyClass


@click.command(name="render")
@files_argument
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="PATH",
    help="The file to write, or a folder for several, which is made; the ending chooses the format. "
    "Without it, the class's own name with .mp3, in the current folder.",
)
@click.option("--format", "suffix", metavar="NAME", help="mp3, m4a, opus, ogg, flac or wav, where PATH does not say.")
@captions_option
@loudness_option
@click.option("--from", "begins", metavar="WHERE", help="Begin there: a line of the file, a time, or part of a name.")
@click.option("--to", "ends", metavar="WHERE", help="End with that: a line of the file, a time, or part of a name.")
@channel_options
@click.option("--stems", is_flag=True, help="Write the words, the bells and the music as files of their own, too.")
@cover_option
@balance_options
@again_option
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
    stems: bool,
    cover: "Cover | bytes",
    voice_db: float,
    chimes_db: float,
    music_db: float,
    again: bool,
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

    Several classes, and all that go into a folder, are made on all cores at once. One that fails keeps none of the
    others up, and one of which nothing has changed is not made again: its text, its blocks and sounds, its takes, what
    is asked, the program and the voice are those that its track was made of, and the track is as it was left.

    --from and --to make a track of a part: `--from Standing --to Balance` has both sections, `--from 12:30` begins with
    the step that is under way then. The clock of the track and of its captions begins at zero.

    --words leaves words out for those who know the class, at the same timing: first what was said before in the class,
    then alignment in holds, the words of moves, and ways in and out: half of all these with `some`, all of them with
    `names`. Names, numbers, offers and lines of safety go with `bells` alone. `guide series` makes a track for each
    week.

    --stems writes NAME.voice.mp3, NAME.bells.mp3 and NAME.music.mp3 beside NAME.mp3. They sum to it sample by sample,
    in WAV and FLAC within the rounding to 16 bits.
    """
    targets = _targets(files, output, suffix, level)
    asked = TrackOptions(
        captions=captions,
        loudness=loudness,
        part=(begins, ends),
        words_kept=words_kept,
        stereo=stereo,
        room_tone=room_tone,
        stems=stems,
        balance=Balance(voice_db, chimes_db, music_db),
        cover=cover,
        replacing=replacing,
        slot_ms=slot_ms,
        level=level,
        voice=voice,
        voice_rate=voice_rate,
    )

    def render(file: str) -> None:
        opened = loaded(file, level)
        target = targets.get(file) or Path(f"{_slug(opened.whole()[0].title)}.{suffix or 'mp3'}")
        paths = checked_paths(opened, target, asked, files)
        with telling_what_is_left(paths):
            with progress_bar("Speaking the words") as progress:
                ready = made_ready(opened, asked, progress)
            said = _written(ready, paths, replacing)
        if ready.unrecorded:
            tell(f"{file}: {ready.unrecorded}", err=True)
        tell(said)

    if STDIN in files or (len(files) == 1 and not (output and output.is_dir())):
        ctx.exit(each(files, render))
    from guide.cli.render_many import render_many

    ctx.exit(render_many([targets[file] for file in files], files, asked, again))


def render_class(
    ready: "ReadyClass", target: Path, captions: tuple[str, ...], replacing: "Replace | None" = None
) -> str:
    """Write the track and what belongs beside it; returns the line that says what was made.

    Raises:
        GuideError: the target or the format cannot be had, or the machine cannot write it.
    """
    from guide.export.chapters import has_chapters
    from guide.export.replacing import Replace

    return _written(ready, beside(target, captions, has_chapters(ready.steps)), replacing or Replace.OWN)


def _written(ready: "ReadyClass", paths: list[Path], replacing: "Replace") -> str:
    """Write the files of a class, the track first, with a bar for what takes its time."""
    with progress_bar("Reading the music") as progress:
        ready.music.make(progress)
    with progress_bar(f"Writing {paths[0].name}") as progress:
        return write_class(ready, paths, replacing, progress)


def _targets(files: tuple[str, ...], output: Path | None, suffix: str | None, level: str | None) -> dict[str, Path]:
    """Where each class goes; one from standard input without a name of its own is named after its title, later.

    Raises:
        UnusableChoice: two classes would go to the same file, or a name has an ending that no format has.
    """
    from guide.export.audio import AUDIO, format_of

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
    if folder and output is not None and not output.is_dir() and (output.exists() or output.suffix.lower() in AUDIO):
        raise UnusableChoice(f"{output}: is not a folder, and {len(files)} classes need one (name one)")
    return targets


def _slug(title: str) -> str:
    return re.sub(r"[^\w]+", "-", title.lower()).strip("-") or "class"
