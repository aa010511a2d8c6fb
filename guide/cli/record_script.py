"""`guide record FILE --script`: the lines to read, as a file."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from guide.cli.tell import tell
from guide.problem import UnusableChoice
from guide.units import so_many

if TYPE_CHECKING:
    from guide.export.registry import Exporter
    from guide.export.replacing import Replace
    from guide.record.lines import ReadingLine
    from guide.record.reading_script import ReadingScript
    from guide.voice.takes.store import Takes


def script_kinds() -> "Mapping[str, Exporter[ReadingScript]]":
    """All kinds by the ending of the name."""
    from guide.export.registry import PdfExporter, TextExporter
    from guide.export.seal import AT_THE_END, GENERATOR
    from guide.record.reading_script import ReadingScript, script_page, script_pdf, script_text

    return {
        ".html": TextExporter("a script as a page", ReadingScript, script_page, GENERATOR),
        ".txt": TextExporter("a script as text", ReadingScript, script_text, AT_THE_END),
        ".pdf": PdfExporter("a script, PDF", ReadingScript, script_pdf),
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
    from guide.export.registry import exporter_of, write_one
    from guide.export.replacing import check_may_replace
    from guide.record.reading_script import ReadingScript

    kind = exporter_of(path, script_kinds())
    check_may_replace(path, kind.whose, inputs, replace)
    wanted = [(number, line) for number, line in enumerate(lines, 1) if takes is None or not takes.latest(line.words)]
    if not wanted:
        raise UnusableChoice(f"{path}: every line of {title} has a take (leave out --missing for a script of all)")
    write_one(ReadingScript(title, tuple(wanted)), kind, path, replace, inputs)
    tell(f"{path}: {so_many(len(wanted), 'line')} to read.")
