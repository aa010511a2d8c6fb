"""What planning 10,000 steps and checking 1,000 files cost.

    python tests/bench/bench_plan.py

Prints seconds of processor time, measured in this run on this machine; asserts nothing.
"""

import random
import sys
import time
from fractions import Fraction
from pathlib import Path

from guide.plan.checker import breaches
from guide.plan.scheduler import plan
from guide.problem import Place
from guide.ready.load import load
from guide.sequence.steps import (
    BY_CHIMES,
    BellWhen,
    Breath,
    CueKind,
    InBreaths,
    Pace,
    Side,
    Sounds,
    Step,
    StepKind,
    Steps,
    Words,
)

PACE = Pace(Fraction(4000), Fraction(0), Fraction(4000), Fraction(0))
SOUNDS = Sounds("class", "inhale", "exhale", "pause")


def words(line: int, text: str) -> Words:
    return Words(text, CueKind.HOW, Place("bench.yaml", line, 1))


def pair(number: int) -> list[Step]:
    """A pose (or every third time a move) on both sides, with up to three cues in the hold."""
    made = []
    for side in Side:
        move = number % 3 == 2
        said = tuple(words(10 * number + 2 + k, f"{number} {k} {side.value}") for k in range(1 if move else number % 4))
        made.append(
            Step(
                kind=StepKind.MOVE if move else StepKind.POSE,
                title="tree",
                place=Place("bench.yaml", 10 * number + 1, 1),
                section=None,
                side=side,
                pair=str(number),
                pace=PACE,
                breath=Breath.INHALE if move else None,
                hold=None if move else InBreaths(4, 5, 6),
                entry=() if move else (words(10 * number + 9, f"{number} in {side.value}"),),
                words=said,
                count=BY_CHIMES,
                bell=BellWhen.NONE,
                bell_sound="class",
            )
        )
    return made


def main() -> None:
    steps = Steps("Bench", tuple(s for n in range(5000) for s in pair(n)), (), SOUNDS, BellWhen.BOTH, None)
    lengths = random.Random(1)
    word_ms = {w.text: lengths.randint(800, 5000) for step in steps.steps for w in (*step.entry, *step.words)}
    sound_ms = dict.fromkeys(("class", "inhale", "exhale", "pause"), 3000)
    start = time.process_time()
    timeline = plan(steps, word_ms, sound_ms)
    planned = time.process_time() - start
    start = time.process_time()
    broken = breaches(steps, timeline, word_ms)
    print(f"planning {len(steps.steps):,} steps ({len(timeline.cues):,} cues): {planned:.2f} s of processor time")
    print(f"proving that plan: {time.process_time() - start:.2f} s, {len(broken)} breaches")
    files = sorted(Path("sequences").glob("*.yaml"))
    start = time.process_time()
    for number in range(1000):
        if load(files[number % len(files)]).problems:
            sys.exit(f"{files[number % len(files)]} has problems")
    print(f"checking 1,000 files (the shipped ones, again and again): {time.process_time() - start:.1f} s")


if __name__ == "__main__":
    main()
