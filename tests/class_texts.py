"""Class files read and expanded, with their problems raised: for tests that are about something else."""

from pathlib import Path

from guide.problem import FaultyFile, Problem
from guide.sequence import source
from guide.sequence.expand import unroll
from guide.sequence.model import ClassFile
from guide.sequence.reader import look, read_text
from guide.sequence.steps import Steps


def read(path: Path) -> ClassFile:
    return read_text(source.from_file(path), str(path), path.parent)


def problems(path: Path) -> tuple[Problem, ...]:
    return look(source.from_file(path), str(path), path.parent).problems


def expand(class_file: ClassFile) -> Steps:
    expanded = unroll(class_file)
    if expanded.problems:
        raise FaultyFile(expanded.problems)
    return expanded.steps
