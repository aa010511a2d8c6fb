"""How long encoding a finished sound takes, each format alone, beside plain writing of the same bytes.

    python tests/bench/bench_encode.py [--minutes 3] [--formats .mp3 .wav]

Each format runs in a process of its own, so that its peak memory is its own. Prints seconds for an hour of sound, and
how many times the plain writing that is. The sound is like a class: words with quiet between them, over soft bells.
"""

import argparse
import json
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from guide.export.audio import AUDIO, write_audio
from guide.export.audio.base import Sink
from guide.export.audio.pump import pieces
from guide.export.tags import Tags
from guide.plan.timeline import Chapter

RATE_HZ = 48_000
BLOCK_FRAMES = 8192
PLAIN = "plain writing"


def ten_seconds() -> NDArray[np.float32]:
    """Four seconds like a voice (noise shaped by swelling), then a struck tone that fades."""
    generator = np.random.default_rng(7)
    seconds = np.arange(10 * RATE_HZ) / RATE_HZ
    noise = np.convolve(generator.normal(0, 1, len(seconds)), np.hanning(24) / 12, "same")
    voice = 0.12 * noise * np.abs(np.sin(seconds * 9)) * (seconds < 4)
    bowl = 0.2 * np.exp(-np.clip(seconds - 5, 0, None)) * np.sin(seconds * 2 * np.pi * 220) * (seconds > 5)
    return np.stack((voice + bowl, voice + 0.9 * bowl), axis=1).astype(np.float32)


def finished_sound(minutes: float) -> Iterator[NDArray[np.float32]]:
    turn = ten_seconds()
    turn = np.concatenate((turn, turn[:BLOCK_FRAMES]))
    for number in range(int(minutes * 60 * RATE_HZ) // BLOCK_FRAMES):
        start = number * BLOCK_FRAMES % (10 * RATE_HZ)
        yield turn[start : start + BLOCK_FRAMES]


def run(name: str, minutes: float, folder: Path) -> None:
    """Write one file and print what it took, as JSON."""
    length_ms = int(minutes * 60_000)
    chapters = tuple(Chapter(f"Section {n}", n * length_ms // 10, (n + 1) * length_ms // 10) for n in range(10))
    start_s, start_cpu_s = time.perf_counter(), time.process_time()
    if name == PLAIN:
        path = folder / "plain.raw"
        with path.open("wb") as file:
            sink = Sink(file)
            for piece in pieces(finished_sound(minutes)):
                sink.write(piece.tobytes())
    else:
        path = folder / f"class{name}"
        write_audio(path, finished_sound(minutes), Tags("Bench", chapters=chapters, length_ms=length_ms))
    print(
        json.dumps(
            {
                "wall_s": time.perf_counter() - start_s,
                "cpu_s": time.process_time() - start_cpu_s,
                "peak_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
                "mb": path.stat().st_size / 1e6,
            }
        )
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--minutes", type=float, default=3)
    parser.add_argument("--formats", nargs="+", default=list(AUDIO))
    parser.add_argument("--one", help=argparse.SUPPRESS)
    parser.add_argument("--folder", type=Path, help=argparse.SUPPRESS)
    chosen = parser.parse_args()
    if chosen.one:
        run(chosen.one, chosen.minutes, chosen.folder)
        return
    hours = chosen.minutes / 60
    floor_s = 0.0
    print(f"{chosen.minutes:g} minutes of sound; seconds are for an hour of it")
    print(f"{'format':<14} {'wall s':>8} {'cpu s':>8} {'÷ plain':>8} {'peak MB':>8} {'MB/hour':>8}")
    with tempfile.TemporaryDirectory() as folder:
        for name in (PLAIN, *chosen.formats):
            command = [sys.executable, __file__, "--one", name, "--minutes", str(chosen.minutes), "--folder", folder]
            took = json.loads(subprocess.run(command, capture_output=True, check=True).stdout)
            wall_s = took["wall_s"] / hours
            floor_s = floor_s or wall_s
            print(
                f"{name:<14} {wall_s:>8.2f} {took['cpu_s'] / hours:>8.2f} {wall_s / floor_s:>8.1f}"
                f" {took['peak_mb']:>8.0f} {took['mb'] / hours:>8.1f}"
            )


if __name__ == "__main__":
    main()
