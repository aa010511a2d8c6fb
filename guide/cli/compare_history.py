"""`guide compare --history`: several performances of one class beside each other, and her usual lengths kept."""

import shutil
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from guide.cli.log import logs
from guide.cli.tell import tell
from guide.problem import GuideError, UnusableChoice

if TYPE_CHECKING:
    from guide.export.replacing import Replace
    from guide.review.comparison import Comparison
    from guide.review.history.performances import History

#: The class by one recording, beside its plan.
Compared = Callable[[Path], "Comparison"]


def check_history(chapters: Path | None, captions: Path | None, hear: bool, model: Path | None) -> None:
    """Refuse what is of one performance. Raises UnusableChoice."""
    given = {"--chapters": chapters, "--captions": captions, "--hear": hear or None, "--model": model}
    for name in (name for name, value in given.items() if value is not None):
        fix = "give what was heard, NAME.heard.vtt" if name in ("--hear", "--model") else "leave out --history"
        raise UnusableChoice(f"{name} goes with one performance, and --history shows several ({fix})")


def history_of(file: str, recordings: Sequence[Path], compared: Compared) -> "History":
    """Each recording as one performance, in the order given; without any, each class that was held here from this file.

    Raises:
        UnusableChoice: fewer than two tell of this class, or one that was named cannot be used.
        MachineTrouble: one cannot be read, or what reads it is not installed.
    """
    from guide.review.history.performances import Performance, beside_each_other
    from guide.review.recordings import held_at

    performances = [Performance(compared(path), held_at(path)) for path in recordings]
    for path in () if recordings else logs():
        try:
            if _is_of(path, file):
                performances.append(Performance(compared(path), held_at(path)))
        except GuideError as error:
            tell(f"Left aside: {error}", err=True)
    if not performances:
        what = "no class was led or rehearsed here from this file"
        raise UnusableChoice(f"{file}: {what} (name recordings of it behind it)")
    return beside_each_other(performances if recordings else sorted(performances, key=lambda one: one.on))


def _is_of(log: Path, file: str) -> bool:
    """Whether a record is of a class from this file. Raises MachineTrouble where it cannot be read."""
    from guide.live.record import Opened, read

    whole = str(Path(file).resolve())
    return any(isinstance(event, Opened) and event.file == whole for event in read(log))


def told_history(history: "History", as_json: bool, html: Path | None, replacing: "Replace") -> None:
    """Tell what performances have in common, and write it as a page where one is asked for.

    Raises:
        MachineTrouble, UnusableChoice: the page cannot be written.
    """
    if as_json:
        from guide.review.history.history_json import history_as_json

        tell(history_as_json(history).rstrip("\n"))
    else:
        from guide.review.history.history_text import history_text

        tell(history_text(history, shutil.get_terminal_size((100, 24)).columns).rstrip("\n"))
    if html is not None:
        from guide.export.registry import HISTORY_PAGE, write_one

        write_one(history, HISTORY_PAGE, html, replacing)
