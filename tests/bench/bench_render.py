"""Rendering with everything on, against encoding the same finished sound alone; and the memory that it takes.

    python tests/bench/bench_render.py [--rounds 3] [--formats mp3 opus m4a flac wav] [--hours 10]

The class is the shipped morning class over and over for an hour, with its words already spoken. Each side
runs in a process of its own, in turns, and the medians of their wall times make the ratio: whole minus start-up for
the render; for the encoder alone, the samples lie in a file on disk. Asserts nothing.
"""

import argparse
import json
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from guide.plan.timeline import Timeline
from guide.ready.load import load
from guide.ready.make_ready import ReadyClass, make_ready

CLASS = Path("sequences/lakeside-morning.yaml")
HOUR_MS = 3_600_000


def stretched(timeline: Timeline, length_ms: int) -> Timeline:
    """The timeline over and over until it is so long; what begins after that is left out."""
    turns = range(-(-length_ms // timeline.length_ms))
    parts = {
        name: tuple(
            replace(event, start_ms=event.start_ms + turn * timeline.length_ms, **_ends(event, turn, timeline))
            for turn in turns
            for event in getattr(timeline, name)
            if event.end_ms + turn * timeline.length_ms < length_ms
        )
        for name in ("cues", "rings", "dips", "chapters")
    }
    return replace(timeline, length_ms=length_ms, **parts)


def _ends(event: object, turn: int, timeline: Timeline) -> dict[str, int]:
    if "end_ms" in getattr(event, "__slots__", ()):
        return {"end_ms": event.end_ms + turn * timeline.length_ms}  # type: ignore[attr-defined]
    return {}


def hour_class(length_ms: int) -> ReadyClass:
    ready = make_ready(load(CLASS))
    return replace(ready, timeline=stretched(ready.timeline, length_ms))


def encode_alone(samples: Path, target: Path) -> None:
    from guide.export.audio import write_audio
    from guide.export.tags import Tags

    sound = np.memmap(samples, np.float32, "r").reshape(-1, 2)

    def blocks() -> Iterator[NDArray[np.float32]]:
        for start in range(0, len(sound), 48_000):
            yield np.array(sound[start : start + 48_000])

    write_audio(target, blocks(), Tags("Bench"))


def child(job: str, target: Path, samples: Path, length_ms: int) -> None:
    """One measured run, its figures printed as JSON."""
    if job == "encode":
        start = time.perf_counter()
        encode_alone(samples, target)
    else:
        from guide.cli.render import render_class

        ready = hour_class(length_ms)
        start = time.perf_counter()
        render_class(ready, target, ("none",))
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(json.dumps({"seconds": time.perf_counter() - start, "peak_mb": peak_mb}))


def measured(job: str, target: Path, samples: Path, length_ms: int) -> dict[str, float]:
    command = [sys.executable, __file__, "--child", job, str(target), str(samples), str(length_ms)]
    done = subprocess.run(command, check=True, capture_output=True, text=True, env=dict(os.environ))
    figures: dict[str, float] = json.loads(done.stdout)
    return figures


def write_samples(path: Path) -> None:
    from guide.sound.mixer import BLOCK_FRAMES, block, prepare

    ready = hour_class(HOUR_MS)
    mix = prepare(ready.timeline, ready.spoken, ready.palette)
    with path.open("wb") as file:
        for first in range(0, mix.length_frames, BLOCK_FRAMES):
            file.write(block(mix, first, min(BLOCK_FRAMES, mix.length_frames - first)).tobytes())
    print(f"an hour with {len(ready.timeline.cues)} cues and {len(ready.timeline.rings)} chimes and bells")


def main() -> None:
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--rounds", type=int, default=3)
    arguments.add_argument("--formats", nargs="+", default=["mp3", "opus", "m4a", "flac", "wav"])
    arguments.add_argument("--hours", type=float, default=10.0)
    arguments.add_argument("--child", nargs=4)
    asked = arguments.parse_args()
    if asked.child:
        job, target, samples, length_ms = asked.child
        child(job, Path(target), Path(samples), int(length_ms))
        return
    with tempfile.TemporaryDirectory() as folder:
        samples = Path(folder) / "hour.f32"
        write_samples(samples)
        for suffix in asked.formats:
            target = Path(folder) / f"track.{suffix}"
            runs = [
                (measured("encode", target, samples, HOUR_MS), measured("render", target, samples, HOUR_MS))
                for _ in range(asked.rounds)
            ]
            alone, whole = (statistics.median(run[side]["seconds"] for run in runs) for side in (0, 1))
            print(f"{suffix:5} encoding alone {alone:6.1f} s, rendering {whole:6.1f} s, ratio {whole / alone:.2f}")
        for hours in (1 / 3, asked.hours):
            figures = measured("render", Path(folder) / "long.mp3", samples, int(hours * HOUR_MS))
            print(f"{hours:5.2f} h to MP3: peak memory {figures['peak_mb']:.0f} MB, {figures['seconds']:.0f} s")


if __name__ == "__main__":
    main()
