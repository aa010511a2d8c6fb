"""`guide picture`: a class as a picture, for a page or as the cover of its track."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from guide.cli.class_argument import loaded, progress_bar
from guide.cli.options import file_argument, force_option, level_option, slot_option, voice_options, words_option
from guide.cli.tell import tell
from guide.problem import UnusableChoice
from guide.units import clock
from guide.visible import visible

if TYPE_CHECKING:
    from guide.export.registry import Exporter
    from guide.export.replacing import Replace
    from guide.plan.thinning import WordsKept
    from guide.ready.make_ready import ReadyClass


@click.command(name="picture")
@file_argument
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    required=True,
    metavar="PATH",
    help="The file to write, as .svg or .png.",
)
@click.option("--square", is_flag=True, help="Draw it square, as it is on the track: fewer things, and those large.")
@click.option("--dark", is_flag=True, help="Draw it light on dark.")
@force_option
@slot_option
@level_option
@words_option
@voice_options
def command(
    file: str,
    output: Path,
    square: bool,
    dark: bool,
    replacing: "Replace",
    slot_ms: int | None,
    level: str | None,
    words_kept: "WordsKept",
    voice: str | None,
    voice_rate: float | None,
) -> None:
    """Draw a class as a picture.

    Time goes from left to right. A lane for each thing that carries people has the steps in it, the right side in its
    lower half and the left side in its upper one; below are how strong the poses are, how long one breath lasts, how
    much is said, and the bells. Above stand figures of the poses that are held longest. Where neither poses nor words
    tell what carries people, all lanes are hatched.

    FILE is a class file, or the name of a class that comes with the program; `-` reads one from standard input.
    """
    from guide.export.registry import Job, write_jobs
    from guide.export.replacing import check_may_replace
    from guide.ready.fewer_words import with_words
    from guide.ready.make_ready import make_ready

    exporter = _exporter(output, square, dark)
    opened = loaded(file, level)
    check_may_replace(output, exporter.whose, opened.never_written_over(), replacing)
    with progress_bar("Speaking the words") as progress:
        ready = make_ready(opened, voice, voice_rate, slot_ms, progress=progress)
    ready = with_words(ready, words_kept)
    write_jobs([Job(output, exporter, ready)], ready.made_from, replacing)
    tell(f"{output}: {clock(ready.timeline.length_ms)} as a picture")


def _exporter(output: Path, square: bool, dark: bool) -> "Exporter[ReadyClass]":
    """What draws the picture. Raises UnusableChoice for an ending that no picture has."""
    from guide.export.picture.exporters import PICTURES
    from guide.export.picture.measures import BROAD, COVER
    from guide.figures.svg import Paper

    drawn_by = PICTURES.get(output.suffix.lower())
    if drawn_by is None:
        raise UnusableChoice(f"{visible(str(output))}: a picture is an .svg or a .png (end the name so)")
    return drawn_by(COVER if square else BROAD, Paper.DARK if dark else Paper.LIGHT)
