"""`guide record FILE --script`: the lines to read, as a file."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from guide.cli.tell import tell
from guide.problem import UnusableChoice
from guide.units import so_many

if TYPE_CHECKING:
    from guide.export.replacing import Replace
    from guide.record.lines import ReadingLine
    from guide.record.reading_script import ReadingScript
    from guide.voice.takes.store import Takes


@dataclass(frozen=True, slots=True)
class ScriptKind:
    """One kind of script: the bytes of a file, and why a file is not the program's own."""

    made: "Callable[[ReadingScript], bytes]"
    whose: Callable[[Path], str]


def script_kinds() -> Mapping[str, ScriptKind]:
    """All kinds by the ending of the name."""
    from guide.export.seal import AT_THE_END, GENERATOR, sealed_pdf, whose_pdf
    from guide.record.reading_script import script_page, script_pdf, script_text

    return {
        ".html": ScriptKind(lambda script: GENERATOR.put(script_page(script)).encode(), GENERATOR.whose),
        ".txt": ScriptKind(lambda script: AT_THE_END.put(script_text(script)).encode(), AT_THE_END.whose),
        ".pdf": ScriptKind(lambda script: sealed_pdf(script_pdf(script)), whose_pdf),
    }


def write_script(
    path: Path,
    title: str,
    lines: "Sequence[ReadingLine]",
    inputs: Mapping[Path, str],
    replace: "Replace",
    takes: "Takes | None" = None,
) -> None:
    """Write the lines to read as a script, those alone of which there is no take where `takes` are given.

    Raises:
        UnusableChoice: no script has that ending, there is a file that stays, or there is nothing to read.
        MachineTrouble: it cannot be written.
    """
    from guide.export.atomic_write import atomic_file
    from guide.export.replacing import check_may_replace
    from guide.record.reading_script import ReadingScript

    kinds = script_kinds()
    kind = kinds.get(path.suffix.lower())
    if kind is None:
        raise UnusableChoice(f"{path}: no script ends in {path.suffix or 'nothing'} (use one of {', '.join(kinds)})")
    check_may_replace(path, kind.whose, inputs, replace)
    wanted = [(number, line) for number, line in enumerate(lines, 1) if takes is None or not takes.latest(line.words)]
    if not wanted:
        raise UnusableChoice(f"{path}: every line of {title} has a take (leave out --missing for a script of all)")
    made = kind.made(ReadingScript(title, tuple(wanted)))
    with atomic_file(path) as part:
        part.write_bytes(made)
        check_may_replace(path, kind.whose, inputs, replace)
    tell(f"{path}: {so_many(len(wanted), 'line')} to read.")
