"""`guide compare`: a class that was taught, beside its plan, from the captions of its recording."""

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guide.cli.options import slot_option
from guide.cli.prepare import Opened, VoiceChoice

if TYPE_CHECKING:
    from guide.plan.timeline import Timeline
    from guide.sequence.steps import Steps


@click.command(name="compare")
@click.argument("file", metavar="FILE", type=click.Path())
@click.argument("captions", metavar="CAPTIONS", type=click.Path(path_type=Path))
@slot_option
@click.option("--json", "as_json", is_flag=True, help="Print the whole comparison for a program to read.")
def command(file: str, captions: Path, slot_ms: int | None, as_json: bool) -> None:
    """Show when each step of a class really began, beside its plan.

    CAPTIONS are those of a recording of the class: WebVTT, SubRip, or lines that begin with a time, such as
    `1:05 Lift your arms`. Captions made by a machine will do: misheard names, lines that are missing or said twice and
    long captions without a full stop make it less sure, and it says how sure it is of every step.

    One line for each step: when it began in the recording, how long it was planned and how long it took. Below stand
    both sides beside each other, how much was spoken and how fast, and where left and right were exchanged. FILE is a
    class file; `-` reads one from standard input. No voice is needed: how long words take is estimated.
    """
    from guide.rehearse.by_words import compared
    from guide.rehearse.transcript import read

    steps, timeline = _planned(file, slot_ms)
    comparison = compared(steps, timeline, read(captions))
    if as_json:
        from guide.rehearse.comparison_json import write

        click.echo(write(comparison), nl=False)
    else:
        from guide.rehearse.report import text

        click.echo(text(comparison, shutil.get_terminal_size((100, 24)).columns), nl=False)


def _planned(file: str, slot_ms: int | None) -> "tuple[Steps, Timeline]":
    """The steps that fill the slot and their plan, with estimated lengths of words."""
    from guide.plan.estimate import EstimatedLengths

    opened = Opened.of(file, VoiceChoice(), slot_ms)
    return opened.planned(EstimatedLengths(opened.settings.rate))
