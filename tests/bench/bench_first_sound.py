"""How long `guide play` takes to its first sound, for every shipped class, heard in a sound server.

    python tests/bench/bench_first_sound.py

Each class is played once before it is timed, so that its words are spoken. It needs what `tests/real/hall.py` needs.
"""

import os
import subprocess
import sys
import threading
import time
from pathlib import Path
from statistics import median

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "real"))
from hall import Hall, opened_hall  # noqa: E402 (the helpers of another folder)

TIMES = 5

#: Louder than this, of 32,768, is sound.
LEVEL = 20


class Ear:
    """Says when the hall was first loud after it was asked to listen."""

    def __init__(self, hall: Hall) -> None:
        command = ["parec", "-d", "hall.monitor", "--latency-msec=5", "--raw", "--format=s16le", "--channels=1"]
        self.recorder = subprocess.Popen(command, stdout=subprocess.PIPE, env=hall.environment)
        self.loud = threading.Event()
        self.loud_s = 0.0
        threading.Thread(target=self._listen, daemon=True).start()

    def _listen(self) -> None:
        assert self.recorder.stdout is not None
        while raw := os.read(self.recorder.stdout.fileno(), 4096):
            if np.abs(np.frombuffer(raw[: len(raw) // 2 * 2], "<i2")).max() > LEVEL and not self.loud.is_set():
                self.loud_s = time.monotonic()
                self.loud.set()


def first_sound_s(hall: Hall, ear: Ear, file: Path) -> float:
    """How long one start takes until it is heard."""
    # What played before has to fade away.
    time.sleep(1.5)
    ear.loud.clear()
    began_s = time.monotonic()
    playing = subprocess.Popen(
        [sys.executable, "-m", "guide", "play", str(file), "--plain"],
        env=hall.environment,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
    )
    ear.loud.wait(120)
    playing.kill()
    playing.wait()
    return ear.loud_s - began_s


def main() -> None:
    with opened_hall() as hall:
        ear = Ear(hall)
        for file in sorted((ROOT / "sequences").glob("*.yaml")):
            subprocess.run([sys.executable, "-m", "guide", "plan", str(file)], check=True, capture_output=True)
            first_sound_s(hall, ear, file)
            times_s = [first_sound_s(hall, ear, file) for _ in range(TIMES)]
            print(
                f"{file.stem:<20} {median(times_s):.2f} s (from {min(times_s):.2f} to {max(times_s):.2f})", flush=True
            )
        ear.recorder.terminate()


if __name__ == "__main__":
    main()
