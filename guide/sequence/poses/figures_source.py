"""The bodies of the pose library: `python -m guide.sequence.poses.figures_source` finds those whose lines changed.

Only those who make the library need this.
"""

import sys
from collections.abc import Mapping

from guide.figures.description import Description, NotAClaim, whole
from guide.figures.figure import Figure, residuals, shortfalls
from guide.figures.shipped_figures import SOLVED, read, rounded, written
from guide.problem import FaultyFile, Place, Problem
from guide.sequence.poses.library_source import DATA, read_files

#: How many of the worst are told.
_WORST = 10


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
    figures = _bodies(own, before)
    short = {name: found for name, figure in figures.items() if (found := shortfalls(figure))}
    problems = [
        Problem(_place(own[name]), f"no body does this in `{name}`: {each}", "say it otherwise, or say less")
        for name, found in short.items()
        for each in found
    ]
    return {name: figure for name, figure in figures.items() if name not in short}, tuple(problems)


def _bodies(own: Mapping[str, Description], before: Mapping[str, Figure]) -> Mapping[str, Figure]:
    """The body of each, found anew where its lines are not as they were; what it is like comes first."""
    from guide.figures.solver import solve

    said = wholes(own)
    found: dict[str, Figure] = {}

    def find(name: str) -> Figure | None:
        if name in said and name not in found:
            known = before.get(name)
            fresh = known is None or known.description != said[name]
            like = find(own[name].like) if fresh else None
            found[name] = rounded(solve(said[name], like)) if known is None or fresh else known
        return found.get(name)

    for name in said:
        find(name)
    return {name: found[name] for name in said}


def _place(description: Description) -> Place:
    return description.place or Place("", 1, 1)


def worst(figures: Mapping[str, Figure]) -> list[str]:
    """What the bodies do least well, a line each, the worst first."""
    found = [(each.times, f"{name}: {each}") for name, figure in figures.items() for each in residuals(figure)]
    return [f"{times:4.0%} of what may be missing in {text}" for times, text in sorted(found, reverse=True)[:_WORST]]


def main() -> None:
    """Write the file of figures, with what is new solved, and tell the worst; what cannot be solved is not in it."""
    before = read(SOLVED.read_text(encoding="utf-8")) if SOLVED.exists() else {}
    figures, problems = solved(descriptions(), before)
    SOLVED.write_text(written(figures), encoding="utf-8")
    print("\n".join(worst(figures)))
    if problems:
        raise FaultyFile(problems)


if __name__ == "__main__":
    try:
        main()
    except FaultyFile as error:
        sys.exit(str(error))
