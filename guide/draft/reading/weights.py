"""What was learned of how classes are talked: `learned.npz`, written by `tests/draft/learn_reading.py`."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from guide.draft.reading.all_poses import all_poses
from guide.draft.reading.follows import follows

LEARNED = Path(__file__).with_name("learned.npz")

#: What words are worth is kept in whole steps, so many to one.
STEPS = 16

#: Beside the poses people may be led through moves, or through a salutation: two more things to be in, this the last.
SALUTATION = -1
#: A class has so many parts of the same length, in which other poses are usual.
PARTS = 8
#: People are settled in a pose after so many phrases at most.
LEADING = 6
#: Lengths are told apart in steps, so many for each that is e times as long, from the shortest on.
FINELY, LENGTHS, SHORTEST_MS = 2.8, 16, 2_000


@dataclass(frozen=True, slots=True)
class Weights:
    """What each sign is worth, for P poses and S = P + 2 things to be in.

    - `word_rows` and `sign_rows` have the rows of words and of signs in what follows.
    - `told` and `leads` (words by P) are how much a word speaks for each pose, anywhere and where it begins.
    - `begins`, `ends`, `outside`, `moves` and `salutation` (signs) are how much a sign speaks for a stay that begins
      with its phrase, that ended before it, and for its phrase being in no stay, in moves, or in a salutation.
    - `settles` (signs) is how much a sign speaks for people being settled in a pose where its phrase begins, and
      `settles_after` how usual that is after so many phrases.
    - `lengths` (S by lengths), `follows` (S + 1 by S, the last row for none before), `parts` (parts by S) and `last`
      (S) are how usual each is for so long, after another, in a part of the class, and as the last.
    - `named`, `named_first`: what names are worth, anywhere and where a stay begins; `other_side` and `again`: what
      the same pose again is worth where the sides change, and anywhere.
    """

    word_rows: Mapping[str, int]
    sign_rows: Mapping[str, int]
    told: "np.ndarray | WorthOfWords"
    leads: "np.ndarray | WorthOfWords"
    begins: np.ndarray
    ends: np.ndarray
    outside: np.ndarray
    moves: np.ndarray
    salutation: np.ndarray
    settles: np.ndarray
    settles_after: np.ndarray
    lengths: np.ndarray
    follows: np.ndarray
    parts: np.ndarray
    last: np.ndarray
    named: float
    named_first: float
    other_side: float
    again: float


@dataclass(frozen=True, slots=True)
class WorthOfWords:
    """What each word is worth for the few poses of which it tells, as it is kept: row by row, from edge to edge.

    `columns` are the numbers that the poses of the library have here, -1 for one that was never learned, for which
    words are worth the mean of all.
    """

    edges: np.ndarray
    poses: np.ndarray
    steps: np.ndarray
    count: int
    columns: np.ndarray

    def __getitem__(self, rows: np.ndarray) -> np.ndarray:
        """The worth for every pose of the words in some rows."""
        firsts, counts = self.edges[rows], np.diff(self.edges)[rows]
        places = np.arange(counts.sum()) + np.repeat(firsts - np.cumsum(counts) + counts, counts)
        table = np.zeros((len(rows), self.count), dtype=np.float32)
        table[np.repeat(np.arange(len(rows)), counts), self.poses[places]] = self.steps[places] / np.float32(STEPS)
        return _of(table, self.columns)


def length_number(lengths_ms: np.ndarray) -> np.ndarray:
    """The number of each length."""
    steps = FINELY * np.log(np.maximum(lengths_ms, SHORTEST_MS / 4) / SHORTEST_MS)
    found: np.ndarray = np.clip(steps.astype(int), 0, LENGTHS - 1)
    return found


def usual_after() -> np.ndarray:
    """How usual each thing to be in is after each by the library alone; the last row is for none before."""
    poses = len(all_poses())
    table = np.zeros((poses + 3, poses + 2))
    table[:poses, :poses], table[-1, :poses] = follows()[:-1], follows()[-1]
    return table


def _of(table: np.ndarray, columns: np.ndarray) -> np.ndarray:
    """Some columns of a table (or places of a row), the mean of all for each that is -1."""
    mean = table.mean(axis=-1, keepdims=True, dtype=np.float32).astype(table.dtype)
    found: np.ndarray = np.concatenate([table, mean], axis=-1)[..., columns]
    return found


@cache
def learned() -> Weights:
    """What was learned; a pose that the library has since then is as likely as the mean of all."""
    with np.load(LEARNED) as kept:
        arrays = {name: each.astype(np.float32) if each.dtype == np.float16 else each for name, each in kept.items()}
    head = json.loads(arrays["head"].tobytes())
    column = {name: number for number, name in enumerate(head["poses"])}
    poses = np.array([column.get(pose.name, -1) for pose in all_poses()])
    states = np.append(poses, [len(column), len(column) + 1])
    told, leads = (
        WorthOfWords(arrays[f"{name} edges"], arrays[f"{name} poses"], arrays[f"{name} steps"], len(column), poses)
        for name in ("told", "leads")
    )
    as_kept = ("begins", "ends", "outside", "moves", "salutation", "settles", "settles_after")
    after = _of(_of(arrays["follows"].T, np.append(states, len(column) + 2)).T, states)
    return Weights(
        word_rows={word: row for row, word in enumerate(arrays["words"].tobytes().decode().split("\n"))},
        sign_rows={sign: row for row, sign in enumerate(arrays["signs"].tobytes().decode().split("\n"))},
        told=told,
        leads=leads,
        lengths=_of(arrays["lengths"].T, states).T,
        follows=after + head["usual_after"] * usual_after(),
        parts=_of(arrays["parts"], states),
        last=_of(arrays["last"], states),
        **{name: arrays[name] for name in as_kept},
        **{name: head[name] for name in ("named", "named_first", "other_side", "again")},
    )
