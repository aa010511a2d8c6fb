"""`guide check`: every problem of the files given, with the line shown and what to write."""

import shutil

import click

from guide.cli.options import files_argument
from guide.cli.prepare import each, found_problems
from guide.problem import FaultyFile
from guide.sequence.caution import CAUTION


@click.command(name="check")
@files_argument
@click.pass_context
def command(ctx: click.Context, files: tuple[str, ...]) -> None:
    """Find what is wrong in class files, all of it at once.

    Each problem is shown at its place, with the line and what to write instead. FILE is a class file; `-` reads one
    from standard input. Many files can be checked at once.
    """
    code = each(files, _check)
    click.echo(click.wrap_text(CAUTION, width=min(100, shutil.get_terminal_size().columns)))
    ctx.exit(code)


def _check(file: str) -> None:
    problems = found_problems(file)
    if problems:
        raise FaultyFile(problems)
    click.echo(f"{file}: no problems found")
