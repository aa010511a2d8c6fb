"""The memory that rendering takes, of a class of twenty minutes and of one of ten hours.

    python tests/bench/bench_render.py [--hours 10]

The class is the shipped morning class over and over, with its words already spoken. How long rendering takes is
measured by `bench_waiting.py`. Asserts nothing.
"""

import argparse
import resource
import subprocess
import sys
import tempfile
from dataclasses import replace
from pathlib import Path

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


def long_class(length_ms: int) -> ReadyClass:
    ready = make_ready(load(CLASS))
    return replace(ready, timeline=stretched(ready.timeline, length_ms))


def child(target: Path, length_ms: int) -> None:
    """One measured run, its most memory printed."""
    from guide.cli.render import render_class

    render_class(long_class(length_ms), target, ("none",))
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)


def peak_mb(target: Path, length_ms: int) -> float:
    command = [sys.executable, __file__, "--child", str(target), str(length_ms)]
    return float(subprocess.run(command, check=True, capture_output=True, text=True).stdout)


def main() -> None:
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--hours", type=float, default=10.0)
    arguments.add_argument("--child", nargs=2)
    asked = arguments.parse_args()
    if asked.child:
        target, length_ms = asked.child
        child(Path(target), int(length_ms))
        return
    with tempfile.TemporaryDirectory() as folder:
        for hours in (1 / 3, asked.hours):
            peak = peak_mb(Path(folder) / "long.mp3", int(hours * HOUR_MS))
            print(f"{hours:5.2f} h to MP3: peak memory {peak:.0f} MB")


if __name__ == "__main__":
    main()
