"""Words of a recording heard by the recogniser itself, kept beside it, with no way out of the machine."""

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from test_nothing_leaves import WITHIN, sockets, traced

from guide.problem import UnusableChoice
from guide.review.hearing.heard_words import ENDING, heard
from guide.review.hearing.recogniser import MODEL_FILES

pytestmark = [pytest.mark.real, pytest.mark.skipif(sys.platform != "linux", reason="strace is of Linux")]

SAID = "Come to hands and knees. Lift your right leg behind you. Lower your knee. And sit back to rest."


@pytest.fixture(scope="module")
def recording(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("spoken") / "class.wav"
    spoken = ["espeak-ng", "-v", "en-us", "-s", "130", "-w", str(path), SAID]
    subprocess.run(spoken, check=True)
    return path


def test_a_draft_hears_a_recording_without_a_way_out_and_keeps_its_words(recording: Path, tmp_path: Path) -> None:
    folder = tmp_path / "classes"
    folder.mkdir()
    shutil.copy(recording, folder / "class.wav")
    trace = traced(folder, "draft", "class.wav", "-o", "class.yaml")
    assert sockets(trace) <= WITHIN
    assert "hands and knees" in (folder / "class.yaml").read_text(encoding="utf-8")
    kept = folder / f"class.wav{ENDING}"
    words = re.sub(r"<[^>]*>", "", kept.read_text(encoding="utf-8")).casefold()
    assert "right leg" in words and "knees" in words
    # It is not heard again, and a word that she mended stays mended.
    kept.write_text(kept.read_text(encoding="utf-8").replace("right", "left"), encoding="utf-8")
    again = heard(folder / "class.wav", ())
    assert again.kept == kept
    assert "left" in " ".join(block.text for block in again.transcript.blocks)


def test_a_folder_without_a_model_is_told(recording: Path, tmp_path: Path) -> None:
    with pytest.raises(UnusableChoice) as told:
        heard(recording, (), tmp_path)
    missing = f"{tmp_path}: no model for faster-whisper: {MODEL_FILES[0]} is missing (name its folder)"
    assert str(told.value) == missing
