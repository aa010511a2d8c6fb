"""What a description may say, and what is said of one that cannot be."""

import re
from math import dist
from os import environ

import pytest
from rows import each_row

from guide.figures.description import Description, NotAClaim, claims_of, described, one_sided, whole
from guide.figures.figure import shortfalls
from guide.figures.shipped_figures import shipped_figures
from guide.figures.solver import solve
from guide.problem import FaultyFile
from guide.sequence.poses import figures_source
from guide.sequence.poses.library_source import read_file


@each_row(
    "line, what",
    [
        ("feet: on cloud", "nothing touches with `cloud`"),
        ("tail: on floor", "nothing touches with `tail`"),
        ("right thigh: sideways", "`right thigh: sideways` says nothing that a body can do"),
        ("trunk: up down", "the directions of `trunk: up down` cancel each other"),
        ("nose: up", "`nose` is no part of the body that points anywhere"),
        ("trunk: 90", "`trunk` is no joint that bends"),
        ("feet: apart far", "`far` is no number"),
        ("start: sideways", "no body lies `sideways`"),
        ("see: below", "a figure is not seen from `below`"),
        ("wide: tail", "no joint is called `tail`"),
    ],
)
def test_a_line_that_means_nothing_says_what_is_wrong(line: str, what: str) -> None:
    key, value = line.split(": ")
    with pytest.raises(NotAClaim, match=f"^{re.escape(what)}"):
        described({key: value})


@each_row(
    "line, count",
    [
        ("right knee: 90", 1),
        ("knees: straight", 2),
        ("feet: on floor, forward, apart 0.2", 5),
        ("palms: on each other", 1),
        ("palms: on breastbone", 2),
        ("back turn: 30", 3),
        ("elbows and knees: 90", 4),
        ("arms: free", 0),
    ],
)
def test_a_line_claims_one_thing_for_each_part(line: str, count: int) -> None:
    assert len(list(claims_of(*line.split(": ")))) == count


def test_a_pose_that_is_like_another_takes_its_lines_but_for_its_own() -> None:
    said = {
        "table": described({"start": "face down", "arms": "down", "knees": "90", "face": "down"}),
        "bird": described({"like": "table", "arms": "free", "face": "forward", "see": "front"}),
    }
    assert whole("bird", said.get) == Description(
        (("knees", "90"), ("face", "forward")), start="face down", see="front"
    )


def test_left_and_right_are_alike_where_neither_is_named() -> None:
    assert not one_sided(described({"knees": "90", "arms": "out"}))
    assert one_sided(described({"right knee": "90"}))
    assert one_sided(described({"face": "right"}))


def test_problems_are_shown_at_their_place() -> None:
    text = "poses:\n  tree:\n    base: standing\n    figure:\n      feet: on cloud\n      see: [side]\n"
    with pytest.raises(FaultyFile) as caught:
        read_file(text.encode(), "trees.yaml")
    assert [str(problem.place) for problem in caught.value.problems] == ["trees.yaml:5:7", "trees.yaml:6:7"]
    assert caught.value.problems[0].what == "nothing touches with `cloud`"


def test_an_endless_circle_and_a_pose_without_a_figure_are_told_with_their_place() -> None:
    text = "poses:\n" + "".join(
        f"  {name}:\n    base: standing\n    figure: {{like: {like}}}\n"
        for name, like in (("ash", "oak"), ("oak", "ash"), ("elm", "fir"))
    )
    poses = read_file(text.encode(), "trees.yaml")
    with pytest.raises(FaultyFile) as caught:
        figures_source.wholes({name: pose.figure for name, pose in poses.items() if pose.figure})
    assert [str(problem) for problem in caught.value.problems] == [
        "trees.yaml:4:5: `ash`: the figures are like each other in a circle: ash, oak, ash (end it)",
        "trees.yaml:7:5: `oak`: the figures are like each other in a circle: oak, ash, oak (end it)",
        "trees.yaml:10:5: `elm`: `fir` has no figure to be like (name a pose that has one)",
    ]


#: So far, in heights of the body, may a point be from where it is in the figure that is shipped.
NEAR = 0.05


@pytest.mark.slow
def test_bodies_found_anew_are_those_that_are_shipped() -> None:
    own, said = figures_source.descriptions(), figures_source.wholes(figures_source.descriptions())
    shipped = shipped_figures()
    for name in sorted(said)[:: 1 if "ALL_FIGURES" in environ else 20]:
        found = solve(said[name], shipped.get(own[name].like))
        assert shortfalls(found) == (), name
        apart = {point: dist(at, found.body.points[point]) for point, at in shipped[name].body.points.items()}
        assert max(apart.values()) < NEAR, (name, max(apart, key=lambda point: apart[point]))


@pytest.mark.slow
def test_what_no_body_can_do_is_told_with_what_is_missing() -> None:
    own = {"knot": described({"feet": "on floor", "legs": "straight", "seat": "on floor", "trunk": "up"})}
    found, problems = figures_source.solved(own, {})
    assert found == {}
    assert any(re.match(r"no body does this in `knot`: .* \(short by \d", problem.what) for problem in problems)
