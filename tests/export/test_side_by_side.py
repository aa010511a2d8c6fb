"""Jobs done side by side: what came of each, whichever ends first, and whatever becomes of its process."""

import os
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path

from guide.export.side_by_side import Crashed, SideBySide


def work(job: str, tell: Callable[[float], None]) -> str:
    """A job by its name."""
    tell(0.5)
    if job == "dies":
        os._exit(7)
    if job == "breaks":
        raise ValueError("a number is wrong")
    return f"{job} done"


def wait_to_be_ended(job: str, tell: Callable[[float], None]) -> str:
    """Make a file, and put it away when it is asked to end."""
    path = Path(job)
    try:
        path.write_text("half")
        tell(0.5)
        while True:
            pass
    finally:
        path.unlink()


def test_each_job_has_its_outcome_though_a_process_dies() -> None:
    heard: list[tuple[int, float]] = []
    pool = SideBySide(work, 2)
    jobs = ["one", "dies", "breaks", "two", "three"]
    outcomes = dict(pool.work_through(jobs, lambda place, share: heard.append((place, share))))
    assert outcomes == {
        0: "one done",
        1: Crashed("its process ended with 7"),
        2: Crashed("ValueError: a number is wrong"),
        3: "two done",
        4: "three done",
    }
    assert sorted(heard) == [(place, 0.5) for place in range(5)]


def test_work_that_is_given_up_is_put_away(tmp_path: Path) -> None:
    jobs = [str(tmp_path / name) for name in ("one", "two")]

    class Enough(Exception):
        """Both are under way."""

    begun: set[int] = set()

    def heard(place: int, share: float) -> None:
        begun.add(place)
        if len(begun) == len(jobs):
            assert all(Path(job).exists() for job in jobs)
            raise Enough

    with closing(SideBySide(wait_to_be_ended, 2).work_through(jobs, heard)) as outcomes, suppress(Enough):
        next(outcomes)
    assert len(begun) == 2
    assert list(tmp_path.iterdir()) == []
