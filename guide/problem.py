"""Places in a file, problems found there, and the one family of errors that the command line catches."""

from collections.abc import Iterable
from dataclasses import dataclass

from guide.visible import visible, visible_in_line


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A place in a file as people count: the first line is 1, the first column is 1."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{visible_in_line(self.file)}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """Something in a file that has to be mended: where, what is wrong, and what to write instead."""

    place: Place
    what: str
    fix: str = ""
    source: str = ""

    def __str__(self) -> str:
        """`file:line:column: what is wrong (what to write)`."""
        return f"{self.place}: {self.what} ({self.fix})" if self.fix else f"{self.place}: {self.what}"

    def shown(self) -> str:
        """The sentence with the line of the file under it and a caret under the column."""
        if not self.source:
            return str(self)
        before = visible(self.source[: self.place.column - 1])
        caret = "".join("\t" if char == "\t" else " " for char in before) + "^"
        return f"{self}\n    {visible(self.source)}\n    {caret}"


class GuideError(Exception):
    """Base of every error that is a fact to tell a person rather than a mistake in the program.

    `exit_code` is what the command line leaves with: 2, the file needs mending; 1, the machine could not.
    """

    exit_code = 1


class FaultyFile(GuideError):
    """A file that cannot be used as it is, with every problem found in it, sorted by place."""

    exit_code = 2

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(problems))
        super().__init__("\n".join(problem.shown() for problem in self.problems))


class UnusableChoice(GuideError):
    """Something asked for on the command line or in a file that cannot be had as asked."""

    exit_code = 2


class MachineTrouble(GuideError):
    """The machine could not: a disk is full, a program or a library is missing, a file cannot be written."""

    exit_code = 1
