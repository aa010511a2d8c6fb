"""Class files as commands are given them, and what is shown while they are made ready."""

import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guide.cli.tell import tell
from guide.problem import GuideError
from guide.visible import visible_in_line

if TYPE_CHECKING:
    from click._termui_impl import ProgressBar

    from guide.ready.load import LoadedClass

STDIN = "-"


def loaded(file: str, level: str | None = None) -> "LoadedClass":
    """What is in a file; `-` reads standard input, with paths in it taken from the current folder.

    Raises:
        UnusableChoice: there is no such file, or it cannot be read, or it has no such level.
    """
    from guide.ready.load import load, load_text

    return load_text(sys.stdin.buffer.read(), "<stdin>", Path.cwd(), level) if file == STDIN else load(file, level)


@contextmanager
def progress_bar(label: str) -> Iterator[Callable[[int, int], None] | None]:
    """A bar on standard error with the time that is left; nothing where that is not a terminal."""
    if not sys.stderr.isatty():
        yield None
        return
    bars: list[ProgressBar[int]] = []
    label = visible_in_line(label)
    with ExitStack() as closing:

        def told(done: int, total: int) -> None:
            if total and (not bars or bars[-1].length != total):
                bar = click.progressbar(
                    length=total, label=label, file=sys.stderr, fill_char="█", empty_char="·", width=24
                )
                bars.append(closing.enter_context(bar))
            if total:
                bars[-1].update(done - bars[-1].pos)

        yield told
    take_back_lines(len(bars))


def take_back_lines(count: int) -> None:
    """Wipe away so many lines of the terminal, which bars left when they were done."""
    click.echo("\033[A\033[K" * count, nl=False, err=True)


def wipe_line() -> None:
    """Wipe away the line of a bar that is under way."""
    click.echo("\r\033[K", nl=False, err=True)


def each(files: Iterable[str], work: Callable[[str], None]) -> int:
    """Do the work for every file, telling what goes wrong with one and going on with the next.

    Returns the exit code: the highest of the errors met, 0 where there were none.
    """
    code = 0
    for file in files:
        try:
            work(file)
        except GuideError as error:
            tell(str(error), err=True)
            code = max(code, error.exit_code)
    return code
