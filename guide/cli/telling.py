"""How a class went, told as text, as JSON, or as a page, by every command that compares one with its plan."""

import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from guide.cli.leading import said

if TYPE_CHECKING:
    from guide.rehearse.comparison import Comparison

Function = TypeVar("Function", bound=Callable[..., Any])


def report_options(function: Function) -> Function:
    """`--json` and `--html`: other forms of the report."""
    as_json = click.option("--json", "as_json", is_flag=True, help="Print the report for a program to read.")
    html = click.option(
        "--html",
        type=click.Path(path_type=Path),
        metavar="PATH",
        help="Write the report as a page with a picture too, in place of an older one.",
    )
    return as_json(html(function))


def reported(comparison: "Comparison", as_json: bool, html: Path | None) -> None:
    """Print the report, and write it as a page where one is asked for.

    Raises:
        MachineTrouble, UnusableChoice: the page cannot be written.
    """
    if as_json:
        from guide.rehearse.comparison_json import write

        said(write(comparison).rstrip("\n"))
    else:
        from guide.rehearse.report import text

        said(text(comparison, shutil.get_terminal_size((100, 24)).columns).rstrip("\n"))
    if html is not None:
        from guide.out.whole import write_whole
        from guide.rehearse.page import page

        today = date.today()
        write_whole(html, page(comparison, f"{today.day} {today:%B %Y}"))
