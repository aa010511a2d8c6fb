"""What a network tells of each phrase: what people are in, and what begins, ends and turns with it.

It reads some minutes of words at once, so that what a phrase tells rests on what is said around it. `encoder.onnx` is
the network, `word_pieces.txt` the pieces of words that it knows, and `heads.npz` tells from what it makes of a phrase;
`tests/draft/learn_encoder.py` writes all three, and `ENCODER.md` says where the network comes from.
"""

import json
import re
from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import accumulate
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from guide.draft.phrases import Phrase
from guide.draft.reading.all_poses import all_poses

if TYPE_CHECKING:
    from onnxruntime import InferenceSession

HERE = Path(__file__).parent

#: Quiet of up to so many ms before a phrase has a mark of its own, and the first phrase the last one; pieces of words
#: are numbered from `MARKS` on.
QUIETS_MS = (300, 800, 1500, 2500, 4000, 7000, 12000, 25000)
MARKS = 20
#: So many pieces are read at once, and the next from so many on.
AT_ONCE, ONWARD = 256, 192
#: So many readings are made side by side.
BATCH = 8
#: No more pieces of a word, and of a phrase, are read.
OF_A_WORD, OF_A_PHRASE = 6, 80

_PARTS = re.compile(r"\w+|[^\w\s]")


@dataclass(frozen=True, slots=True)
class ToldPhrases:
    """What is told of N phrases, for S things to be in.

    - `firsts` (N) are the numbers of the tokens that the phrases begin with;
    - `likely` (N by S + 1) are logarithms of how likely people are in each, the last for being in none;
    - `begins`, `ends`, `settles` (N) are log-odds of a stay beginning with the phrase, having ended before it, and of
      people being settled from it on; `first`, `turns` and `over` (N) of what is done on both sides beginning,
      turning to the second side, and being over.
    """

    firsts: np.ndarray
    likely: np.ndarray
    begins: np.ndarray
    ends: np.ndarray
    settles: np.ndarray
    first: np.ndarray
    turns: np.ndarray
    over: np.ndarray

    def cut_as(self, phrases: Sequence[Phrase]) -> "ToldPhrases":
        """The same for phrases of the same tokens that are cut in other places; nothing is known of a new cut."""
        firsts = firsts_of(phrases)
        row = np.searchsorted(self.firsts, firsts, side="right") - 1
        old = self.firsts[row] == firsts
        each = (self.begins, self.ends, self.settles, self.first, self.turns, self.over)
        return ToldPhrases(firsts, self.likely[row], *(np.where(old, odds[row], 0.0) for odds in each))


def open_network() -> None:
    """Open the network and its tables, which takes a moment, before it is asked for."""
    _network(), heads(), piece_numbers()


def firsts_of(phrases: Sequence[Phrase], *, end: bool = False) -> np.ndarray:
    """The numbers of the tokens that phrases begin with; and the one after the last."""
    firsts = np.array([*accumulate((len(phrase.tokens) for phrase in phrases), initial=0)])
    return firsts if end else firsts[:-1]


def told_of(phrases: Sequence[Phrase]) -> ToldPhrases:
    """What the network tells of some phrases."""
    read = [*as_read(phrases)]
    made = np.empty((len(phrases), heads().weights.shape[1]), dtype=np.float32)
    around = np.full(len(phrases), -1)
    for start in range(0, len(read_at := [*windows(read)]), BATCH):
        batch = read_at[start : start + BATCH]
        for (first, end), each in zip(batch, _run([read[first:end] for first, end in batch]), strict=True):
            within = np.arange(end - first)
            before, after = within if first else within + len(read), within[::-1]
            near = np.minimum(before, after if end < len(read) else after + len(read))
            better = near > around[first:end]
            made[first:end][better], around[first:end][better] = each[better], near[better]
    odds = made @ heads().weights.T + heads().biases
    likely, others = odds[:, heads().columns], odds[:, heads().likely :]
    likely -= likely.max(axis=1, keepdims=True)
    likely -= np.log(np.exp(likely).sum(axis=1, keepdims=True))
    return ToldPhrases(firsts_of(phrases), likely, *others.T)


def as_read(phrases: Sequence[Phrase]) -> Iterator[list[int]]:
    """Each phrase as the network reads it: the mark of the quiet before it, and the pieces of its words."""
    for before, phrase in zip((None, *phrases), phrases, strict=False):
        quiet = bisect_right(QUIETS_MS, phrase.start_ms - before.end_ms) if before else len(QUIETS_MS) + 1
        pieces = [piece for word in phrase.words for piece in _pieces(word)]
        yield [1 + quiet, *pieces[:OF_A_PHRASE]]


def windows(read: Sequence[Sequence[int]]) -> Iterator[tuple[int, int]]:
    """The phrases that are read at once: from each to the one before which there are no more than `AT_ONCE`."""
    places = [*accumulate(map(len, read), initial=0)]
    first, end = 0, 0
    while end < len(read):
        end = max(bisect_right(places, places[first] + AT_ONCE) - 1, first + 1)
        yield first, end
        first = max(bisect_right(places, places[first] + ONWARD) - 1, first + 1)


def _run(batch: Sequence[Sequence[Sequence[int]]]) -> Iterator[np.ndarray]:
    """What the network makes of each phrase of some readings: of its mark, and of its words by and large."""
    longest = max(sum(map(len, each)) for each in batch)
    ids, hidden = np.zeros((len(batch), longest), dtype=np.int64), np.zeros((len(batch), 1, 1, longest), np.float32)
    for row, each in enumerate(batch):
        count = sum(map(len, each))
        ids[row, :count] = [piece for phrase in each for piece in phrase]
        hidden[row, ..., count:] = -1e9
    (made,) = _network().run(None, {"ids": ids, "hidden": hidden})
    for row, each in zip(made, batch, strict=True):
        lengths = np.array([*map(len, each)])
        marks = np.cumsum(lengths) - lengths
        words = np.add.reduceat(row[: lengths.sum()], marks) - row[marks]
        words[lengths == 1] = row[marks[lengths == 1]]
        yield np.column_stack([row[marks], words / np.maximum(lengths - 1, 1)[:, None]])


@dataclass(frozen=True, slots=True)
class Heads:
    """What is told from what the network makes of a phrase: `weights` and `biases`, for each thing to be in (`columns`
    has their numbers here, none of them last), and from `likely` on for all else."""

    weights: np.ndarray
    biases: np.ndarray
    columns: np.ndarray
    likely: int


@cache
def heads() -> Heads:
    """As they were learned; a pose that the library has since then is as little likely as the least."""
    with np.load(HERE / "heads.npz") as kept:
        weights, biases = kept["weights"].astype(np.float32), kept["biases"].astype(np.float32)
        names = json.loads(kept["poses"].tobytes())
    likely = len(names) + 3
    column = {name: number for number, name in enumerate(names)}
    unknown = int(biases[: len(names)].argmin())
    columns = [column.get(pose.name, unknown) for pose in all_poses()]
    return Heads(weights, biases, np.array([*columns, *range(len(names), likely)]), likely)


@cache
def _network() -> "InferenceSession":
    from onnxruntime import InferenceSession

    return InferenceSession(HERE / "encoder.onnx", providers=["CPUExecutionProvider"])


@cache
def piece_numbers() -> dict[str, int]:
    """The numbers of the pieces of words that are known."""
    lines = (HERE / "word_pieces.txt").read_text(encoding="utf-8").splitlines()
    return {piece: number for number, piece in enumerate(lines, MARKS)}


@lru_cache(maxsize=8192)
def _pieces(word: str) -> tuple[int, ...]:
    return tuple(pieces_of(word, piece_numbers()))[:OF_A_WORD]


def pieces_of(word: str, known: Mapping[str, int]) -> list[int]:
    """The numbers of the pieces of a word: always the longest that is known next. A part of it with a letter that is
    not known has none."""
    return [piece for part in _PARTS.findall(word) for piece in _longest_first(part, known)]


def _longest_first(part: str, known: Mapping[str, int]) -> list[int]:
    found, at = list[int](), 0
    while at < len(part):
        ends = (end for end in range(len(part), at, -1) if "##" * (at > 0) + part[at:end] in known)
        end = next(ends, None)
        if end is None:
            return []
        found.append(known["##" * (at > 0) + part[at:end]])
        at = end
    return found
