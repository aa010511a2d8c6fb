"""The figures of a class: those that are shipped, and those that its file describes itself."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache

from guide.figures.description import Description, NotAClaim, whole
from guide.figures.figure import Figure, shortfalls
from guide.figures.shipped_figures import shipped_figures
from guide.problem import FaultyFile, Place, Problem
from guide.sequence.poses.library import Library
from guide.sequence.poses.pose import Pose
from guide.sequence.poses.shipped_library import shipped

#: What a pose of a class is called that is like the library's pose of the same name.
_SHIPPED = "the library's "

_MEND = "say it otherwise, or drop a line: `palms: free`"


def class_figures(own: Mapping[str, Pose]) -> Mapping[str, Figure]:
    """The figures by the names of their poses, with those that a class's own poses describe, found when asked for.

    Raises:
        FaultyFile: no body does what is said of one.
    """
    described = {name: pose for name, pose in own.items() if pose.figure}
    if not described:
        return shipped_figures()
    library = shipped().with_own(own)
    found = {name: _solved(whole(name, finder(described, library))) for name in described}
    problems = [
        Problem(_place(pose), f"no body does this in `{name}`: {each}", _MEND)
        for name, pose in described.items()
        for each in {one.what: one for one in sorted(shortfalls(found[name]), key=lambda one: one.times)}.values()
    ]
    if problems:
        raise FaultyFile(problems)
    return {**shipped_figures(), **found}


def faults(own: Mapping[str, Pose], known: Library) -> list[Problem]:
    """A problem for each of a file's own poses whose figure is like one that there is not, or like itself."""
    problems = []
    for name, pose in own.items():
        try:
            if pose.figure:
                whole(name, finder(own, known.with_own(own)))
        except NotAClaim as error:
            problems.append(Problem(_place(pose), f"`{name}`: {error.what}", error.fix))
    return problems


def finder(own: Mapping[str, Pose], library: Library) -> Callable[[str], Description | None]:
    """What finds a description by any name of its pose; a pose that is like itself is like the library's."""

    def find(name: str) -> Description | None:
        pose = library.find(name.removeprefix(_SHIPPED))
        figure = own[name].figure if name in own else pose.figure if pose and not name.startswith(_SHIPPED) else None
        if pose is None or figure is None:
            known = shipped_figures().get(pose.name) if pose else None
            return known.description if known else None
        like = library.find(figure.like) if figure.like else None
        if like is None:
            return figure
        itself = like.name == pose.name and like.name in shipped_figures()
        return replace(figure, like=_SHIPPED + like.name if itself else like.name)

    return find


@cache
def _solved(description: Description) -> Figure:
    from guide.figures.solver import solve

    near = [each for each in shipped_figures().values() if each.description.start == description.start]
    alike = max(near, key=lambda each: len({*each.description.lines} & {*description.lines}), default=None)
    return solve(description, alike)


def _place(pose: Pose) -> Place:
    return (pose.figure and pose.figure.place) or Place("", 1, 1)
