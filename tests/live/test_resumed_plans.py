"""A class that was broken off, in a plan of its file that has other steps now."""

from dataclasses import replace

import pytest

from guide.live.journal import Bookmark, StepChange
from guide.live.resuming import in_plan

THEN = ("a.yaml:3:5 pose 1", "a.yaml:5:5 move exhale 1", "a.yaml:6:5 pose 1")
NOW = (THEN[0], "a.yaml:5:5 move inhale 1", *THEN[1:])
KEPT = Bookmark("a.yaml", "0", 2, (StepChange(1, "", "", "2 0 2 0"),), (0, 2), names=THEN)


def test_what_was_kept_is_found_by_where_it_is_written() -> None:
    change = StepChange(2, "", "", "2 0 2 0")
    assert in_plan(KEPT, NOW) == replace(KEPT, step=3, changes=(change,), few=(0, 3), names=NOW)
    assert in_plan(KEPT, THEN) == KEPT


@pytest.mark.parametrize("names", [(), ("b.yaml:3:5 pose 1",) * 3], ids=["numbers alone", "other steps"])
def test_what_cannot_be_told_is_refused(names: tuple[str, ...]) -> None:
    with pytest.raises(LookupError):
        in_plan(replace(KEPT, names=names), NOW)
