"""Tools from outside that some tests of the outputs need."""

import json
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from export_samples import missing
from numpy.typing import NDArray

NODE = Path(__file__).parent / "node"


def _program(name: str) -> str:
    path = shutil.which(name)
    if path is None:
        missing(name)
    return path or ""


@pytest.fixture(scope="session")
def ffprobe() -> Callable[[Path], dict[str, Any]]:
    program = _program("ffprobe")

    def probe(path: Path) -> dict[str, Any]:
        command = [program, "-v", "error", "-show_chapters", "-show_format", "-show_streams", "-of", "json", str(path)]
        done = subprocess.run(command, capture_output=True, check=True)
        assert not done.stderr, done.stderr.decode()
        found: dict[str, Any] = json.loads(done.stdout)
        return found

    return probe


@pytest.fixture(scope="session")
def decoded() -> Callable[[Path], NDArray[np.float32]]:
    """The sound of a file as ffmpeg reads it, shape (n, 2); a complaint of ffmpeg fails the test."""
    program = _program("ffmpeg")

    def decode(path: Path) -> NDArray[np.float32]:
        command = [program, "-v", "error", "-xerror", "-i", str(path), "-f", "f32le", "-ac", "2", "-"]
        done = subprocess.run(command, capture_output=True, check=True)
        assert not done.stderr, done.stderr.decode()
        return np.frombuffer(done.stdout, np.float32).reshape(-1, 2)

    return decode


@pytest.fixture(scope="session")
def strict_vtt() -> Callable[[Path, str], dict[str, Any]]:
    """What npm's webvtt-parser 2.2.0 (w3c/webvtt.js), the strict one, finds in a file read as a kind of track."""
    program = _program("node")
    if not (NODE / "node_modules" / "webvtt-parser").is_dir():
        missing("webvtt-parser (npm install in tests/export/node)")

    def check(path: Path, kind: str) -> dict[str, Any]:
        command = [program, str(NODE / "check.mjs"), str(path), kind]
        found: dict[str, Any] = json.loads(subprocess.run(command, capture_output=True, check=True).stdout)
        return found

    return check
