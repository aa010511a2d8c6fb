"""Taught classes whose truth is known: a plan led by a person, heard by a machine, and cut into captions.

Each step lasts as long as a person made it last; words are said again, in other words, not at all, or misheard.
"""

import re
from bisect import bisect_right
from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from functools import cache
from itertools import chain, pairwise
from math import exp
from pathlib import Path
from random import Random

from class_texts import expand
from examples import FULL
from misheard import ASIDES, CONFUSIONS, FILLERS, SYNONYMS

from guide.plan.estimate import EstimatedLengths, spoken_ms
from guide.plan.fitting.fit import fit
from guide.plan.scheduler import plan
from guide.plan.timeline import Timeline
from guide.review.captions.transcript import Segment, Transcript, folded
from guide.sequence.reader import read_text
from guide.sequence.steps import Steps

SEQUENCES = Path(__file__).parents[2] / "sequences"

SHIPPED = ("breathing-practice", "desk-break", "evening-lake", "lakeside-morning", "starter")

#: Those that tests look at, and the longest of them: evening lake takes as long as all others together.
TAUGHT_CLASSES = tuple(name for name in SHIPPED if FULL or name != "evening-lake")
LONGEST = "evening-lake" if FULL else "lakeside-morning"

LETTERS = "abcdefghijklmnoprstuvwy"


class SoundLengths(dict[str, int]):
    """Every bell lasts two seconds."""

    def __missing__(self, name: str) -> int:
        return 2000


@dataclass(frozen=True, slots=True)
class Noise:
    """How far a taught class is from its plan, and its captions from what was said; shares of all cues, or words.

    `stretch` is the spread of the lengths of steps (the standard deviation of the logarithm).
    """

    name: str
    stretch: float
    dropped: float
    repeated: float
    reworded: float
    misheard: float
    garbled: float
    filled: float
    asides: float
    heard: Callable[[str], str]


def _without_punctuation(text: str) -> str:
    return " ".join(folded(text))


CLEAN = Noise("clean", 0.15, 0, 0, 0, 0, 0, 0, 0, str)
LIGHT = Noise("light", 0.2, 0.05, 0.05, 0.1, 0.3, 0.02, 0.1, 0.08, _without_punctuation)
GARBLED = Noise("garbled", 0.25, 0.12, 0.08, 0.2, 0.7, 0.1, 0.25, 0.15, _without_punctuation)

LEVELS = (CLEAN, LIGHT, GARBLED)


@dataclass(frozen=True, slots=True)
class Utterance:
    """Words really said; `cue` is an index into the cues of the plan, None for what is in no plan."""

    start_ms: int
    end_ms: int
    text: str
    cue: int | None


@dataclass(frozen=True, slots=True)
class Taught:
    """A taught class: what was heard of it, and the truth.

    `starts_ms` is when each step really began, one for each span of the plan, and `end_ms` when the last was over;
    `said` is all that was really said, as it was heard.
    """

    transcript: Transcript
    starts_ms: tuple[int, ...]
    end_ms: int
    said: tuple[Utterance, ...]


@cache
def shipped_steps(name: str) -> Steps:
    path = SEQUENCES / f"{name}.yaml"
    return expand(read_text(path.read_text(encoding="utf-8"), path.name, SEQUENCES))


@cache
def shipped_plan(name: str) -> tuple[Steps, Timeline]:
    return planned(shipped_steps(name))


def shipped_plans() -> list[tuple[Steps, Timeline]]:
    return [shipped_plan(name) for name in TAUGHT_CLASSES]


def planned(steps: Steps) -> tuple[Steps, Timeline]:
    """The steps fitted to their slot, and their plan with estimated lengths of words."""
    word_ms, sound_ms = EstimatedLengths(0.75), SoundLengths()
    fitted = fit(steps, word_ms, sound_ms).steps
    return fitted, plan(fitted, word_ms, sound_ms)


def taught(timeline: Timeline, noise: Noise, block_ms: int, seed: int, slips: Collection[int] = ()) -> Taught:
    """The class as it was taught, in captions of at most `block_ms` (of at least one word).

    In the cues whose numbers are in `slips`, left and right are exchanged. The same seed gives the same class,
    whatever the captions are.
    """
    random = Random(f"{timeline.title} {noise.name} {seed}")
    real = _real_clock(timeline, noise, random)
    said = _said(timeline, noise, real, random, slips)
    blocks = _cut(said, block_ms, Random(f"{seed} {block_ms}"))
    starts_ms = tuple(real(span.start_ms) for span in timeline.spans)
    transcript = Transcript(f"{timeline.title}, {noise.name}", tuple(blocks))
    return Taught(transcript, starts_ms, real(timeline.spans[-1].end_ms), tuple(said))


def webvtt_of(transcript: Transcript) -> str:
    """The captions as a WebVTT file."""
    cues = (f"{stamp(one.start_ms)} --> {stamp(one.end_ms)}\n{one.text}" for one in transcript.blocks)
    return "\n\n".join(["WEBVTT", *cues]) + "\n"


def exchanged(text: str) -> str:
    """`text` with left and right exchanged."""
    other = {"left": "right", "right": "left", "Left": "Right", "Right": "Left"}
    return re.sub(r"\b(?:left|right)\b", lambda found: other[found[0]], text, flags=re.IGNORECASE)


def _real_clock(timeline: Timeline, noise: Noise, random: Random) -> Callable[[int], int]:
    """From planned to real time: what was recorded before the class, then each step with a factor of its own."""
    edges = [0, *(span.start_ms for span in timeline.spans), timeline.spans[-1].end_ms]
    real = [random.randrange(5_000, 60_000)]
    tempo = exp(random.gauss(0, noise.stretch / 2))
    for before, after in pairwise(edges):
        factor = min(max(tempo * exp(random.gauss(0, noise.stretch)), 0.6), 2.0)
        real.append(real[-1] + round((after - before) * factor))

    def at(ms: int) -> int:
        number = min(max(bisect_right(edges, ms) - 1, 0), len(edges) - 2)
        length_ms = max(edges[number + 1] - edges[number], 1)
        return real[number] + (real[number + 1] - real[number]) * (ms - edges[number]) // length_ms

    return at


def _said(
    timeline: Timeline, noise: Noise, real: Callable[[int], int], random: Random, slips: Collection[int]
) -> list[Utterance]:
    """Every cue that was said, at its real time and for as long as it took, with what came between."""
    starts = [real(cue.start_ms) for cue in timeline.cues]
    free = [*starts[1:], real(timeline.length_ms)]
    said: list[Utterance] = []
    for number, cue in enumerate(timeline.cues):
        words = exchanged(cue.words) if number in slips else cue.words
        length_ms = min(round(cue.length_ms * random.uniform(0.85, 1.1)), free[number] - starts[number] - 100)
        one = Utterance(starts[number], starts[number] + length_ms, words, number)
        dropped = random.random() < noise.dropped and number not in slips
        spoken = [] if dropped else _with_more(one, free[number], noise, random)
        said.extend(replace(each, text=_as_heard(each.text, noise, random)) for each in spoken)
    return said


def _with_more(one: Utterance, free_ms: int, noise: Noise, random: Random) -> list[Utterance]:
    """What was said, and after it, where there is room, the same again or an aside."""
    again = replace(one, start_ms=one.end_ms + 400, end_ms=2 * one.end_ms - one.start_ms + 400)
    aside = random.choice(ASIDES)
    at_ms = one.end_ms + random.randrange(300, 1_500)
    between = Utterance(at_ms, at_ms + spoken_ms(aside, 0.9), aside, None)
    for share, more in ((noise.repeated, again), (noise.asides, between)):
        if random.random() < share and more.end_ms + 200 < free_ms:
            return [one, more]
    return [one]


def _as_heard(text: str, noise: Noise, random: Random) -> str:
    """What a machine writes for what a person makes of `text`."""
    words = noise.heard(text)
    if noise.misheard:
        said = [random.choice(SYNONYMS[word]) if _now(word, noise, random) else word for word in words.split()]
        words = _misheard(" ".join(filter(None, said)), noise, random)
        words = " ".join(_garbled(word, random) if random.random() < noise.garbled else word for word in words.split())
    return f"{random.choice(FILLERS)} {words}" if random.random() < noise.filled else words


def _now(word: str, noise: Noise, random: Random) -> bool:
    return word in SYNONYMS and random.random() < noise.reworded


def _misheard(text: str, noise: Noise, random: Random) -> str:
    def heard(found: re.Match[str]) -> str:
        return random.choice(CONFUSIONS[found[0]]) if random.random() < noise.misheard else found[0]

    return re.sub(rf"\b(?:{'|'.join(CONFUSIONS)})\b", heard, text)


def _garbled(word: str, random: Random) -> str:
    """A word with a letter lost, put in or exchanged; short ones are lost."""
    if len(word) < 4:
        return ""
    at = random.randrange(len(word))
    return word[:at] + random.choice(("", random.choice(LETTERS), word[at] + random.choice(LETTERS))) + word[at + 1 :]


def _cut(said: list[Utterance], block_ms: int, random: Random) -> list[Segment]:
    """Captions that go on, over pauses too, until the next word would make them too long."""
    blocks: list[Segment] = []
    most_ms = 0
    for word in chain.from_iterable(map(_words, said)):
        if blocks and word.end_ms - blocks[-1].start_ms <= most_ms:
            blocks[-1] = Segment(blocks[-1].start_ms, word.end_ms, f"{blocks[-1].text} {word.text}")
        else:
            blocks.append(word)
            most_ms = round(block_ms * random.uniform(0.7, 1.0))
    return blocks


def _words(one: Utterance) -> list[Segment]:
    """Each word with its share of the time, by its letters."""
    words = one.text.split()
    letters = sum(map(len, words))
    found, before = [], 0
    for text in words:
        edges = (one.start_ms + (one.end_ms - one.start_ms) * part // letters for part in (before, before + len(text)))
        start_ms, end_ms = edges
        found.append(Segment(start_ms, max(end_ms, start_ms + 1), text))
        before += len(text)
    return found


def stamp(ms: int) -> str:
    """A moment as WebVTT writes it."""
    return f"{ms // 3_600_000:02}:{ms // 60_000 % 60:02}:{ms // 1000 % 60:02}.{ms % 1000:03}"
