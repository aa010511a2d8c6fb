"""What was done in a class, offered to be written back into its file: shown first, and the old file kept."""

import os
import shutil
import textwrap
from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import count, groupby
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guide.cli.class_argument import STDIN
from guide.cli.tell import tell
from guide.problem import UnusableChoice
from guide.sequence import source
from guide.sequence.shipped_folder import PACKAGE
from guide.units import seconds_text, whole_ms
from guide.visible import visible

if TYPE_CHECKING:
    from guide.plan.timeline import Timeline
    from guide.review.comparison import Comparison
    from guide.review.write_back.edited_file import EditedFile, LengthChange
    from guide.review.write_back.taught_hold import Done, Left, SidesKept
    from guide.sequence.steps import Steps

#: Of the holds that stay for one reason, so many are named.
MOST_NAMED = 6

#: Whether what a question asks is to be done.
Answer = Callable[[str], bool]


def asked(question: str) -> bool:
    """What the person at the keyboard says; nothing at all is no, and so is nobody."""
    try:
        return click.confirm(visible(question), default=False)
    except click.Abort:
        tell()
        return False


def agreed(question: str) -> bool:
    """Yes to everything, as `--yes` says."""
    return True


def offer(
    file: str,
    raw: bytes,
    steps: "Steps",
    timeline: "Timeline",
    comparisons: "Sequence[Comparison]",
    sides: "SidesKept",
    answer: Answer,
) -> None:
    """Show what was done beside what stands in the class file, and write it there if the answer is yes.

    `raw` are the bytes that `steps` were read from, `timeline` is planned from them, `comparisons` made with both: one
    of each performance.

    Raises:
        UnusableChoice: the class came from standard input, cannot be changed so, or was changed meanwhile.
        MachineTrouble: the file cannot be written.
    """
    from guide.review.write_back.diff import diff
    from guide.review.write_back.done_lengths import what_to_keep
    from guide.review.write_back.edited_file import write_lengths

    check_has_file(file)
    path = Path(file)
    made = write_lengths(raw, file, path.parent, what_to_keep(steps, timeline, comparisons, sides, file))
    for line in told(file, made):
        tell(line)
    if not made.changes:
        return
    tell(f"\n{diff(raw, made.after, file)}")
    if not answer(f"Write this into {file}?"):
        tell("Nothing was written.")
        return
    old = saved(path, raw, made.after)
    tell(f"Written into {file}. The old one is {old}.")


def check_has_file(file: str) -> None:
    """Raise UnusableChoice for a class from standard input or out of the installed program; asked before a class."""
    if file == STDIN:
        raise UnusableChoice(f"{STDIN}: a class from standard input has no file to be written into (name its file)")
    if Path(file).resolve().is_relative_to(PACKAGE):
        copy = f"guide new --from {Path(file).stem}"
        raise UnusableChoice(f"{file}: this class comes with the program and stays as it is (make a copy: {copy})")


#: Longer lines are hard to read.
MOST_COLUMNS = 98


def told(file: str, made: "EditedFile") -> Iterator[str]:
    """What changes and what stays, in lines for a person."""
    if made.changes:
        yield f"What was done otherwise than {file} has it:"
        yield from _changes(made.changes)
    else:
        yield f"There is nothing to change in {file}: all that is sure was done as it is written."
    if made.left:
        yield "Left as they are:"
        in_order = sorted(made.left, key=lambda one: (one.why.value, one.place))
        for why, group in groupby(in_order, key=lambda one: one.why.value):
            yield from _filled(f"  {why}: {_named(file, list(group))}", "    ")


def _changes(changes: "Sequence[LengthChange]") -> Iterator[str]:
    titles = max(len(change.title) for change in changes)
    for change in changes:
        before = change.before or "not written"
        said = f"  line {change.line:<4} {change.title:<{titles}}  {before} → {change.after}  ({_done(change)})"
        yield from _filled(said, " " * 12)


def _filled(text: str, later: str) -> list[str]:
    """The text in lines that the terminal has room for, broken at spaces; `later` stands before all but the first."""
    columns = min(shutil.get_terminal_size((MOST_COLUMNS, 24)).columns, MOST_COLUMNS)
    return textwrap.wrap(text, columns, subsequent_indent=later, break_long_words=False, break_on_hyphens=False)


def _done(change: "LengthChange") -> str:
    """`done 6 breaths`, `right 5.5 breaths, left 7 breaths`, `usually 6 breaths, in 3 performances`."""
    show = _breaths if "breath" in change.after else _seconds
    sides = {
        side: [one for one in change.done if one.side is side]
        for side in dict.fromkeys(one.side for one in change.done)
    }
    often = sorted({one.performances for one in change.done})
    usually = "usually " if often[-1] > 1 else ""
    seen = f", in {'to '.join(f'{count} ' for count in often[:: len(often) - 1 or 1])}performances" if usually else ""
    if len(sides) == 1:
        return f"{usually or 'done '}{show(change.done)}{seen}"
    told = ", ".join(f"{side.value if side else 'no side'} {show(done)}" for side, done in sides.items())
    return f"{usually}{told}{seen}"


def _breaths(done: "Sequence[Done]") -> str:
    mean = sum((one.held_ms / one.period_ms for one in done), Fraction(0)) / len(done)
    shown = f"{float(mean):.1f}".removesuffix(".0")
    return f"{shown} breath" if shown == "1" else f"{shown} breaths"


def _seconds(done: "Sequence[Done]") -> str:
    return seconds_text(max(0, whole_ms(Fraction(sum(one.held_ms for one in done), len(done)))))


def _named(file: str, left: "Sequence[Left]") -> str:
    shown = [_where(file, one) for one in left[:MOST_NAMED]]
    more = len(left) - len(shown)
    return ", ".join(shown) + (f" and {more} more" if more else "")


def _where(file: str, left: "Left") -> str:
    line = f"line {left.place.line}" if left.place.file == file else f"{left.place.file}:{left.place.line}"
    return f"{left.title} ({line}, {left.side.value})" if left.side else f"{left.title} ({line})"


def saved(path: Path, before: bytes, after: bytes) -> Path:
    """Put `after` in the place of `before`, whole or not at all, and keep the old file beside it; says where.

    Raises:
        UnusableChoice: the file holds something else by now.
        MachineTrouble: it cannot be written.
    """
    from guide.export.atomic_write import atomic_file, trouble_writing

    _check_same(path, before)
    place = Path(os.path.realpath(path))
    try:
        old = _kept_beside(place, before)
    except OSError as error:
        raise trouble_writing(path, error) from error
    try:
        with atomic_file(path) as part:
            part.write_bytes(after)
            _check_same(path, before)
    except BaseException:
        old.unlink(missing_ok=True)
        raise
    return old


def _check_same(path: Path, before: bytes) -> None:
    if source.from_file(path) != before:
        raise UnusableChoice(f"{path}: somebody has changed it meanwhile, so nothing was written (begin again)")


def _kept_beside(place: Path, before: bytes) -> Path:
    """The old bytes in a new file beside the old one, with its permissions."""
    for old in _names(place):
        try:
            with old.open("xb") as target:
                target.write(before)
        except FileExistsError:
            continue
        shutil.copymode(place, old)
        return old
    raise AssertionError("there is always another name")


def _names(place: Path) -> Iterable[Path]:
    """`NAME.before`, and after it `NAME.before-2` and so on."""
    yield place.with_name(f"{place.name}.before")
    for number in count(2):
        yield place.with_name(f"{place.name}.before-{number}")
