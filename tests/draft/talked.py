"""Classes as people talk them: what was said and when, in every cut that captions come in, and what people really did.

`talks/built_with/` holds what the program was built with, by six invented teachers, and `talks/learned_from/` many more
that only the reading of drafts was learned from (`learn_reading.py`, `learn_encoder.py`, `learn_quiet.py`).
`talks/put_away/` has twenty classes by twenty others, and `talks/put_away_before/` fifty-six that were put away for
the figures before: nothing was learned from either, and the figures that the pages give come from the twenty.
`talks/of_few_words/` has fifteen by teachers who say a sentence or two and are quiet then, from which nothing was
learned, either: `kept` is left out there where it is quiet after the words that lead in, and the way up at the end is
left out too.
`NAME.txt` is the talk (a line is what is said in one go, `{3}` seconds of silence), `NAME.truth.yaml` what was done,
written down from the words alone, `NAME.second.yaml` the same by a second hand that saw nothing but the talk
(`two_hands.py`), `NAME.yaml` the class file that the teacher would have had before, and `NAME.heard.vtt` what a
recogniser made of it (`talks/make_heard.py`).
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from ruamel.yaml import YAML
from taught import stamp

from guide.review.captions.transcript import Segment, Transcript, folded, read, read_raw

TALKS = Path(__file__).parent / "talks"
BUILT_WITH = TALKS / "built_with"
LEARNED_FROM = TALKS / "learned_from"
PUT_AWAY = TALKS / "put_away"
PUT_AWAY_BEFORE = TALKS / "put_away_before"
OF_FEW_WORDS = TALKS / "of_few_words"

#: A silence so long parts two captions, whatever their cut.
APART_MS = 1_500

_SILENCE = re.compile(r"\{\s*([\d.]+)\s*\}")


@dataclass(frozen=True, slots=True)
class Kept:
    """Something that people did: `pose` is a name of the library, or None for what it has not; `or_poses` would be as
    right. The words that lead in begin at `at_ms`, people are in it from `kept_ms` to `until_ms`."""

    at_ms: int
    kept_ms: int
    until_ms: int
    pose: str | None
    or_poses: frozenset[str]
    side: str | None
    named: str
    line: int | None


@dataclass(frozen=True, slots=True)
class Pair:
    """What was done on both sides: the first from `from_ms`, the second from `turn_ms` to `until_ms`."""

    from_ms: int
    turn_ms: int
    until_ms: int

    @property
    def first(self) -> tuple[int, int]:
        """The time of the first side."""
        return self.from_ms, self.turn_ms

    @property
    def second(self) -> tuple[int, int]:
        """The time of the second side."""
        return self.turn_ms, self.until_ms


@dataclass(frozen=True, slots=True)
class Flow:
    """Movement by the breath that is done several times."""

    from_ms: int
    until_ms: int
    rounds: int
    salutation: bool


@dataclass(frozen=True, slots=True)
class Talked:
    """A class as it was talked: `said` are the lines with their times, `words` all words with theirs."""

    name: str
    length_ms: int
    said: tuple[Segment, ...]
    words: tuple[Segment, ...]
    steps: tuple[Kept, ...]
    pairs: tuple[Pair, ...]
    flows: tuple[Flow, ...]
    folder: Path


def names(folder: Path) -> list[str]:
    """The talks in a folder."""
    return sorted(path.stem for path in folder.glob("*.txt"))


@cache
def talked(folder: Path, name: str, hand: str = "truth") -> Talked:
    """A talk with its truth, as one hand wrote it down."""
    said, words, length_ms = spoken((folder / f"{name}.txt").read_text(encoding="utf-8"))
    truth = YAML(typ="safe").load(folder / f"{name}.{hand}.yaml")
    steps = tuple(_kept(step) for step in truth["steps"] if "pose" in step or "other" in step)
    pairs = tuple(Pair(ms(one["from"]), ms(one["turn"]), ms(one["until"])) for one in truth.get("pairs") or ())
    flows = tuple(
        Flow(ms(one["from"]), ms(one["until"]), one["rounds"], bool(one.get("salutation")))
        for one in truth.get("flows") or ()
    )
    return Talked(name, max(length_ms, ms(truth["length"])), said, words, steps, pairs, flows, folder)


def _kept(step: dict) -> Kept:
    or_poses = frozenset(step.get("or") or ())
    kept_ms = ms(step.get("kept", step["at"]))
    at_ms, until_ms = ms(step["at"]), ms(step["until"])
    return Kept(
        at_ms, kept_ms, until_ms, step.get("pose"), or_poses, step.get("side"), step.get("named", ""), step.get("line")
    )


def ms(clock: str | float) -> int:
    """A clock such as `1:05.5` in milliseconds."""
    whole = 0.0
    for part in str(clock).split(":"):
        whole = whole * 60 + float(part)
    return round(whole * 1000)


def spoken(talk: str) -> tuple[tuple[Segment, ...], tuple[Segment, ...], int]:
    """The lines of a talk and its words, with their times, and its length; each word takes its share by its letters."""
    rate = next(int(found[1]) for found in re.finditer(r"^#\s*rate:\s*(\d+)", talk, re.MULTILINE))
    at_ms, lines, words = 0.0, [], []
    for line in talk.splitlines():
        if not line.strip() or line.startswith("#"):
            continue
        first = len(words)
        for number, part in enumerate(_SILENCE.split(line)):
            if number % 2:
                at_ms += float(part) * 1000
                continue
            here = part.split()
            letters = sum(len(word) + 1 for word in here)
            for word in here:
                length_ms = len(here) * 60_000 / rate * (len(word) + 1) / letters
                words.append(Segment(round(at_ms), round(at_ms + length_ms), word))
                at_ms += length_ms
        if words[first:]:
            text = " ".join(word.text for word in words[first:])
            lines.append(Segment(words[first].start_ms, words[-1].end_ms, text))
    return tuple(lines), tuple(words), round(at_ms)


def _blocks(words: Sequence[Segment], most: Callable[[list[Segment], Segment], bool]) -> Iterator[Segment]:
    """Words taken together until `most` says that the next is too many; a long silence parts them too."""
    block: list[Segment] = []
    for word in words:
        if block and most(block, word):
            yield _joined(block)
            block = []
        block.append(word)
    yield _joined(block)


def _joined(block: Sequence[Segment]) -> Segment:
    return Segment(block[0].start_ms, block[-1].end_ms, " ".join(word.text for word in block))


def _bare(words: Sequence[Segment]) -> list[Segment]:
    """Words without points or capitals, as a machine writes them."""
    return [Segment(word.start_ms, word.end_ms, "".join(folded(word.text)) or "mm") for word in words]


def _eight(words: Sequence[Segment]) -> list[Segment]:
    def full(block: list[Segment], word: Segment) -> bool:
        return len(block) == 8 or word.start_ms - block[-1].end_ms >= APART_MS

    return list(_blocks(words, full))


def _forty_seconds(words: Sequence[Segment]) -> list[Segment]:
    """Captions that go on over silences until the next word would make them longer than 40 s."""
    return list(_blocks(words, lambda block, word: word.end_ms - block[0].start_ms > 40_000))


def _rolling(words: Sequence[Segment]) -> str:
    """Two lines at a time, the upper one said before; each caption stays until the next has come."""
    blocks = _eight(words)
    ends = [*(block.start_ms for block in blocks[1:]), blocks[-1].end_ms]
    cues, before = ["WEBVTT"], ""
    for block, end_ms in zip(blocks, ends, strict=True):
        cues.append(f"{stamp(block.start_ms)} --> {stamp(max(end_ms, block.start_ms + 10))}\n{before}\n{block.text}")
        before = block.text
    return "\n\n".join(cues) + "\n"


def captions(talk: Talked, cut: str) -> Transcript:
    """The captions of a talk in one of `CUTS`."""
    match cut:
        case "lines":
            return Transcript(talk.name, talk.said)
        case "eight words":
            return Transcript(talk.name, tuple(_eight(talk.words)))
        case "eight words, no points":
            return Transcript(talk.name, tuple(_eight(_bare(talk.words))))
        case "rolling":
            return read_raw(_rolling(_bare(talk.words)).encode(), talk.name)
        case "40 s":
            return Transcript(talk.name, tuple(_forty_seconds(talk.words)))
        case "40 s, no points":
            return Transcript(talk.name, tuple(_forty_seconds(_bare(talk.words))))
        case "heard":
            return read(talk.folder / f"{talk.name}.heard.vtt")
    raise AssertionError(cut)


CUTS = ("lines", "eight words", "eight words, no points", "rolling", "40 s", "40 s, no points", "heard")
