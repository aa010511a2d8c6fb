"""How a class went, told by every command that compares one with its plan: as text, as JSON, as a page, and kept."""

import shutil
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from guide.cli.class_argument import STDIN
from guide.cli.options import force_option
from guide.cli.tell import tell
from guide.problem import UnusableChoice
from guide.units import so_many

if TYPE_CHECKING:
    from guide.export.registry import Exporter
    from guide.export.replacing import Replace
    from guide.plan.advice.view import ClassView
    from guide.plan.timeline import Timeline
    from guide.review.captions.transcript import Transcript
    from guide.review.comparison import Comparison
    from guide.sequence.steps import Steps

Function = TypeVar("Function", bound=Callable[..., Any])


def report_options(function: Function) -> Function:
    """`--json`, `--html` and `--force`: other forms of the report."""
    as_json = click.option("--json", "as_json", is_flag=True, help="Print the report for a program to read.")
    html = click.option(
        "--html",
        type=click.Path(path_type=Path),
        metavar="PATH",
        help="Write the report as a page with a picture too, in place of an older one.",
    )
    return as_json(html(force_option(function)))


def reported(
    comparison: "Comparison",
    view: "ClassView",
    as_json: bool,
    html: Path | None,
    replacing: "Replace",
    say: Callable[[str], None],
) -> None:
    """Tell the report, and write it as a page where one is asked for, headed by the class as planned.

    Raises:
        MachineTrouble, UnusableChoice: the page cannot be written.
    """
    if as_json:
        from guide.review.comparison_json import comparison_as_json

        say(comparison_as_json(comparison).rstrip("\n"))
    else:
        from guide.review.text_report import text_report

        say(text_report(comparison, shutil.get_terminal_size((100, 24)).columns).rstrip("\n"))
    if html is not None:
        from guide.export.registry import page_headed_by, write_one

        write_one(comparison, page_headed_by(view), html, replacing)


def keep_options(function: Function) -> Function:
    """`--keep`, `--as-taught` and `--yes`: what was done, written back into the class file."""
    keep = click.option(
        "--keep",
        is_flag=True,
        help="Offer to write the holds as they were done into FILE: shown first, and the old file kept.",
    )
    as_taught = click.option(
        "--as-taught", is_flag=True, help="With --keep: each side as it was done, not both sides alike."
    )
    yes = click.option("--yes", is_flag=True, help="With --keep: write without asking.")
    return keep(as_taught(yes(function)))


def check_page(html: Path | None, inputs: Mapping[Path, str], replacing: "Replace") -> None:
    """Refuse, before a class is held, a page that could not be written after it; `inputs` are what is read, and why.

    Raises:
        UnusableChoice: the folder is not there, or there is a file that stays.
    """
    from guide.export.registry import PAGE

    if html is not None:
        _check_path(html, PAGE, inputs, replacing)


def check_chapters(path: Path | None, inputs: Mapping[Path, str], replacing: "Replace") -> None:
    """Refuse chapters that could not be written, or have no such ending. Raises UnusableChoice."""
    from guide.export.chaptered_film import FilmExporter, check_has_recording
    from guide.export.registry import TAUGHT_CHAPTERS, exporter_of

    if path is not None:
        exporter = exporter_of(path, TAUGHT_CHAPTERS)
        _check_path(path, exporter, inputs, replacing)
        if isinstance(exporter, FilmExporter):
            check_has_recording(path, inputs)


def check_captions(
    path: Path | None, recordings: Sequence[Path], hear: bool, inputs: Mapping[Path, str], replacing: "Replace"
) -> None:
    """Refuse captions that could not be written, or have no such ending, or come of no words. Raises UnusableChoice."""
    from guide.export.registry import TAUGHT_CAPTIONS, exporter_of
    from guide.review.recordings import words_among

    if path is not None:
        _check_path(path, exporter_of(path, TAUGHT_CAPTIONS), inputs, replacing)
        if not hear:
            words_among(recordings)


def captioned(
    path: Path, timeline: "Timeline", comparison: "Comparison", transcript: "Transcript", replacing: "Replace"
) -> str:
    """Write what was said as captions with its names mended; what there is to say of it.

    Raises:
        MachineTrouble, UnusableChoice: they cannot be written, or are of another class.
    """
    from guide.export.captions.taught import TaughtWords
    from guide.export.registry import TAUGHT_CAPTIONS, exporter_of, write_one
    from guide.review.mended_words import mended

    if comparison.is_another:
        raise UnusableChoice(f"{comparison.recording}: it seems to be of another class (no captions)")
    found = mended(timeline, transcript)
    write_one(TaughtWords(comparison.title, found.transcript), exporter_of(path, TAUGHT_CAPTIONS), path, replacing)
    return f"{path}: captions with {so_many(found.places, 'word')} mended."


def _check_path(path: Path, exporter: "Exporter[Any]", inputs: Mapping[Path, str], replacing: "Replace") -> None:
    from guide.export.atomic_write import no_folder
    from guide.export.replacing import check_may_replace

    if not path.absolute().parent.is_dir():
        raise no_folder(path)
    check_may_replace(path, exporter.whose, inputs, replacing)


def check_choices(keep: bool, as_taught: bool, yes: bool) -> None:
    """Refuse, before a class is held, what goes with --keep where that is not asked for.

    Raises:
        UnusableChoice: naming it.
    """
    if not keep and (as_taught or yes):
        raise UnusableChoice(f"{'--as-taught' if as_taught else '--yes'} goes with --keep (add it)")


def class_bytes(file: str) -> bytes:
    """What a class file holds before it is read, to be changed later; nothing for standard input."""
    from guide.sequence.shipped_folder import class_from_file

    return b"" if file == STDIN else class_from_file(Path(file))


def offered(
    file: str,
    raw: bytes,
    steps: "Steps",
    timeline: "Timeline",
    comparisons: "Sequence[Comparison]",
    as_taught: bool,
    yes: bool,
) -> None:
    """Offer to write what was done into the class file, which held `raw` when it was read. Raises what `offer` does."""
    from guide.cli.write_back import agreed, asked, offer
    from guide.review.write_back.taught_hold import SidesKept

    sides = SidesKept.AS_TAUGHT if as_taught else SidesKept.EQUAL
    tell()
    offer(file, raw, steps, timeline, comparisons, sides, agreed if yes else asked)
