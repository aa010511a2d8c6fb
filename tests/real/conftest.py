"""Every shipped class, made ready and rendered once for all tests of it."""

import fcntl
import os
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from guide.cli.render import render_class
from guide.ready.load import load
from guide.ready.make_ready import ReadyClass, make_ready

#: Classes that are measured from beginning to end; all of them where somebody asks for it (`LONG_CLASSES=1`).
USUAL = ("breathing-practice", "desk-break", "lakeside-morning")
SHIPPED = sorted(p for p in Path("sequences").glob("*.yaml") if p.stem in USUAL or os.environ.get("LONG_CLASSES"))

#: The track of a class in the format of an ending, and what the program says of it.
Rendered = Callable[[str], tuple[Path, str]]


@pytest.fixture(scope="session", params=SHIPPED, ids=lambda path: path.stem)
def ready(request: pytest.FixtureRequest) -> ReadyClass:
    return make_ready(load(request.param))


@pytest.fixture(scope="session")
def rendered(ready: ReadyClass) -> Rendered:
    """Whoever needs a track first, of all who run these tests side by side, renders it."""
    folder = Path(os.environ["GUIDE_TESTS_FOLDER"]) / "tracks" / ready.timeline.title
    folder.mkdir(parents=True, exist_ok=True)

    @cache
    def track(suffix: str) -> tuple[Path, str]:
        target, said = folder / f"track.{suffix}", folder / f"{suffix}.txt"
        with (folder / f"{suffix}.lock").open("w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            if not said.exists():
                said.write_text(render_class(ready, target, ("none",)), encoding="utf-8")
        return target, said.read_text(encoding="utf-8")

    return track
