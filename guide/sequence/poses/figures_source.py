"""The bodies of the pose library: `python -m guide.sequence.poses.figures_source` finds those whose lines changed.

Only those who make the library need this: it needs scipy.
"""

import sys
from collections.abc import Iterator, Mapping

from guide.figures.description import Description, NotAClaim, whole
from guide.figures.figure import Figure, shortfalls
from guide.figures.shipped_figures import SOLVED, read, rounded, written
from guide.problem import FaultyFile, Place, Problem
from guide.sequence.poses.library_source import DATA, read_files


def descriptions() -> Mapping[str, Description]:
    """What the library's files say of each body."""
    return {name: pose.figure for name, pose in read_files(sorted(DATA.glob("*.yaml"))).items() if pose.figure}


def wholes(own: Mapping[str, Description]) -> Mapping[str, Description]:
    """Each description with what it takes over from others.

    Raises:
        FaultyFile: one is like a pose that has no figure, or like itself.
    """
    found: dict[str, Description] = {}
    problems: list[Problem] = []
    for name, description in own.items():
        try:
            found[name] = whole(name, own.get)
        except NotAClaim as error:
            problems.append(Problem(_place(description), f"`{name}`: {error.what}", error.fix))
    if problems:
        raise FaultyFile(problems)
    return found


def solved(
    own: Mapping[str, Description], before: Mapping[str, Figure]
) -> tuple[Mapping[str, Figure], tuple[Problem, ...]]:
    """The bodies that do what is said of them, and a problem for each thing that no body does.

    Those whose lines are as they were stay.

    Raises:
        FaultyFile: a description is like a pose that has no figure, or like itself.
    """
    figures = dict(_bodies(own, wholes(own), before))
    short = {name: found for name, figure in figures.items() if (found := shortfalls(figure))}
    problems = [
        Problem(_place(own[name]), f"no body does this in `{name}`: {each}", "say it otherwise, or say less")
        for name, found in short.items()
        for each in found
    ]
    return {name: figure for name, figure in figures.items() if name not in short}, tuple(problems)


def _bodies(
    own: Mapping[str, Description], said: Mapping[str, Description], before: Mapping[str, Figure]
) -> Iterator[tuple[str, Figure]]:
    from guide.figures.solver import solve

    for name, description in said.items():
        if name in before and before[name].description == description:
            yield name, before[name]
        else:
            like = before.get(own[name].like)
            near = like.angles if like and like.description.start == description.start else None
            yield name, rounded(solve(description, near))


def _place(description: Description) -> Place:
    return description.place or Place("", 1, 1)


def main() -> None:
    """Write the file of figures, with what is new solved; what cannot be solved is told, and is not in it."""
    before = read(SOLVED.read_text(encoding="utf-8")) if SOLVED.exists() else {}
    figures, problems = solved(descriptions(), before)
    SOLVED.write_text(written(figures), encoding="utf-8")
    if problems:
        raise FaultyFile(problems)


if __name__ == "__main__":
    try:
        main()
    except FaultyFile as error:
        sys.exit(str(error))
