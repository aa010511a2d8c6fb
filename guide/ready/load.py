"""A class file as it is: the class and its steps, and everything that is wrong with it."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from linecache import getline
from pathlib import Path

from guide.problem import FaultyFile, Problem, UnusableChoice
from guide.ready.own_sounds import faulty_music, faulty_sounds
from guide.sequence.expand import unroll
from guide.sequence.length_text import clipped
from guide.sequence.levels import at_level, empty_level, levels_of
from guide.sequence.model import ClassFile, ClassLevel
from guide.sequence.reader import look
from guide.sequence.shipped_folder import class_from_file
from guide.sequence.sound_names import BEDS, PALETTE_NAMES, music_files
from guide.sequence.steps import Steps


@dataclass(frozen=True, slots=True)
class LoadedClass:
    """What a file holds: the class and its steps, None where it holds blocks alone, and every problem found.

    With problems the steps are those that could be made. Paths in the class are taken from `folder`. The class is the
    one of the level asked for; `levels` are all that the file has, none where it marks nothing.
    """

    name: str
    folder: Path
    class_file: ClassFile | None
    steps: Steps | None
    problems: tuple[Problem, ...]
    levels: Mapping[ClassLevel, tuple[ClassFile, Steps]] = field(default_factory=dict)

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

    def each_level(self) -> "dict[str, LoadedClass]":
        """The class at each of its levels, by name; by no name where it has none."""
        if not self.levels:
            return {"": self}
        return {
            level.value: replace(self, class_file=class_file, steps=steps)
            for level, (class_file, steps) in self.levels.items()
        }

    def made_from(self) -> dict[Path, str]:
        """The files that the class is read from, each with what it is; those that it does not name are left out."""
        if self.class_file is None or self.steps is None:
            return {Path(self.name): "the class file itself"}
        music = {Path(one.source) for one in self.steps.music_named() if one.source not in BEDS}
        sounds = {*self.class_file.sounds.values(), *self.steps.sound_names()} - PALETTE_NAMES
        return {
            Path(self.name): "the class file itself",
            **dict.fromkeys(map(Path, self.class_file.block_files), "a block file of the class"),
            **dict.fromkeys((self.folder / name for name in sounds), "a sound that the class rings"),
            **dict.fromkeys((file for each in music for file in music_files(each)), "music of the class"),
        }

    def never_written_over(self) -> dict[Path, str]:
        """What it is read from, and every take beside it, by whatever voice it is said: none can be had again."""
        from guide.voice.takes.store import files_of_takes

        return self.made_from() | dict.fromkeys(files_of_takes(self.folder), "a take of your own voice")


def load(path: str | Path, level: str | None = None) -> LoadedClass:
    """What is in a class file or a block file; of a class with levels the one asked for, the middle one by default.

    Raises:
        UnusableChoice: there is no such file, or it cannot be read, or it has no such level.
    """
    return load_text(class_from_file(Path(path)), str(path), Path(path).parent, level)


def load_text(text: str | bytes, name: str, folder: Path, level: str | None = None) -> LoadedClass:
    """The same of text that lies in no file; `name` stands for the file in messages, and paths start at `folder`."""
    made = look(text, name, folder)
    if made.class_file is None:
        return LoadedClass(name, folder, None, None, made.problems)
    levels = levels_of(made.class_file)
    asked = _level(level, levels, name)
    # All levels are unrolled, so that every problem is told, whichever is asked for.
    classes = {each: at_level(made.class_file, each) for each in levels} or {asked: made.class_file}
    expanded = {each: unroll(class_file) for each, class_file in classes.items()}
    found = (
        *(problem for each in levels for problem in empty_level(made.class_file, each)),
        *dict.fromkeys(problem for each in expanded.values() for problem in each.problems),
        *faulty_sounds(made.class_file, folder),
        *dict.fromkeys(problem for each in expanded.values() for problem in faulty_music(each.steps)),
    )
    problems = (*made.problems, *map(with_line, found))
    each_level = {each: (classes[each], expanded[each].steps) for each in levels}
    return LoadedClass(name, folder, classes[asked], expanded[asked].steps, problems, each_level)


def _level(asked: str | None, levels: tuple[ClassLevel, ...], name: str) -> ClassLevel:
    """The level that is asked for. Raises UnusableChoice."""
    known = [level.value for level in levels]
    if asked is None or asked in known:
        return ClassLevel(asked or ClassLevel.MIDDLE)
    if not levels:
        raise UnusableChoice(f"{name}: has no levels (mark steps or cues with `level: gentle` or `level: strong`)")
    raise UnusableChoice(f"{name}: has no level `{clipped(asked)}` (it has {', '.join(known)})")


def with_line(problem: Problem) -> Problem:
    """The problem with the line of its file to show, where the file is one that can be read again."""
    return replace(problem, source=getline(problem.place.file, problem.place.line).rstrip("\r\n"))


def with_slot(steps: Steps, slot_ms: int | None) -> Steps:
    """The steps with another slot, where one is given."""
    return steps if slot_ms is None else replace(steps, slot_ms=slot_ms)
