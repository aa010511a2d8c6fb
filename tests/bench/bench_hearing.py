"""How long it takes to hear where somebody speaks in three hours of sound, and to lay that beside a plan.

The class is all shipped classes one after the other, twice; what is heard of it is made up, and the sound is noise with
louder noise for a third of the time. `python tests/bench/bench_hearing.py`
"""

import resource
import sys
import tempfile
from contextlib import suppress
from pathlib import Path
from time import perf_counter, process_time

import numpy as np
import soundfile

sys.path += [str(Path(__file__).parents[1] / "review"), str(Path(__file__).parent)]

from bench_compare import joined
from taught import SHIPPED, shipped_plan
from voiced import HEARINGS, voiced

from guide.problem import UnusableChoice
from guide.review.hearing.by_voice import listened
from guide.review.hearing.recorded_speech import heard_in

HOURS = 3
RATE_HZ = 44_100


def alignment() -> None:
    timeline = joined(shipped_plan(name)[1] for name in SHIPPED * 2)
    print(f"{timeline.length_ms / 3_600_000:.2f} hours, {len(timeline.spans)} steps, {len(timeline.cues)} cues")
    for hearing in HEARINGS:
        told = voiced(timeline, hearing, 1)
        began_s = perf_counter()
        steps = listened(timeline, "bench", told.stretches, told.length_ms).told.steps
        took_s = perf_counter() - began_s
        near = sum(
            bool(step.likely_starts) and abs(step.likely_starts[0].at_ms - true_ms) <= 2000
            for step, true_ms in zip(steps, told.starts_ms, strict=True)
        )
        print(f"{hearing.name}, {len(told.stretches)} stretches: {took_s:.1f} s, {near / len(steps):.1%} within 2 s")


def sound() -> None:
    random = np.random.default_rng(1)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "noise.flac"
        with soundfile.SoundFile(path, "w", RATE_HZ, 1) as file:
            for number in range(HOURS * 360):
                level = 0.05 if number % 3 == 0 else 0.005
                file.write((random.standard_normal(10 * RATE_HZ) * level).astype(np.float32))
        began_s, worked_s = perf_counter(), process_time()
        # There is no voice in noise, which is told when all of it has been heard.
        with suppress(UnusableChoice):
            heard_in(path)
        took = f"{perf_counter() - began_s:.0f} s ({process_time() - worked_s:.0f} s of work)"
        most_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
        print(f"{HOURS} hours of FLAC heard: {took}; the whole program took {most_mb} MB at most")


if __name__ == "__main__":
    alignment()
    sound()
