"""The voice wakes early where a class was changed after words were last kept, and only there."""

import os
from pathlib import Path

import numpy as np
import pytest

from guide.ready import early_voice
from guide.ready.early_voice import voice_waking
from guide.voice.cache import Cache, CachedClip, cache_folder, cache_key


class Asleep:
    """A process that is never started."""

    def __init__(self, wake: object) -> None:
        self.steps = ["made"]

    def start(self) -> None:
        self.steps.append("started")

    def stop(self) -> None:
        self.steps.append("stopped")


@pytest.fixture(autouse=True)
def nobody_starts(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(early_voice, "Waking", Asleep)
    monkeypatch.setenv("GUIDE_CACHE", str(tmp_path / "cache"))


def steps_for(file: Path) -> list[str]:
    with voice_waking(file) as waking:
        # The list grows when the block ends.
        return waking.steps if isinstance(waking, Asleep) else []


def test_it_wakes_for_a_class_that_was_changed_after_the_last_words_were_kept(tmp_path: Path) -> None:
    file = tmp_path / "class.yaml"
    file.write_text("title: T")
    assert steps_for(file) == ["made", "started", "stopped"]
    key = cache_key("natural", "1", 1.0, "Inhale.", "1")
    assert Cache(cache_folder()).store(key, CachedClip(np.zeros(1, np.int16), np.zeros(3, np.float32)))
    kept_ns = Cache(cache_folder()).changed_ns()
    os.utime(file, ns=(kept_ns, kept_ns))
    assert steps_for(file) == []
    os.utime(file, ns=(kept_ns + 1, kept_ns + 1))
    assert steps_for(file) == ["made", "started", "stopped"]


def test_it_sleeps_on_where_there_is_no_such_file(tmp_path: Path) -> None:
    assert steps_for(tmp_path / "none.yaml") == []
