"""Where a class begins that is not led from its beginning: a line, a time, a name; or it is told what to write."""

from pathlib import Path

import pytest
from class_texts import expand

from guide.cli.class_place import first_and_last, where_ms
from guide.plan.estimate import EstimatedLengths
from guide.plan.scheduler import plan
from guide.problem import UnusableChoice
from guide.sequence.reader import read_text

TEXT = """title: Trees
class:
  - section: Arriving
  - pose: mountain
    hold: 5 breaths
    say:
      - Stand tall.
  - section: Standing
  - both sides:
      - pose: tree
        hold: 4 breaths
  - rest: 2 min
"""
STEPS = expand(read_text(TEXT, "trees.yaml", Path("sequences")))
TIMELINE = plan(STEPS, EstimatedLengths(0.75), dict.fromkeys(STEPS.sound_names(), 2000))


@pytest.mark.parametrize(
    ("asked", "title"),
    [
        ("4", "mountain"),
        ("7", "mountain"),
        ("8", "mountain"),
        ("10", "tree"),
        ("12", "rest"),
        ("0:01", "mountain"),
        ("Tree", "tree"),
        ("stand", "tree"),
        ("rest", "rest"),
    ],
)
def test_a_place_is_the_start_of_a_step(asked: str, title: str) -> None:
    first = next(span for span in TIMELINE.spans if span.title == title)
    assert where_ms(TIMELINE, "trees.yaml", asked) == first.start_ms


def test_without_a_place_it_is_the_beginning() -> None:
    assert where_ms(TIMELINE, "trees.yaml", None) == 0


@pytest.mark.parametrize("asked", ["1", "99:00", "handstand"])
def test_a_place_that_is_not_there_is_told(asked: str) -> None:
    with pytest.raises(UnusableChoice) as told:
        where_ms(TIMELINE, "trees.yaml", asked)
    assert str(told.value) == f"`{asked}` is nowhere in this class (write a line, a time such as 12:30, or a pose)"


@pytest.mark.parametrize(
    ("begins", "ends", "titles"),
    [
        (None, "Arriving", ["mountain", "out of mountain"]),
        ("Standing", "tree", ["tree", "out of tree", "tree", "out of tree"]),
        ("standing", "standing", ["tree", "out of tree", "tree", "out of tree", "rest"]),
        ("10", "10", ["tree", "out of tree", "tree", "out of tree"]),
        ("0:01", "0:02", ["mountain", "out of mountain"]),
        ("rest", None, ["rest"]),
        ("tree", "rest", ["tree", "out of tree", "tree", "out of tree", "rest"]),
    ],
)
def test_from_one_place_to_another_and_with_it(begins: str | None, ends: str | None, titles: list[str]) -> None:
    first, last = first_and_last(TIMELINE, "trees.yaml", begins, ends)
    assert [span.title for span in TIMELINE.spans[first : last + 1]] == titles


def test_an_end_before_the_beginning_is_told() -> None:
    with pytest.raises(UnusableChoice) as told:
        first_and_last(TIMELINE, "trees.yaml", "rest", "mountain")
    assert str(told.value) == "`mountain` comes before `rest` (write the earlier of them first)"
