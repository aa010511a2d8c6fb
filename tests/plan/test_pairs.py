"""Class files beside their whole expected timelines, worked out by hand from the rules in DEVELOPERS.md."""

from pathlib import Path

import pytest
from plan_texts import planned, steps_of, written

from guide.plan.checker import breaches

PAIRS = sorted(Path(__file__).parent.joinpath("pairs").glob("*.yaml"))


@pytest.mark.parametrize("path", PAIRS, ids=lambda path: path.stem)
def test_a_class_becomes_this_timeline(path: Path) -> None:
    steps = steps_of(path.read_text(encoding="utf-8"), path.parent)
    timeline, word_ms = planned(steps)
    assert written(timeline) == path.with_suffix(".timeline").read_text(encoding="utf-8")
    assert breaches(steps, timeline, word_ms) == ()
