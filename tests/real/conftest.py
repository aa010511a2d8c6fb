"""Every shipped class, made ready and rendered once for all tests of it."""

import shutil
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import pytest

from guide.cli.render import render_class
from guide.ready.load import load
from guide.ready.make_ready import ReadyClass, make_ready

SHIPPED = sorted(path for path in Path("sequences").glob("*.yaml") if path.stem != "starter")

#: The track of a class in the format of an ending, and what the program says of it.
Rendered = Callable[[str], tuple[Path, str]]


@pytest.fixture(scope="session", params=SHIPPED, ids=lambda path: path.stem)
def ready(request: pytest.FixtureRequest) -> ReadyClass:
    return make_ready(load(request.param))


@pytest.fixture(scope="session")
def rendered(ready: ReadyClass, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Rendered]:
    folder = tmp_path_factory.mktemp("tracks")

    @cache
    def track(suffix: str) -> tuple[Path, str]:
        target = folder / f"track.{suffix}"
        return target, render_class(ready, target, ("none",))

    yield track
    shutil.rmtree(folder)
