"""From the bytes of a file to checked text: the right encoding, one kind of line end, no invisible characters."""

import re
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from guide.problem import Place, Problem, UnusableChoice
from guide.visible import UNSEEN

#: A two-hour class written out in full has about 60 kB. The pure-Python YAML scanner takes a second for some 300 kB.
MOST_BYTES = 192 * 1024

#: A file with more problems than this is no sequence file; the rest would not be read by anybody.
MOST_PROBLEMS = 100

#: Text has no zeros; a picture, a sound or a document has more of them than anybody types by mistake.
MOST_ZEROS = 8

#: Lines longer than this are not shown with a caret: the caret would be lost.
LONGEST_SHOWN = 300

#: Spaces that look like a space and are not one to YAML, and line ends that only some programs see as such.
_SPACES = str.maketrans(dict.fromkeys("\xa0\x85\u1680\u2028\u2029\u202f\u205f\u3000", " "))
_SPACES.update(dict.fromkeys(range(0x2000, 0x200B), " "))

#: What is not seen, and is neither such a space nor a line end.
INVISIBLE = re.compile(f"(?![\r\x85\u2028\u2029])[{UNSEEN}]")

_WIDE_STARTS = {b"\xff\xfe": "UTF-16", b"\xfe\xff": "UTF-16"}


@dataclass(frozen=True, slots=True)
class Source:
    """A file as it is read: its name in messages, its lines as written, and the same lines made safe for YAML.

    Both have the same columns: what is replaced is replaced by as many characters.
    """

    name: str
    lines: tuple[str, ...]
    clean: tuple[str, ...]

    def place(self, line: int, column: int) -> Place:
        """A place in this file; lines and columns count from 1."""
        return Place(self.name, line, column)

    def line(self, number: int) -> str:
        """The line as written, or nothing past the end."""
        return self.lines[number - 1] if 0 < number <= len(self.lines) else ""

    def problem(self, line: int, column: int, what: str, fix: str = "") -> Problem:
        """A problem at `line` and `column`, with its line for the caret where that helps."""
        shown = self.line(line)
        if column > LONGEST_SHOWN:
            shown = ""
        elif len(shown) > LONGEST_SHOWN:
            shown = shown[:LONGEST_SHOWN] + "…"
        return Problem(self.place(line, column), what, fix, shown)


def from_file(path: Path) -> bytes:
    """The bytes of a file; of a file that is far too long only the beginning.

    Raises:
        UnusableChoice: when the file is not there, is a folder, or may not be read.
    """
    try:
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except FileNotFoundError as error:
        raise UnusableChoice(f"{path}: there is no such file") from error
    except IsADirectoryError as error:
        raise UnusableChoice(f"{path}: this is a folder, not a file") from error
    except PermissionError as error:
        raise UnusableChoice(f"{path}: this file may not be read (its permissions forbid it)") from error
    except (OSError, ValueError) as error:
        raise UnusableChoice(f"{path}: this file cannot be read ({_reason(error)})") from error


def _reason(error: Exception) -> str:
    return (error.strerror if isinstance(error, OSError) else None) or str(error)


def check(raw: bytes | str, name: str) -> tuple[Source, list[Problem]]:
    """The text of a file, ready for YAML, and what is wrong with its bytes and characters.

    A file that is too long, in another encoding or no text comes back without lines.
    """
    empty = Source(name, (), ())
    if len(raw) > MOST_BYTES:
        limit = f"{MOST_BYTES // 1024} kB"
        return empty, [empty.problem(1, 1, f"the file is longer than {limit}", "move parts into block files")]
    if isinstance(raw, bytes):
        wide = _WIDE_STARTS.get(raw[:2])
        if wide:
            return empty, [empty.problem(1, 1, f"the file is saved as {wide}", "save it as UTF-8")]
        if raw.count(b"\0") > MOST_ZEROS:
            return empty, [empty.problem(1, 1, "this is not a text file", "name the one that the class is written in")]
        return _decoded(raw, name)
    return _checked(raw, name)


def _decoded(raw: bytes, name: str) -> tuple[Source, list[Problem]]:
    try:
        return _checked(raw.decode("utf-8"), name)
    except UnicodeDecodeError:
        source, problems = _checked(raw.decode("utf-8", errors="replace"), name)
    for number, line in enumerate(_one_line_end(raw.removeprefix(b"\xef\xbb\xbf")).split(b"\n"), start=1):
        try:
            line.decode("utf-8")
        except UnicodeDecodeError as error:
            column = len(line[: error.start].decode("utf-8")) + 1
            what = f"this line is not UTF-8: the byte 0x{line[error.start]:02X} is no letter in it"
            problems.append(source.problem(number, column, what, "save the file as UTF-8"))
            if len(problems) > MOST_PROBLEMS:
                break
    return source, problems


def _one_line_end(raw: bytes) -> bytes:
    return raw.replace(b"\r\n", b"\n").replace(b"\r", b"\n")


def _checked(text: str, name: str) -> tuple[Source, list[Problem]]:
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    lines = tuple(text.split("\n"))
    clean = INVISIBLE.sub(" ", text.translate(_SPACES)).split("\n")
    source = Source(name, lines, tuple(clean))
    problems = (
        source.problem(
            number, found.start() + 1, f"there is an invisible character here (U+{ord(found[0]):04X})", "delete it"
        )
        for number, line in enumerate(lines, start=1)
        for found in INVISIBLE.finditer(line)
    )
    return source, list(islice(problems, MOST_PROBLEMS + 1))
