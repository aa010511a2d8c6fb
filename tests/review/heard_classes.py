"""Every shipped class, taught and heard at every noise level, beside its plan: worked out once for all tests."""

from dataclasses import dataclass
from functools import cache

from examples import FULL
from taught import LONGEST, TAUGHT_CLASSES, shipped_plan
from voiced import GARBLED_HEARD, HEARINGS, Hearing, Voiced, voiced

from guide.plan.timeline import Timeline
from guide.review.hearing.by_voice import Listened, listened
from guide.sequence.steps import Steps

#: A step has a pause before it when nobody speaks in the plan for so long before its first words.
PAUSE_MS = 3_000

#: In a full check the short classes are taught twice. The longest, which takes its time, is where that is hardest.
SEEDS = {"desk-break": (1, 2), "starter": (1, 2)} if FULL else {}


@dataclass(frozen=True, slots=True)
class OneHeard:
    """A class, its truth, and what was made of it."""

    name: str
    hearing: Hearing
    seed: int
    steps: Steps
    timeline: Timeline
    voiced: Voiced

    @property
    def listened(self) -> Listened:
        return _listened(self.name, self.hearing, self.seed)

    def off_ms(self, step: int) -> int | None:
        """How far the likeliest start of a step is from the true one; None where none is told."""
        likely_starts = self.listened.told.steps[step].likely_starts
        return abs(likely_starts[0].at_ms - self.voiced.starts_ms[step]) if likely_starts else None


@cache
def heard_class(name: str, hearing: Hearing, seed: int) -> OneHeard:
    steps, timeline = shipped_plan(name)
    return OneHeard(name, hearing, seed, steps, timeline, voiced(timeline, hearing, seed))


@cache
def _listened(name: str, hearing: Hearing, seed: int) -> Listened:
    one = heard_class(name, hearing, seed)
    return listened(one.timeline, "a.wav", one.voiced.stretches, one.voiced.length_ms)


def all_heard(hearing: Hearing) -> list[OneHeard]:
    names = [name for name in TAUGHT_CLASSES if name != LONGEST or hearing is GARBLED_HEARD]
    return [heard_class(name, hearing, seed) for name in names for seed in SEEDS.get(name, (1,))]


def every_heard() -> list[OneHeard]:
    return [one for hearing in HEARINGS for one in all_heard(hearing)]


def has_pause(timeline: Timeline, step: int) -> bool:
    """Whether a step has words of its own, and quiet before them in the plan."""
    first = next((number for number, cue in enumerate(timeline.cues) if cue.step == step), None)
    if first is None:
        return False
    return first == 0 or timeline.cues[first].start_ms - timeline.cues[first - 1].end_ms >= PAUSE_MS
