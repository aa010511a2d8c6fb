"""Learns how classes are talked, for `guide/draft/reading/learned.npz`.

    PYTHONPATH=.:tests:tests/review:tests/draft python tests/draft/learn_reading.py

writes it anew, in forty minutes on one processor. It learns from the talked classes of `talks/built_with/` and
`talks/learned_from/`, from scripted ones (`scripted.py`), from `told/`, which has for each pose what teachers may say
in it, and from the library's own words. What is learned makes what was really done the likeliest of all chains
(conditional likelihood; steps by Adagrad, J. Duchi, E. Hazan and Y. Singer, 2011, from memory; words are left out by
chance, so that none is relied upon alone).
"""

import json
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from multiprocessing import Pool
from pathlib import Path

import numpy as np
from scripted import scripted
from talked import BUILT_WITH, LEARNED_FROM, Talked, captions, names, talked

from guide.draft.from_captions import named_phrases
from guide.draft.phrases import Phrase, in_thoughts
from guide.draft.pose_naming import Naming
from guide.draft.reading.all_poses import all_poses, number_of
from guide.draft.reading.chain import Chances, chances
from guide.draft.reading.scores import BY_THE_WAY, SECOND, Scores, WorthTable, chosen, scores
from guide.draft.reading.signs import Signs, signs_of, telling
from guide.draft.reading.weights import LEADING, LEARNED, LENGTHS, PARTS, STEPS, Weights, usual_after
from guide.review.captions.transcript import folded

TOLD = Path(__file__).parent / "told"
#: Each class is learned from in captions of eight words, and by turns in another kind.
CUT = "eight words"
BY_TURNS = ("eight words, no points", "lines", "40 s", "rolling", "40 s, no points")
#: So many classes that are read from a script are learned from beside them.
SCRIPTED = 90
#: A word of which no pose is told by so many steps is not kept: seven words in ten, most of them said once or twice.
LEAST_STEPS = 3
#: What is said in `told/` counts so much, and the library's own words.
OF_TOLD, OF_LIBRARY = 0.5, 0.15
#: A word is learned where it is told so often, and a sign where it is seen so often.
LEAST_TOLD, LEAST_SEEN = 2, 3
#: So often all are gone through; the first steps are so long, and the last ones so much of it.
ROUNDS, STEP, LAST_STEP = 5, 0.1, 0.3
#: What is learned is the mean of what the last rounds came to.
LAST_ROUNDS = 3
#: So many words and signs are left out each time.
LEFT_OUT = 0.4
#: How much each weight is drawn back to nothing at each step.
BACK = {
    "told": 0.05, "leads": 0.05, "begins": 0.02, "ends": 0.02, "outside": 0.02, "moves": 0.02, "salutation": 0.02,
    "settles": 0.02, "lengths": 0.01, "follows": 0.05, "bases": 0.01, "usual": 0.02, "parts": 0.01, "last": 0.02,
}  # fmt: skip
#: Poses that are kept about as long share their lengths: those kept for fewer breaths than these.
KEPT = (4, 6, 9, 14, 25, 45)


@dataclass(frozen=True, slots=True)
class Lesson:
    """A class to learn from: its signs, each stay as its first phrase, the one after its last, and what it is; and of
    each in a pose the phrases with which people may have been settled, and the place of the right one."""

    name: str
    signs: Signs
    stays: tuple[tuple[int, int, int], ...]
    settled: tuple[tuple[range, int], ...]


def lesson(talk: Talked, cut: str) -> Lesson:
    """What is learned from a talk in one kind of captions."""
    said, naming = thoughts(talk, cut)
    signs = signs_of(said, talk.length_ms, naming)
    stays = stays_in(talk, said, signs.starts_ms)
    return Lesson(talk.name, signs, tuple(stays), tuple(settled_in(talk, stays, signs.starts_ms)))


def thoughts(talk: Talked, cut: str) -> tuple[tuple[Phrase, ...], Naming]:
    """The phrases of a talk in one kind of captions, as a draft reads them first, and what is named in them."""
    said, naming = named_phrases(captions(talk, cut))
    return in_thoughts(said, ())[0], naming


def stays_in(talk: Talked, said: Sequence[Phrase], starts_ms: np.ndarray) -> list[tuple[int, int, int]]:
    """The stays in poses, and what is moved through between them."""
    middles_ms = np.array([(phrase.start_ms + phrase.end_ms) / 2 for phrase in said])
    found: list[tuple[int, int, int]] = []
    for step in talk.steps:
        start, end = np.searchsorted(middles_ms, (step.at_ms, step.until_ms)).tolist()
        start = max(start, found[-1][1] if found else 0)
        if step.pose in number_of() and start < len(said):
            found.append((start, max(end, start + 1), number_of()[step.pose]))
    for flow in talk.flows:
        inside = range(*np.searchsorted(middles_ms, (flow.from_ms, flow.until_ms)).tolist())
        found.extend(_moved(inside, found, starts_ms, len(number_of()) + flow.salutation))
    return sorted(found)


def settled_in(
    talk: Talked, stays: Sequence[tuple[int, int, int]], starts_ms: np.ndarray
) -> Iterator[tuple[range, int]]:
    """Of each stay in a pose the phrases with which people may have been settled, and the place of the right one."""
    held = [step for step in talk.steps if step.pose in number_of()]
    for step, (start, end, _) in zip(held, (one for one in stays if one[2] < POSES), strict=False):
        phrases = range(start + 1, min(start + 1 + LEADING, end))
        if phrases:
            yield phrases, int(np.abs(starts_ms[phrases.start : phrases.stop] - step.kept_ms).argmin())


def _moved(
    inside: range, stays: Sequence[tuple[int, int, int]], starts_ms: np.ndarray, state: int
) -> Iterator[tuple[int, int, int]]:
    """What is left of a flow between the stays, in parts that are no longer than a stay may be."""
    taken = {number for start, end, _ in stays for number in range(start, end)}
    begun: int | None = None
    for number in (*inside, inside.stop):
        over = number == inside.stop or number in taken
        long = begun is not None and (number - begun >= 60 or starts_ms[number] - starts_ms[begun] > 400_000)
        if begun is not None and (over or long):
            yield begun, number, state
            begun = None
        if begun is None and not over:
            begun = number


def told_lines() -> Iterator[tuple[int, str]]:
    """What `told/` has: each pose, by number, with what may be said in it."""
    for path in sorted(TOLD.glob("*.txt")):
        for part in ("\n" + path.read_text(encoding="utf-8")).split("\n= ")[1:]:
            pose, *lines = part.splitlines()
            yield from ((number_of()[pose], line) for line in lines if pose in number_of() and line)


def sentences_of(said: str) -> list[str]:
    """What is said, sentence by sentence."""
    return [each for each in said.replace("!", ".").replace("?", ".").split(". ") if each]


def told() -> Iterator[tuple[int, frozenset[str], float]]:
    """Every pose with the telling words of what may be said in it, and how much that counts."""
    for pose, line in told_lines():
        yield pose, _telling(line), OF_TOLD
    for number, pose in enumerate(all_poses()):
        for words in (*pose.enter, *pose.say):
            yield number, _telling(words.replace("<other side>", "").replace("<side>", "")), OF_LIBRARY


def _telling(said: str) -> frozenset[str]:
    return frozenset(each for sentence in sentences_of(said) for each in telling(folded(sentence)))


#: Which of some kinds each thing to be in is: by what carries the body, and by how long it is kept.
_BASES = sorted({pose.base.value for pose in all_poses()})
BASE = np.array([*(_BASES.index(pose.base.value) for pose in all_poses()), *[len(_BASES)] * 2])
KIND = np.append(np.digitize([pose.hold.usual for pose in all_poses()], KEPT), [len(KEPT) + 1, len(KEPT) + 2])
SIDED = np.array([*(pose.sides for pose in all_poses()), False, False])
POSES, STATES = len(all_poses()), len(all_poses()) + 2


def as_done(stays: Iterable[tuple[int, int, int]], made: Scores) -> Chances:
    """What was really done, as if there were no other chain."""
    place = {state: at for at, state in enumerate(made.states.tolist())}
    count, width = made.starts.shape
    within, starts, ends = np.zeros((count, width)), np.zeros((count, width)), np.zeros(count + 1)
    lengths, after = np.zeros_like(made.lengths, dtype=float), np.zeros((width + 1, width))
    again, last, before, whole = np.zeros((count, width)), np.zeros(width), width, 0.0
    for start, end, state in stays:
        at, over = place[state], min(end, start + len(made.length_of[start]))
        length = made.length_of[start][over - start - 1]
        within[start:over, at] += 1
        starts[start, at] += 1
        ends[over] += 1
        lengths[length, at] += 1
        after[before, at] += 1
        again[start, at] += before == at
        whole += made.starts[start, at] + made.sums[over, at] - made.sums[start, at] + made.lengths[length, at]
        whole += made.ends[over] + made.after[before, at] + made.again[start, at] * (before == at)
        before = at
    last[before : before + 1] += 1
    whole += made.outside[within.sum(axis=1) == 0].sum() + np.append(made.last, 0.0)[before]
    return Chances(float(whole), within, starts, ends, lengths, after, again, last)


SIGNS = ("begins", "ends", "outside", "moves", "salutation", "settles")


@dataclass(frozen=True, slots=True)
class Drawn:
    """The rows of the signs of some phrases, and for each phrase a 1 for those that are its own."""

    rows: np.ndarray
    own: np.ndarray

    def sums(self, table: WorthTable) -> np.ndarray:
        """For each phrase what its signs come to."""
        found: np.ndarray = self.own @ table[self.rows]
        return found

    def some(self, chance: np.random.Generator) -> "Drawn":
        """With some signs left out, and the others worth so much more."""
        kept_in = chance.random(len(self.rows)) > LEFT_OUT
        return Drawn(self.rows[kept_in], self.own[:, kept_in] / np.float32(1 - LEFT_OUT))


def drawn(signs: Sequence[Iterable[str]], row_of: Mapping[str, int]) -> Drawn:
    """The signs of some phrases."""
    places = chosen(signs, row_of).rows
    rows = np.unique(np.concatenate(places))
    own = np.zeros((len(places), len(rows)), dtype=np.float32)
    for number, each in enumerate(places):
        own[number, np.searchsorted(rows, each)] = 1
    return Drawn(rows, own)


class Learner:
    """Weights that grow better with each lesson; `tied` are those that several things share."""

    def __init__(self, word_rows: Mapping[str, int], sign_rows: Mapping[str, int]) -> None:
        self.word_rows, self.sign_rows = word_rows, sign_rows
        words, signs, bases = len(word_rows), len(sign_rows), len(_BASES) + 1
        shapes: dict[str, tuple[int, ...]] = {
            "told": (words, POSES), "leads": (words, POSES),
            **dict.fromkeys(SIGNS, (signs,)),
            "lengths": (len(KEPT) + 3, LENGTHS), "follows": (STATES + 1, STATES), "bases": (bases + 1, bases),
            "usual": (STATES,), "settles_after": (LEADING,), "parts": (PARTS, bases), "last": (STATES,),
        }  # fmt: skip
        self.tied = {name: np.zeros(shape, dtype=np.float32) for name, shape in shapes.items()}
        self.tied["scales"] = np.array([1.0, 0.5, 1.0, 3.0, -3.0])
        self.gone = {name: np.full_like(each, 0.01) for name, each in self.tied.items()}

    def weights(self) -> Weights:
        """The weights as the program has them."""
        tied, base = self.tied, np.append(BASE, len(_BASES) + 1)
        named, named_first, by_library, other_side, again = self.tied["scales"].tolist()
        after = tied["follows"] + tied["usual"] + tied["bases"][base][:, BASE] + by_library * usual_after()
        signs = (tied[name] for name in (*SIGNS, "settles_after"))
        return Weights(
            self.word_rows, self.sign_rows, tied["told"], tied["leads"], *signs, tied["lengths"][KIND], after,
            tied["parts"][:, BASE], tied["last"], named, named_first, other_side, again,
        )  # fmt: skip

    def slopes(
        self, one: Lesson, words: Drawn, around: Drawn
    ) -> tuple[float, dict[str, np.ndarray], Mapping[str, np.ndarray]]:
        """The logarithm of how likely what was really done is, and how that grows with each weight; the rows of those
        of which only some are meant."""
        weights, signs = self.weights(), one.signs
        settles, after_so_many = np.zeros(len(signs.around)), np.zeros(LEADING)
        for these, right in one.settled:
            worth = around.own[these] @ weights.settles[around.rows] + weights.settles_after[: len(these)]
            likely = _shares(worth[None])[0]
            likely[right] -= 1
            settles[these] -= likely
            after_so_many[: len(these)] -= likely
        made = scores(signs, weights, words, around, {state for *_, state in one.stays if state < POSES})
        likely, done = chances(made), as_done(one.stays, made)
        starts, after = done.starts - likely.starts, done.after - likely.after
        within, again = done.within - likely.within, done.again - likely.again
        count = len(signs.words)
        full_after = np.zeros((STATES + 1, STATES))
        full_after[np.ix_(np.append(made.states, STATES), made.states)] = after
        full_within, full_starts = np.zeros((count, POSES)), np.zeros((count, POSES))
        full_within[:, made.states[:-2]], full_starts[:, made.states[:-2]] = within[:, :-2], starts[:, :-2]
        said = words.own @ self.tied["told"][words.rows]
        share = _shares(said)
        likelier = (1 - BY_THE_WAY) * POSES * share
        of_words = full_within * (likelier / (BY_THE_WAY + likelier)) * ~signs.looked_on[:, None]
        of_words -= share * of_words.sum(axis=1, keepdims=True)
        leading = full_starts.copy()
        leading[1:] += SECOND * full_starts[:-1]
        base, kind = np.append(BASE, len(_BASES) + 1), KIND[made.states]
        found = {
            "told": words.own.T @ of_words,
            "leads": words.own.T @ leading,
            "begins": around.own.T @ starts.sum(axis=1),
            "ends": around.own.T @ (done.ends - likely.ends)[:-1],
            "outside": around.own.T @ -within.sum(axis=1),
            "moves": around.own.T @ within[:, -2],
            "salutation": around.own.T @ within[:, -1],
            "settles": around.own.T @ settles,
            "settles_after": after_so_many,
            "lengths": _summed(self.tied["lengths"], (kind,), (done.lengths - likely.lengths).T),
            "follows": full_after,
            "bases": _summed(self.tied["bases"], (base[:, None], BASE[None, :]), full_after),
            "usual": full_after.sum(axis=0),
            "parts": _summed(self.tied["parts"], (_parts(signs)[:, None], BASE[made.states][None, :]), within),
            "last": _summed(self.tied["last"], (made.states,), done.last - likely.last),
            "scales": np.array([
                (full_within * signs.named).sum(),
                (full_starts * signs.named).sum(),
                (full_after * usual_after()).sum(),
                (again * np.outer(signs.other_side, SIDED[made.states])).sum(),
                again.sum(),
            ]),
        }  # fmt: skip
        rows = dict.fromkeys(("told", "leads"), words.rows)
        rows |= dict.fromkeys(SIGNS, around.rows)
        return done.whole - likely.whole, found, rows

    def told_slopes(self, each: Sequence[tuple[int, frozenset[str], float]], words: Drawn) -> np.ndarray:
        """How the likelihood of poses in which some words are told grows with the weights of the words."""
        said = words.own @ self.tied["told"][words.rows]
        share = _shares(said)
        right = np.zeros_like(share)
        right[np.arange(len(each)), [pose for pose, *_ in each]] = 1
        found: np.ndarray = words.own.T @ ((right - share) * np.array([worth for *_, worth in each])[:, None])
        return found

    def step(self, found: Mapping[str, np.ndarray], rows: Mapping[str, np.ndarray], long: float) -> None:
        """Go a step of a length uphill, in weights that have gone far a shorter one."""
        for name, slope in found.items():
            here = rows.get(name, slice(None))
            uphill = slope - BACK.get(name, 0.0) * self.tied[name][here]
            self.gone[name][here] += uphill * uphill
            self.tied[name][here] += (0.3 if name == "scales" else 1) * long * uphill / np.sqrt(self.gone[name][here])


def _shares(logarithms: np.ndarray) -> np.ndarray:
    likely = np.exp(logarithms - logarithms.max(axis=1, keepdims=True))
    found: np.ndarray = likely / likely.sum(axis=1, keepdims=True)
    return found


def _summed(like: np.ndarray, where: tuple[np.ndarray, ...], what: np.ndarray) -> np.ndarray:
    found = np.zeros(like.shape)
    np.add.at(found, where, what)
    return found


def _parts(signs: Signs) -> np.ndarray:
    found: np.ndarray = np.minimum((PARTS * signs.starts_ms[:-1] / signs.starts_ms[-1]).astype(int), PARTS - 1)
    return found


def learned_from(
    lessons: Sequence[Lesson], rounds: int = ROUNDS, heard: Callable[[str], object] = lambda line: None
) -> Learner:
    """What is learned from some lessons."""
    alone = list(told())
    told_in = Counter(word for one in lessons for each in one.signs.words for word in each)
    told_in.update(word for _, words, _ in alone for word in words)
    seen = Counter(sign for one in lessons for each in one.signs.around for sign in each)
    learner = Learner(_rows(told_in, LEAST_TOLD), _rows(seen, LEAST_SEEN))
    words = [drawn(one.signs.words, learner.word_rows) for one in lessons]
    around = [drawn(one.signs.around, learner.sign_rows) for one in lessons]
    chance, means = np.random.default_rng(0), []
    for number in range(rounds):
        long = STEP * (1 - (1 - LAST_STEP) * number / max(rounds - 1, 1))
        parts = np.array_split(chance.permutation(len(alone)), len(lessons))
        value = 0.0
        for at, some in zip(chance.permutation(len(lessons)).tolist(), parts, strict=True):
            each = [alone[one] for one in some.tolist()]
            if each:
                of_each = drawn([said for _, said, _ in each], learner.word_rows).some(chance)
                learner.step({"told": learner.told_slopes(each, of_each)}, {"told": of_each.rows}, long)
            likely, found, rows = learner.slopes(lessons[at], words[at].some(chance), around[at].some(chance))
            learner.step(found, rows, long)
            value += likely / len(lessons)
        if number >= rounds - LAST_ROUNDS:
            means.append({name: each.copy() for name, each in learner.tied.items()})
        heard(f"round {number + 1} of {rounds}: {value:.1f}")
    learner.tied = {name: np.mean([each[name] for each in means], axis=0) for name in learner.tied}
    return learner


def _rows(counted: Counter[str], least: int) -> dict[str, int]:
    often = sorted(each for each, count in counted.items() if count >= least)
    return {each: row for row, each in enumerate(often)}


def talks() -> list[tuple[Path, str]]:
    """The folder and the name of each class to learn from."""
    return [(folder, name) for folder in (BUILT_WITH, LEARNED_FROM) for name in names(folder)]


def all_lessons() -> list[Lesson]:
    """Every class to learn from, in two kinds of captions."""
    jobs = [(*each, cut) for number, each in enumerate(talks()) for cut in (CUT, BY_TURNS[number % len(BY_TURNS)])]
    with Pool() as workers:
        return [*workers.starmap(_lesson, jobs, chunksize=4), *workers.map(_scripted, range(SCRIPTED), chunksize=4)]


def _scripted(number: int) -> Lesson:
    return lesson(scripted(number), (CUT, *BY_TURNS)[number % (1 + len(BY_TURNS))])


def _lesson(folder: Path, name: str, cut: str) -> Lesson:
    return lesson(talked(folder, name), cut)


def kept(learner: Learner, path: Path = LEARNED) -> None:
    """Write what was learned: of words only those that tell, in whole steps, and all else in half precision."""
    made, tied = learner.weights(), learner.tied
    by_library = float(tied["scales"][2])
    steps = {name: _in_steps(tied[name]) for name in ("told", "leads")}
    most = np.maximum(*(np.abs(each).max(axis=1) for each in steps.values()))
    telling_rows = np.flatnonzero(most >= LEAST_STEPS)
    arrays = {name: tied[name] for name in (*SIGNS, "settles_after", "last")}
    arrays |= {"follows": made.follows - by_library * usual_after(), "lengths": made.lengths, "parts": made.parts}
    arrays = {name: each.astype(np.float16) for name, each in arrays.items()}
    for name, table in steps.items():
        rows, poses = table[telling_rows].nonzero()
        edges = np.searchsorted(rows, np.arange(len(telling_rows) + 1)).astype(np.int32)
        parts = {"edges": edges, "poses": poses.astype(np.uint8), "steps": table[telling_rows][rows, poses]}
        arrays |= {f"{name} {part}": each for part, each in parts.items()}
    head = {"poses": list(number_of()), "usual_after": by_library, "named": made.named}
    head |= {"named_first": made.named_first, "other_side": made.other_side, "again": made.again}
    words = np.array(list(made.word_rows))[telling_rows]
    texts = {"head": json.dumps(head), "words": "\n".join(words), "signs": "\n".join(made.sign_rows)}
    arrays |= {name: np.frombuffer(text.encode(), dtype=np.uint8) for name, text in texts.items()}
    np.savez_compressed(path, **arrays)


def _in_steps(weights: np.ndarray) -> np.ndarray:
    found: np.ndarray = np.clip(np.rint(weights * STEPS), -127, 127).astype(np.int8)
    return found


def main() -> None:
    """Learn, and keep it."""
    kept(learned_from(all_lessons(), heard=print))


if __name__ == "__main__":
    main()
