"""A class file's own figures: like those that are there, found when they are drawn, and each mistake at its place."""

from math import dist
from pathlib import Path

import pytest

from guide.figures.figure import shortfalls
from guide.figures.shipped_figures import shipped_figures
from guide.problem import FaultyFile
from guide.sequence.model import ClassFile
from guide.sequence.poses.class_figures import class_figures
from guide.sequence.reader import look, read_text

STEPS = "class:\n  - pose: ash\n    hold: 5 breaths\n"


def a_class(poses: str) -> ClassFile:
    return read_text(f"title: Evening by the lake\nposes:\n{poses}{STEPS}", "evening.yaml", Path())


def problems(poses: str) -> list[str]:
    found = look(f"title: Evening by the lake\nposes:\n{poses}{STEPS}", "evening.yaml", Path())
    return [str(problem) for problem in found.problems]


def test_a_pose_that_is_like_another_by_any_of_its_names_has_its_body_but_for_what_differs() -> None:
    own = (
        "  ash:\n    base: standing\n    figure: {like: vrikshasana, palms: free, hands: free, arms: out, see: back}\n"
    )
    found = class_figures(a_class(own).poses)
    ash, tree = found["ash"].body.points, shipped_figures()["tree"].body.points
    assert shortfalls(found["ash"]) == ()
    assert dist(ash["right sole"], ash["left mid thigh"]) < 0.07
    assert ash["left wrist"][1] - ash["right wrist"][1] > 0.7 > tree["left wrist"][1] - tree["right wrist"][1]
    assert found["triangle"] is shipped_figures()["triangle"]


def test_a_pose_of_the_library_is_changed_by_being_like_itself() -> None:
    own = "  ash:\n    base: standing\n  tree:\n    figure: {like: tree, see: back}\n"
    assert class_figures(a_class(own).poses)["tree"].description.see == "back"


def test_a_class_without_figures_of_its_own_has_those_that_are_shipped() -> None:
    assert class_figures(a_class("  ash:\n    base: standing\n").poses) is shipped_figures()


def test_each_mistake_is_shown_at_its_place() -> None:
    written = "".join(
        f"  {name}:\n    base: standing\n    figure: {{{figure}}}\n"
        for name, figure in (
            ("ash", "like: oak"),
            ("oak", "like: ash"),
            ("elm", "like: cloud walk"),
            ("fir", "feet: on cloud"),
            ("yew", "like: tree, see: below"),
            ("box", "like: box"),
        )
    )
    assert problems(written) == [
        "evening.yaml:5:5: `ash`: the figures are like each other in a circle: ash, oak, ash (end it)",
        "evening.yaml:8:5: `oak`: the figures are like each other in a circle: oak, ash, oak (end it)",
        "evening.yaml:11:5: `elm`: `cloud walk` has no figure to be like (name a pose that has one)",
        "evening.yaml:14:14: nothing touches with `cloud` (write a surface (floor, block, high block, bolster, blanket,"
        " chair, table, wall, cushions) or a part of the body: `left thigh`, `hands`, `seat`)",
        "evening.yaml:17:26: a figure is not seen from `below` (write one of these: side, front, back, left side, three"
        " quarters, three quarters front, three quarters back, three quarters left, side from above, front from above,"
        " back from above, three quarters from above, above)",
        "evening.yaml:20:5: `box`: the figures are like each other in a circle: box, box (end it)",
    ]


@pytest.mark.slow
def test_what_contradicts_itself_is_told_with_its_place_when_it_is_drawn() -> None:
    own = a_class(
        "  ash:\n    base: standing\n    figure: {feet: on floor, legs: straight, seat: on floor, trunk: up}\n"
    )
    with pytest.raises(FaultyFile) as caught:
        class_figures(own.poses)
    told = [str(problem) for problem in caught.value.problems]
    assert all(each.startswith("evening.yaml:5:5: no body does this in `ash`: ") for each in told)
    assert len({each.partition(" (short by ")[0] for each in told}) == len(told)
    assert any("legs: straight (short by " in each for each in told)
