"""How long it takes to compare three hours of captions with their plan, and how many starts come out within 2 s.

The class is all shipped classes one after the other, twice: `python tests/bench/bench_compare.py`.
"""

import sys
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from time import process_time

sys.path.append(str(Path(__file__).parents[1] / "review"))

from taught import LEVELS, SHIPPED, shipped_plan, taught

from guide.plan.timeline import Timeline
from guide.review.aligning.step_starts import step_starts
from guide.review.aligning.time_windows import heard_cues, timed_words


def joined(timelines: Iterable[Timeline]) -> Timeline:
    """The classes one after the other."""
    spans, cues, at_ms = [], [], 0
    for one in timelines:
        steps = len(spans)
        cues += [replace(cue, start_ms=cue.start_ms + at_ms, step=cue.step + steps) for cue in one.cues]
        for span in one.spans:
            edges = {name: getattr(span, name) + at_ms for name in ("start_ms", "hold_ms", "held_ms", "end_ms")}
            spans.append(replace(span, **edges))
        at_ms += one.length_ms
    return replace(one, length_ms=at_ms, spans=tuple(spans), cues=tuple(cues))


def main() -> None:
    timeline = joined(shipped_plan(name)[1] for name in SHIPPED * 2)
    print(f"{timeline.length_ms / 3_600_000:.2f} hours, {len(timeline.spans)} steps, {len(timeline.cues)} cues")
    for noise in LEVELS:
        for block_ms in (5000, 40_000):
            told = taught(timeline, noise, block_ms, 1)
            began_s = process_time()
            starts_ms = step_starts(timeline, heard_cues(timeline, timed_words(told.transcript))).starts_ms
            took_s = process_time() - began_s
            near = sum(abs(one - true) <= 2000 for one, true in zip(starts_ms, told.starts_ms, strict=True))
            figures = f"{took_s:.1f} s of work, {near / len(starts_ms):.1%} within 2 s"
            print(f"{noise.name}, captions of {block_ms / 1000:g} s: {figures}")


if __name__ == "__main__":
    main()
