"""No run of the tests touches what a user keeps, and only real tests rest on how long this machine's voice takes.

The program that starts the others makes folders for the run. Spoken words are looked for in one that is filled with
those of the shipped classes (see `kept_speech`); tests marked real or slow have another, which the real voice fills,
and which several runs share when the environment names it.
How properties are tried is said in `examples`.
"""

import gc
import os
import shutil
import tempfile
from collections.abc import Generator
from pathlib import Path
from typing import Any
from unittest.mock import patch

import pytest
from examples import PROFILE, tries_more
from hypothesis import settings
from kept_speech import fill

#: Where the folders of this run are, for the programs that it starts.
OURS = "GUIDE_TESTS_FOLDER"

#: Where the real voice's words are kept for several runs.
SPOKEN = "GUIDE_TESTS_SPOKEN"

#: Set where only those tests are wanted that try more in a full check than by default.
MORE = "GUIDE_TESTS_MORE"

settings.load_profile(PROFILE)

# While tests are collected nothing becomes garbage, and what they are made of stays: the collector would go through it
# again and again.
gc.disable()


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """Tests that stand beside each other go to one worker, so that what they share is made once, not once in each."""
    from xdist.scheduler import WorkStealingScheduling

    return WorkStealingScheduling(config, log) if config.getoption("dist") == "load" else None


def pytest_collection_finish() -> None:
    gc.freeze()
    gc.enable()


def pytest_configure(config: pytest.Config) -> None:
    if hasattr(config, "workerinput"):
        return
    folder = Path(tempfile.mkdtemp(prefix="guide-tests-"))
    config.add_cleanup(lambda: shutil.rmtree(folder, ignore_errors=True))
    fill(folder / "kept")
    homes = {f"XDG_{kind.upper()}_HOME": str(folder / kind) for kind in ("state", "config")}
    os.environ.update({OURS: str(folder), "GUIDE_CACHE": str(folder / "kept"), **homes})


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Where a full check asks for what tries more in it, all else is left out: it did the same by default."""
    if os.environ.get(MORE):
        alike = [item for item in items if not tries_more(item)]
        config.hook.pytest_deselected(items=alike)
        items[:] = [item for item in items if item not in set(alike)]


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Generator[None, object, object]:
    kept, spoken = f"{os.environ[OURS]}/kept", os.environ.get(SPOKEN) or f"{os.environ[OURS]}/spoken"
    real = item.get_closest_marker("real") or item.get_closest_marker("slow")
    with patch.dict(os.environ, {"GUIDE_CACHE": spoken if real else kept}):
        return (yield)
