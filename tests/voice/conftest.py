"""Every test has a cache of its own, and the fake voices can be asked for by name."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from voice_fakes import ToneVoice

from guide.voice import registry
from guide.voice.protocol import Voice

CUES = Path(__file__).parent / "data" / "cues.txt"


@pytest.fixture(autouse=True)
def cache_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "cache"
    monkeypatch.setenv("GUIDE_CACHE", str(folder))
    return folder


@pytest.fixture
def offer(monkeypatch: pytest.MonkeyPatch) -> Callable[[Voice], str]:
    """Puts a voice into the registry; returns the name to ask for."""

    def put(voice: Voice) -> str:
        monkeypatch.setitem(registry.ENGINES, voice.name, lambda which: voice)
        return voice.name

    return put


@pytest.fixture
def tone(tmp_path: Path) -> ToneVoice:
    return ToneVoice(tmp_path / "spoken.log")


@pytest.fixture(scope="session")
def needs() -> Callable[[bool, str], None]:
    """Skips a test whose machine lacks something, but never in the full check."""

    def check(there: bool, what: str) -> None:
        if not there:
            (pytest.fail if os.environ.get("CI") else pytest.skip)(what)

    return check


@pytest.fixture(scope="session")
def movement_cues() -> list[str]:
    """Forty plain cues of a class."""
    return CUES.read_text(encoding="utf-8").splitlines()
