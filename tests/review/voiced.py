"""What a detector of speech hears of a taught class whose truth is known: stretches, without words."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from random import Random

from taught import CLEAN, GARBLED, LIGHT, Noise, Utterance, taught

from guide.plan.timeline import Timeline
from guide.review.hearing.voice_activity import Stretch

#: A detector joins what lies closer together.
JOINED_MS = 300


@dataclass(frozen=True, slots=True)
class Hearing:
    """How far what is heard is from what was said; `class_` is how far that is from the plan.

    `edges_ms` is the spread of the ends of stretches, `missed` the share of what is said too quietly, `late` the share
    of which the first part is, `breath` the share of what is said in two parts, `bumps` how many a minute are taken for
    speech and are none, `talk_s` how much is talked before the class and after it, at most.
    """

    name: str
    class_: Noise
    edges_ms: float
    missed: float
    late: float
    breath: float
    bumps: float
    talk_s: float


CLEAN_HEARD = Hearing("clean", CLEAN, 40, 0, 0, 0.05, 0, 0)
LIGHT_HEARD = Hearing("light", LIGHT, 60, 0.03, 0.03, 0.15, 0.2, 20)
GARBLED_HEARD = Hearing("garbled", GARBLED, 90, 0.08, 0.08, 0.25, 0.8, 60)

HEARINGS = (CLEAN_HEARD, LIGHT_HEARD, GARBLED_HEARD)


@dataclass(frozen=True, slots=True)
class Voiced:
    """The stretches heard in a taught class, and the truth: when each step began, and when the last was over."""

    stretches: tuple[Stretch, ...]
    length_ms: int
    starts_ms: tuple[int, ...]
    end_ms: int


def voiced(timeline: Timeline, hearing: Hearing, seed: int) -> Voiced:
    """A class as it was taught and heard; the same seed gives the same."""
    told = taught(timeline, hearing.class_, 5000, seed)
    random = Random(f"{timeline.title} {hearing.name} {seed} heard")
    before_ms, after_ms = (round(random.uniform(0, hearing.talk_s) * 1000) for _ in range(2))
    end_ms = told.end_ms + before_ms
    length_ms = end_ms + 5_000 + after_ms
    parts = [
        *_talk(0, before_ms, random),
        *(part for one in told.said for part in _heard(one, before_ms, hearing, random)),
        *_bumps(length_ms, hearing, random),
        *_talk(end_ms + 2_000, length_ms, random),
    ]
    starts_ms = tuple(start_ms + before_ms for start_ms in told.starts_ms)
    return Voiced(tuple(_joined(parts)), length_ms, starts_ms, end_ms)


def stretches_of(said: Sequence[tuple[int, int]], hearing: Hearing, seed: int) -> tuple[Stretch, ...]:
    """What is heard of words that are said between some moments."""
    random = Random(f"{hearing.name} {seed} words")
    runs = [Utterance(one.start_ms, one.end_ms, "", None) for one in _joined(list(said))]
    parts = [part for one in runs for part in _heard(one, 0, hearing, random)]
    return tuple(_joined([*parts, *_bumps(runs[-1].end_ms, hearing, random)]))


def _heard(one: Utterance, later_ms: int, hearing: Hearing, random: Random) -> Iterator[tuple[int, int]]:
    """The parts of an utterance that are heard."""
    if random.random() < hearing.missed:
        return
    start_ms = one.start_ms + later_ms + round(random.gauss(0, hearing.edges_ms))
    end_ms = one.end_ms + later_ms + round(random.gauss(0, hearing.edges_ms * 1.5))
    if random.random() < hearing.late:
        start_ms += round(random.uniform(0.1, 0.5) * (end_ms - start_ms))
    if random.random() < hearing.breath and end_ms - start_ms > 2_000:
        middle_ms = start_ms + round(random.uniform(0.3, 0.7) * (end_ms - start_ms))
        pause_ms = random.randrange(300, 700)
        yield start_ms, middle_ms - pause_ms // 2
        yield middle_ms + pause_ms // 2, end_ms
    else:
        yield start_ms, end_ms


def _bumps(length_ms: int, hearing: Hearing, random: Random) -> Iterator[tuple[int, int]]:
    for _ in range(round(hearing.bumps * length_ms / 60_000)):
        start_ms = random.randrange(length_ms)
        yield start_ms, start_ms + random.randrange(150, 2_000)


def _talk(from_ms: int, to_ms: int, random: Random) -> Iterator[tuple[int, int]]:
    """Talk as it comes, for the time between."""
    at_ms = from_ms
    while (end_ms := at_ms + random.randrange(600, 5_000)) < to_ms:
        yield at_ms, end_ms
        at_ms = end_ms + random.randrange(300, 4_000)


def _joined(parts: list[tuple[int, int]]) -> Iterator[Stretch]:
    """In order of time, those close together as one."""
    start_ms = end_ms = -JOINED_MS
    for one_ms, other_ms in sorted((max(start, 0), end) for start, end in parts if end > max(start, 0)):
        if one_ms - end_ms >= JOINED_MS:
            if end_ms > start_ms:
                yield Stretch(start_ms, end_ms)
            start_ms, end_ms = one_ms, other_ms
        else:
            end_ms = max(end_ms, other_ms)
    if end_ms > start_ms:
        yield Stretch(start_ms, end_ms)
