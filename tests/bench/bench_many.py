"""Forty tracks rendered by two processes, beside one: how much sooner they are done.

    python tests/bench/bench_many.py [--tracks 40] [--seconds 60]

In processor time, so that other work on the machine does not count: of one process that renders all, over half of what
two take and what the program itself does beside them; starts and imports are in both. Asserts nothing.
"""

import argparse
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from guide.cli.render_many import TrackDone, TrackJob, rendered
from guide.cli.render_one import TrackOptions
from guide.export.replacing import Replace
from guide.export.side_by_side import SideBySide
from guide.plan.thinning import NAMED
from guide.sound.balance import Balance

CLASS = """title: Track {number}
class:
  - pose: mountain
    hold: {seconds} s
    say: none
    enter: none
    leave: none
"""


def timed(job: TrackJob, heard: Callable[[float], None]) -> tuple[int, float, TrackDone]:
    """A track rendered; the process that did it, and how much processor time that has taken in all."""
    done = rendered(job, heard)
    return os.getpid(), time.process_time(), done


def jobs(folder: Path, tracks: int, seconds: int) -> list[TrackJob]:
    asked = TrackOptions(
        captions=(),
        loudness=-18.0,
        part=(None, None),
        words_kept=NAMED["all"],
        stereo=False,
        room_tone=False,
        stems=False,
        balance=Balance(),
        replacing=Replace.OWN,
        slot_ms=None,
        level=None,
        voice=None,
        voice_rate=None,
    )
    files = [folder / f"{number}.yaml" for number in range(tracks)]
    for number, file in enumerate(files):
        file.write_text(CLASS.format(number=number, seconds=seconds), encoding="utf-8")
    names = tuple(map(str, files))
    return [TrackJob(str(file), names, file.with_suffix(".mp3"), asked, None) for file in files]


def child(workers: int, tracks: int, seconds: int) -> None:
    """One measured run; prints the processor time of a process, and of this one beside it."""
    spent_s: dict[int, float] = {}
    with tempfile.TemporaryDirectory() as folder:
        pool = SideBySide(timed, workers)
        for _, outcome in pool.work_through(jobs(Path(folder), tracks, seconds), lambda place, share: None):
            assert isinstance(outcome, tuple), outcome
            pid, spent, done = outcome
            assert done.made, done.line
            spent_s[pid] = spent
    here_s = 0.0 if os.getpid() in spent_s else time.process_time()
    print(sum(spent_s.values()) / workers + here_s)


def main() -> None:
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--tracks", type=int, default=40)
    arguments.add_argument("--seconds", type=int, default=60)
    arguments.add_argument("--child", type=int)
    asked = arguments.parse_args()
    if asked.child:
        child(asked.child, asked.tracks, asked.seconds)
        return
    spent_s = []
    for workers in (1, 2):
        command = [sys.executable, *sys.argv, "--child", str(workers)]
        spent_s.append(float(subprocess.run(command, check=True, capture_output=True, text=True).stdout))
    one_s, two_s = spent_s
    print(f"{asked.tracks} tracks of {asked.seconds} s: {one_s:.1f} s by one process, {two_s:.1f} s by two: ", end="")
    print(f"{one_s / two_s:.2f} times as fast")


if __name__ == "__main__":
    main()
