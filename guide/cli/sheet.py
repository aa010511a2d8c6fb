"""`guide sheet`: a class in figures on paper."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from guide.cli.class_argument import STDIN, loaded, progress_bar
from guide.cli.options import USUAL_LEVEL, file_argument, force_option, level_option, slot_option, voice_options
from guide.cli.tell import tell
from guide.visible import visible

if TYPE_CHECKING:
    from guide.export.replacing import Replace

PAPERS = ("a4", "letter")


@click.command(name="sheet")
@file_argument
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="PATH",
    help="The file to write: .pdf, .html, .svg or .md. Without it, the class's own name with .pdf, in the current "
    "folder.",
)
@click.option(
    "--paper", type=click.Choice(PAPERS, case_sensitive=False), default="a4", show_default=True, help="Its paper."
)
@click.option("--large", is_flag=True, help="Large, to be read at arm's length with the sheet beside the mat.")
@click.option("--words", "with_words", is_flag=True, help="Add every word that is said, as a script.")
@force_option
@slot_option
@level_option
@voice_options
def command(
    file: str,
    output: Path | None,
    paper: str,
    large: bool,
    with_words: bool,
    replacing: "Replace",
    slot_ms: int | None,
    level: str | None,
    voice: str | None,
    voice_rate: float | None,
) -> None:
    """Put a class on paper in figures, to carry to the mat.

    The poses stand in order with their names, when each begins, how many breaths it is held, and the words of its cues
    that matter most. Rounds and both sides are drawn once, with a mark that says how often. Around them stand the
    sections, what to lay ready, whom to have an eye on in which pose, and room for a pencil. A class of half an hour
    fills a page and one of an hour two; what is longer takes more. A pose without a figure has its name in a frame.

    FILE is a class file, or the name of a class that comes with the program; `-` reads one from standard input.
    """
    from guide.export.registry import SHEETS, exporter_of, write_one
    from guide.export.replacing import check_may_replace
    from guide.export.sheet.collect import sheet_of, with_script
    from guide.export.sheet.content import PaperSize, SheetLook, SheetSize
    from guide.ready.make_ready import make_ready
    from guide.sequence.expand import library_of

    target = output or _usual(file, level)
    exporter = exporter_of(target, SHEETS)
    opened = loaded(file, level)
    inputs = opened.never_written_over()
    # Refused before the words are spoken, which may take minutes.
    check_may_replace(target, exporter.whose, inputs, replacing)
    with progress_bar("Speaking the words") as progress:
        ready = make_ready(opened, voice, voice_rate, slot_ms, progress=progress)
    look = SheetLook(PaperSize[paper.upper()], SheetSize.FLOOR if large else SheetSize.HAND)
    written = ready.class_file
    sheet = sheet_of(written, ready.steps, ready.timeline, library_of(written), look)
    said = write_one(with_script(sheet, ready.timeline) if with_words else sheet, exporter, target, replacing, inputs)
    tell(f"{visible(str(target))}: {sheet.summary}")
    if said:
        tell(f"{visible(str(target))}: {said}", err=True)


def _usual(file: str, level: str | None) -> Path:
    """Where a sheet goes that nobody named: after its class, and its level."""
    stem = "class" if file == STDIN else Path(file).stem
    return Path(f"{stem}.pdf" if level in (None, USUAL_LEVEL) else f"{stem}-{level}.pdf")
