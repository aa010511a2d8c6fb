"""`guide poses`: the pose library, searched and shown."""

import shutil
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import click

from guide.cli.options import force_option
from guide.cli.tell import tell
from guide.problem import UnusableChoice
from guide.sequence.caution import caution
from guide.sequence.poses.library import Library
from guide.sequence.poses.names import key_of
from guide.sequence.poses.pose import ALSO_CALLED, Base, Condition, Does, Pose
from guide.sequence.poses.pose_reader import BASES, CONDITIONS, DOES
from guide.sequence.poses.shipped_library import shipped
from guide.units import so_many
from guide.visible import visible

if TYPE_CHECKING:
    from guide.export.replacing import Replace

T = TypeVar("T")

#: So many other poses are named below a pose that is shown.
MOST_OTHERS = 6


def _one_of(values: Mapping[str, T]) -> Callable[[click.Context, click.Parameter, str | None], T | None]:
    """An option that takes one of these names, however it is spelt."""
    known = {key_of(name): value for name, value in values.items()}

    def chosen(ctx: click.Context, param: click.Parameter, given: str | None) -> T | None:
        if given is None or key_of(given) in known:
            return None if given is None else known[key_of(given)]
        raise click.BadParameter(f"“{given}” is none of these: {', '.join(values)}", ctx, param)

    return chosen


def _some_of(values: Mapping[str, T]) -> Callable[[click.Context, click.Parameter, tuple[str, ...]], tuple[T, ...]]:
    """An option that takes one of these names, as often as it is given."""
    one_of = _one_of(values)

    def chosen(ctx: click.Context, param: click.Parameter, given: tuple[str, ...]) -> tuple[T, ...]:
        return tuple(value for name in given if (value := one_of(ctx, param, name)) is not None)

    return chosen


@click.command(name="poses")
@click.argument("words", nargs=-1, metavar="[WORDS]...")
@click.option(
    "--for",
    "conditions",
    multiple=True,
    callback=_some_of(CONDITIONS | ALSO_CALLED),
    metavar="CONDITION",
    help=f"Only poses with a caution for it, with the caution: {', '.join(CONDITIONS)}.",
)
@click.option(
    "--does",
    multiple=True,
    callback=_some_of(DOES),
    metavar="WHAT",
    help=f"Only poses that do this: {', '.join(DOES)}.",
)
@click.option(
    "--base",
    callback=_one_of(BASES),
    metavar="BASE",
    help=f"Only poses with this base: {', '.join(BASES)}.",
)
@click.option(
    "--figure",
    "picture",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write the figure of the pose to FILE, as .svg or .png.",
)
@click.option("--dark", is_flag=True, help="Draw the figure light on dark.")
@click.option(
    "--sheet",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write the figures of all poses that are found, or of the whole library, to FILE, a .pdf.",
)
@force_option
def command(
    words: tuple[str, ...],
    conditions: tuple[Condition, ...],
    does: tuple[Does, ...],
    base: Base | None,
    picture: Path | None,
    dark: bool,
    sheet: Path | None,
    replacing: "Replace",
) -> None:
    """Search the pose library, and show what it knows of a pose.

    WORDS are looked for in the English names and in the Sanskrit, with or without its accents. When they name one
    pose, it is shown in full, with its cues and its cautions, or its figure is drawn. `--for` and `--does` may be
    given more than once: a pose then has a caution for any of the conditions, and does all that is asked. A class file
    may change any of this.
    """
    columns = shutil.get_terminal_size((100, 24)).columns
    library = shipped()
    found = library.search(words, conditions, does, base)
    named = _named(library, words, found) if not (conditions or does or base) else None
    if picture is not None:
        _write_figure(named, picture, dark)
        return
    if sheet is not None:
        _write_sheet(found, sheet, replacing)
        return
    if dark:
        raise UnusableChoice("`--dark` is for a figure (write `--figure FILE` as well)")
    if named is not None:
        _show(named, [pose for pose in found if pose is not named], columns)
    elif not found:
        tell(_nothing(library, words))
    elif conditions:
        _show_cautions(found, conditions, columns)
    else:
        _list(found, columns)


def _named(library: Library, words: tuple[str, ...], found: tuple[Pose, ...]) -> Pose | None:
    """The one pose that the words name, if they do."""
    if not words:
        return None
    return library.find(" ".join(words)) or (found[0] if len(found) == 1 else None)


def _write_sheet(found: tuple[Pose, ...], target: Path, replacing: "Replace") -> None:
    """Draw the figures of poses on contact sheets."""
    from guide.export.registry import CONTACT_SHEETS, write_one
    from guide.export.sheet.contact import contact_sheets
    from guide.figures.shipped_figures import shipped_figures

    if target.suffix.lower() != ".pdf":
        raise UnusableChoice(f"{visible(str(target))}: contact sheets are a .pdf (end the name so)")
    if not found:
        raise UnusableChoice("no pose is found to draw (search for less)")
    sheets = contact_sheets(found, shipped_figures())
    write_one(sheets, CONTACT_SHEETS, target, replacing)
    tell(f"{target}: {so_many(len(sheets.drawings), 'figure')} on {so_many(len(sheets.pages), 'page')}")


def _write_figure(pose: Pose | None, target: Path, dark: bool) -> None:
    """Draw the figure of the one pose that is meant."""
    from guide.export.atomic_write import write_bytes_atomically
    from guide.figures.drawing import draw
    from guide.figures.shipped_figures import shipped_figures
    from guide.figures.svg import Paper, png, svg

    if pose is None:
        raise UnusableChoice("a figure is of one pose (name it: `guide poses triangle --figure triangle.svg`)")
    ending = target.suffix.lower()
    if ending not in (".svg", ".png"):
        raise UnusableChoice(f"{visible(str(target))}: a figure is an .svg or a .png (end the name so)")
    figure = shipped_figures().get(pose.name)
    if figure is None:
        raise UnusableChoice(f"`{pose.name}` has no figure yet")
    picture = svg(draw(figure), Paper.DARK if dark else Paper.LIGHT, pose.name)
    write_bytes_atomically(target, picture.encode() if ending == ".svg" else png(picture))


def _show(pose: Pose, others: list[Pose], columns: int) -> None:
    from guide.export.poses_text import pose_page

    tell(pose_page(pose, columns))
    if others:
        more = ", ".join(other.name for other in others[:MOST_OTHERS]) + (", …" if len(others) > MOST_OTHERS else "")
        tell(_filled(f"Other poses with these words in their names: {more}", columns) + "\n")
    tell(_filled(caution(()), columns))


def _show_cautions(found: tuple[Pose, ...], conditions: tuple[Condition, ...], columns: int) -> None:
    from guide.export.poses_text import cautions_table

    tell(cautions_table(found, conditions, columns))
    tell(so_many(len(found), "pose") + "\n")
    tell(_filled(caution(conditions), columns))


def _list(found: tuple[Pose, ...], columns: int) -> None:
    from guide.export.poses_text import poses_table

    tell(poses_table(found, columns), nl=False)
    tell(f"\n{so_many(len(found), 'pose')}; `guide poses NAME` shows one in full")


def _nothing(library: Library, words: tuple[str, ...]) -> str:
    if not words:
        return "No pose in the library is like that."
    from guide.sequence.block_files import shipped_blocks

    written = " ".join(words)
    block = next((name for name in shipped_blocks() if name.casefold() == written.casefold()), None)
    if block is not None:
        return f"“{block}” is a block of steps, and not a pose (write `block: {block}` in a class)."
    near = library.nearest(written)
    what = f"No pose in the library is found by “{written}”"
    return f"{what} (did you mean “guide poses {near}”?)" if near else f"{what} (`guide poses` lists them all)"


def _filled(text: str, columns: int) -> str:
    return click.wrap_text(text, width=min(100, columns))
