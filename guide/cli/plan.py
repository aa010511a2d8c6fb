"""`guide plan`: the class as it will run, as a table for a teacher or as JSON for a program."""

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guide.cli.class_argument import STDIN, each, loaded, progress_bar
from guide.cli.options import files_argument, level_option, slot_option, voice_options, words_option
from guide.cli.tell import tell
from guide.problem import GuideError, UnusableChoice

if TYPE_CHECKING:
    from guide.plan.thinning import WordsKept


@click.command(name="plan")
@files_argument
@slot_option
@level_option
@words_option
@voice_options
@click.option("--all-words", is_flag=True, help="Show every word that is said, not only the first ones.")
@click.option("--json", "as_json", is_flag=True, help="Print the whole timeline for a program to read.")
@click.option("--watch", "watches", is_flag=True, help="Draw it again each time that the file is saved, until Ctrl-C.")
@click.pass_context
def command(
    ctx: click.Context,
    files: tuple[str, ...],
    slot_ms: int | None,
    level: str | None,
    words_kept: "WordsKept",
    voice: str | None,
    voice_rate: float | None,
    all_words: bool,
    as_json: bool,
    watches: bool,
) -> None:
    """Show how a class will run, minute by minute.

    One line for each step: when it begins, what it is, on which side, for how many breaths, and what is said. Below
    stand the notes: what gave so that the class fills its slot, and what had to be stretched for its words, by how
    much, at which line of the file.

    The words are spoken once to measure them, so the first plan of a class takes some seconds. FILE is a class file, or
    the name of a class that comes with the program; `-` reads one from standard input.
    """

    def show(file: str) -> None:
        from guide.ready.fewer_words import with_words
        from guide.ready.make_ready import make_ready

        with progress_bar("Speaking the words") as progress:
            ready = make_ready(loaded(file, level), voice, voice_rate, slot_ms, progress=progress)
        timeline = with_words(ready, words_kept).timeline
        if as_json:
            from guide.export.plan_json import plan_as_json

            tell(plan_as_json(timeline), nl=False)
        else:
            from guide.export.plan_table import full_plan_table, plan_table

            columns = shutil.get_terminal_size((100, 24)).columns
            tell((full_plan_table if all_words else plan_table)(timeline, columns), nl=False)

    if watches:
        _watch(files, show)
        return
    ctx.exit(each(files, show))


def _watch(files: tuple[str, ...], show: Callable[[str], None]) -> None:
    """Draw the plans again and again; what is wrong with a file is shown in place of its plan.

    Raises:
        UnusableChoice: standard input is to be watched.
    """
    from guide.cli.plan_watch import watch

    if STDIN in files:
        raise UnusableChoice("a class that is watched needs a file of its own (standard input is read once)")

    def draw() -> None:
        click.clear()
        each(files, show)

    try:
        watch(draw, lambda: [path for file in files for path in _read_from(file)])
    except KeyboardInterrupt:
        tell()


def _read_from(file: str) -> list[Path]:
    """The files that a class is read from; itself alone where it cannot be read now."""
    from guide.ready.load import load

    try:
        return list(load(file).made_from())
    except GuideError:
        return [Path(file)]
