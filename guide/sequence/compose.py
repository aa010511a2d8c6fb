"""From checked text to nodes, with every problem of YAML itself; broken lines are mended so that reading goes on."""

import re

from ruamel.yaml.error import MarkedYAMLError, YAMLError

from guide.problem import Problem
from guide.sequence import yaml_errors, yaml_pitfalls
from guide.sequence.nodes import Growing, Node, grow
from guide.sequence.source import MOST_BYTES, Source

#: After so many broken lines it is hardly a sequence file.
MOST_BREAKS = 20

_TAB = re.compile(r" *\t")


def compose(source: Source, keys: frozenset[str]) -> tuple[Node | None, list[Problem]]:
    """The tree of a file, or None where it cannot be read, and what YAML finds wrong in it.

    `keys` are the keys that a file of this kind knows; they tell a key that is out of place from words.
    """
    lines, problems = _prepared(source)
    unsure = any(_TAB.match(line) for line in source.clean)
    budget = MOST_BYTES // 2
    while True:
        tree = Growing()
        text = "\n".join(lines)
        try:
            grow(text, tree)
        except YAMLError as error:
            found = yaml_errors.explain(source, lines, error, tree.last, keys)
            if not unsure:
                problems.append(found.problem)
            budget -= _reached(error)
            if _hopeless(found, lines, problems) or budget < 0:
                return None, _once_a_line(problems) + [yaml_pitfalls.odd(source, odd) for odd in tree.odd]
            lines[found.line - 1] = found.mended or ""
            continue
        return tree.root, _once_a_line(problems) + [yaml_pitfalls.odd(source, odd) for odd in tree.odd]


def _reached(error: YAMLError) -> int:
    """How many characters were read before YAML stopped."""
    mark = error.problem_mark if isinstance(error, MarkedYAMLError) else None
    return int(mark.index) if mark is not None else MOST_BYTES


def _hopeless(found: yaml_errors.YamlError, lines: list[str], problems: list[Problem]) -> bool:
    stuck = found.mended is None or lines[found.line - 1] == found.mended
    return stuck or len(problems) > MOST_BREAKS


def _once_a_line(problems: list[Problem]) -> list[Problem]:
    """The first problem of every line: a second one may come from how the first was mended."""
    seen: dict[int, Problem] = {}
    for problem in problems:
        seen.setdefault(problem.place.line, problem)
    return list(seen.values())


def _prepared(source: Source) -> tuple[list[str], list[Problem]]:
    """The lines with what YAML must not see replaced: tabs and directives, each a problem where it matters."""
    lines, problems = [], []
    for number, line in enumerate(source.clean, start=1):
        tab = _TAB.match(line)
        if tab and line.strip():
            what = "a tab stands in front; YAML lines up with spaces only"
            problems.append(source.problem(number, tab.end(), what, "use two spaces for each step to the right"))
            line = line.replace("\t", "  ")
        elif line.startswith("%"):
            what = "a line that begins with `%` gives orders to YAML, which a sequence file does not use"
            fix = "delete the line; if these are words, put quotes around them"
            problems.append(source.problem(number, 1, what, fix))
            line = ""
        lines.append(line.replace("\t", " "))
    return lines, problems
