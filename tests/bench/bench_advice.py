"""What advice adds to the check of a class: CPU of planning it with estimated lengths, and of asking every rule.

python tests/bench/bench_advice.py
"""

import time
from collections.abc import Callable
from pathlib import Path

from guide.plan.advice.estimated_plan import estimated_view
from guide.plan.advice.registry import RULES, advise
from guide.ready.load import load
from guide.sequence.expand import library_of
from guide.sequence.shipped_folder import shipped_folder

RUNS = 10


def cost_ms(work: Callable[[], object]) -> float:
    """CPU of doing something once, in milliseconds; the mean of some runs after a first."""
    work()
    started = time.process_time()
    for _ in range(RUNS):
        work()
    return (time.process_time() - started) * 1000 / RUNS


def told(path: Path) -> str:
    class_file, steps = load(path).whole()
    library = library_of(class_file)
    view = estimated_view(class_file, steps, library, 0.75)
    reading_ms = cost_ms(lambda: load(path).whole())
    planning_ms = cost_ms(lambda: estimated_view(class_file, steps, library, 0.75))
    asking_ms = cost_ms(lambda: advise(view))
    dearest = max(RULES, key=lambda name: cost_ms(lambda: list(RULES[name].advise(view))))
    return (
        f"{path.stem}: {len(steps.steps)} steps; {reading_ms:.1f} ms to read, {planning_ms:.1f} to plan, "
        f"{asking_ms:.1f} to ask all the rules (the dearest: {dearest})"
    )


def main() -> None:
    for path in sorted(shipped_folder().glob("*.yaml")):
        print(told(path))


if __name__ == "__main__":
    main()
