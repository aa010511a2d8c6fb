"""`guide plan`: the class as it will run, as a table for a teacher or as JSON for a program."""

import shutil

import click

from guide.cli.class_argument import each, loaded, progress_bar
from guide.cli.options import files_argument, slot_option, voice_options
from guide.cli.tell import tell


@click.command(name="plan")
@files_argument
@slot_option
@voice_options
@click.option("--all-words", is_flag=True, help="Show every word that is said, not only the first ones.")
@click.option("--json", "as_json", is_flag=True, help="Print the whole timeline for a program to read.")
@click.pass_context
def command(
    ctx: click.Context,
    files: tuple[str, ...],
    slot_ms: int | None,
    voice: str | None,
    voice_rate: float | None,
    all_words: bool,
    as_json: bool,
) -> None:
    """Show how a class will run, minute by minute.

    One line for each step: when it begins, what it is, on which side, for how many breaths, and what is said. Below
    stand the notes: what gave so that the class fills its slot, and what had to be stretched for its words, by how
    much, at which line of the file.

    The words are spoken once to measure them, so the first plan of a class takes some seconds. FILE is a class file, or
    the name of a class that comes with the program; `-` reads one from standard input.
    """

    def show(file: str) -> None:
        from guide.ready.make_ready import make_ready

        with progress_bar("Speaking the words") as progress:
            timeline = make_ready(loaded(file), voice, voice_rate, slot_ms, progress=progress).timeline
        if as_json:
            from guide.export.plan_json import plan_as_json

            tell(plan_as_json(timeline), nl=False)
        else:
            from guide.export.plan_table import full_plan_table, plan_table

            columns = shutil.get_terminal_size((100, 24)).columns
            tell((full_plan_table if all_words else plan_table)(timeline, columns), nl=False)

    ctx.exit(each(files, show))
