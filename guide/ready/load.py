"""A class file as it is: the class and its steps, and everything that is wrong with it."""

from dataclasses import dataclass, replace
from linecache import getline
from pathlib import Path

from guide.problem import FaultyFile, Problem, UnusableChoice
from guide.ready.own_sounds import faulty_sounds
from guide.sequence.expand import unroll
from guide.sequence.model import ClassFile
from guide.sequence.reader import look
from guide.sequence.shipped_folder import class_from_file
from guide.sequence.sound_names import PALETTE_NAMES
from guide.sequence.steps import Steps


@dataclass(frozen=True, slots=True)
class LoadedClass:
    """What a file holds: the class and its steps, None where it holds blocks alone, and every problem found.

    With problems the steps are those that could be made. Paths in the class are taken from `folder`.
    """

    name: str
    folder: Path
    class_file: ClassFile | None
    steps: Steps | None
    problems: tuple[Problem, ...]

    def whole(self) -> tuple[ClassFile, Steps]:
        """The class and its steps.

        Raises:
            FaultyFile: with every problem, where there are any.
            UnusableChoice: the file holds blocks and no class.
        """
        if self.problems:
            raise FaultyFile(self.problems)
        if self.class_file is None or self.steps is None:
            what = "holds blocks and no class (name a class file; blocks are used from one)"
            raise UnusableChoice(f"{self.name}: {what}")
        return self.class_file, self.steps

    def made_from(self) -> dict[Path, str]:
        """The files that the class is read from, each with what it is; those that it does not name are left out."""
        if self.class_file is None or self.steps is None:
            return {Path(self.name): "the class file itself"}
        sounds = {*self.class_file.sounds.values(), *self.steps.sound_names()} - PALETTE_NAMES
        return {
            Path(self.name): "the class file itself",
            **dict.fromkeys(map(Path, self.class_file.block_files), "a block file of the class"),
            **dict.fromkeys((self.folder / name for name in sounds), "a sound that the class rings"),
        }


def load(path: str | Path) -> LoadedClass:
    """What is in a class file or a block file.

    Raises:
        UnusableChoice: there is no such file, or it cannot be read.
    """
    return load_text(class_from_file(Path(path)), str(path), Path(path).parent)


def load_text(text: str | bytes, name: str, folder: Path) -> LoadedClass:
    """The same of text that lies in no file; `name` stands for the file in messages, and paths start at `folder`."""
    made = look(text, name, folder)
    if made.class_file is None:
        return LoadedClass(name, folder, None, None, made.problems)
    expanded = unroll(made.class_file)
    found = (*expanded.problems, *faulty_sounds(made.class_file, folder))
    problems = (*made.problems, *map(with_line, found))
    return LoadedClass(name, folder, made.class_file, expanded.steps, problems)


def with_line(problem: Problem) -> Problem:
    """The problem with the line of its file to show, where the file is one that can be read again."""
    return replace(problem, source=getline(problem.place.file, problem.place.line).rstrip("\r\n"))


def with_slot(steps: Steps, slot_ms: int | None) -> Steps:
    """The steps with another slot, where one is given."""
    return steps if slot_ms is None else replace(steps, slot_ms=slot_ms)
