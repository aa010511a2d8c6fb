"""`guide record` in a real terminal, with a real microphone: what is heard is kept, whatever becomes of the program."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hall import PATIENCE_S, RATE_HZ, opened_hall, until
from take_sounds import recorded, spoken
from tmux_pane import pane

from guide.voice.takes.store import Takes

pytestmark = pytest.mark.real

CLASS = """
title: Evening
library cues: no
say names: no
class:
  - section: Standing
  - pose: mountain
    hold: 6 breaths
    enter: Stand tall.
    say: Let your shoulders grow heavy, and your arms long.
"""


@pytest.mark.paced
def test_a_line_that_was_spoken_is_kept_as_it_was_and_stays_when_the_program_is_killed(tmp_path: Path) -> None:
    (tmp_path / "evening.yaml").write_text(CLASS, encoding="utf-8")
    words = recorded(spoken(1200), noise_db=40)
    samples = np.repeat(np.rint(words * 32767).astype("<i2"), 2).tobytes()
    command = f"cd '{tmp_path}' && '{sys.executable}' -m guide record evening.yaml"
    with opened_hall() as hall, pane(command, hall.environment, tmp_path, 100, 30) as terminal:
        terminal.wait_for("line 1 of 2")
        terminal.type("Space")
        terminal.wait_for_large("recording")
        play = ["paplay", "--raw", "--format=s16le", f"--rate={RATE_HZ}", "--channels=2"]
        subprocess.run(play, input=samples, env=hall.environment, check=True, timeout=PATIENCE_S)
        terminal.type("Space")
        terminal.wait_for_large("recorded")
        terminal.type("Space")
        until(lambda: Takes.in_folder(tmp_path).latest("Stand tall.") is not None, "the take is on the disk")
        terminal.wait_for("line 2 of 2")
        terminal.type("Space")
        for process in terminal.processes("guide record"):
            os.kill(process, signal.SIGKILL)
    take = Takes.in_folder(tmp_path).latest("Stand tall.")
    assert take is not None
    heard, _ = take.read()
    assert Takes.in_folder(tmp_path).latest("Let your shoulders grow heavy, and your arms long.") is None
    # What was played is in it, sample by sample.
    whole = 1 << (heard.size + words.size).bit_length()
    likeness = np.fft.irfft(np.fft.rfft(heard, whole) * np.conj(np.fft.rfft(words, whole)), whole)
    at = int(np.argmax(likeness))
    kept = heard[at : at + words.size]
    assert np.corrcoef(kept, words[: kept.size])[0, 1] > 0.95
