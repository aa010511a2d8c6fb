"""Where a class begins that is not led from its beginning: a line, a time, a name; or it is told what to write."""

from pathlib import Path

import pytest
from class_texts import expand

from guide.cli.class_place import where_ms
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
