"""Classes as they are read from a script: names first, the library's words, breaths of the shipped blocks; by chance.

Drafts of rendered classes, and of teachers who speak so, are learned from these beside the talked ones.
"""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
from talked import Flow, Kept, Pair, Talked

from guide.draft.reading.all_poses import all_poses, number_of
from guide.draft.reading.follows import follows
from guide.review.captions.transcript import Segment
from guide.sequence.block_files import shipped_blocks
from guide.sequence.model import Entry, MoveEntry
from guide.sequence.poses.pose import Pose

#: A word lasts so long, in ms.
WORD_MS = 400
#: So many poses a class has at least and at most; so often one is named, and moves come before it.
POSES, NAMED, MOVES = (10, 24), 0.9, 0.2
#: How usual a pose is after another counts so much in the choice.
USUAL = 1.2


class _Reading:
    """One class as it grows: what is said, line by line, and what is done."""

    def __init__(self, number: int) -> None:
        self.chance = np.random.default_rng(number)
        self.at_ms = 1_000
        self.said: list[Segment] = []
        self.words: list[Segment] = []
        self.steps: list[Kept] = []
        self.pairs: list[Pair] = []
        self.flows: list[Flow] = []

    def say(self, line: str, least_s: float, most_s: float) -> None:
        """A line, and some quiet after it."""
        start_ms = self.at_ms
        for word in line.split():
            self.words.append(Segment(self.at_ms, self.at_ms + WORD_MS, word))
            self.at_ms += WORD_MS
        self.said.append(Segment(start_ms, self.at_ms, line))
        self.at_ms += round(1000 * self.chance.uniform(least_s, most_s))

    def often(self, share: float) -> bool:
        return bool(self.chance.random() < share)

    def stay(self, pose: Pose, side: str | None, again: bool) -> None:
        """A pose on one side, or on none: named, entered, kept with a few words."""
        start_ms = self.at_ms
        name = pose.name if not self.often(0.2) or not pose.also else str(self.chance.choice(list(pose.also)))
        name += f", {pose.sanskrit}" if pose.sanskrit and self.often(0.25) else ""
        if self.often(NAMED) or not pose.enter:
            self.say(f"{name.capitalize()}{f', {side} side' if side else ''}.", 0.3, 1)
        for line in pose.enter if not again or self.often(0.5) else ():
            self.say(self.sided(line, side), 0.3, 2)
        kept_ms = self.at_ms
        self.at_ms += round(1000 * self.chance.uniform(2, 12))
        for line in self.chance.permutation(list(pose.say))[: self.chance.integers(0, 4)]:
            self.say(self.sided(str(line), side), 4, 20)
        self.at_ms += round(1000 * self.chance.uniform(4, 25) * (4 if self.often(0.15) else 1))
        self.steps.append(Kept(start_ms, kept_ms, self.at_ms, pose.name, frozenset(), side, "name", None))
        for line in pose.leave if self.often(0.3) else ():
            self.say(self.sided(line, side), 0.5, 3)

    def sided(self, line: str, side: str | None) -> str:
        other = {"right": "left", "left": "right"}.get(side or "", "other")
        return line.replace("<other side>", other).replace("<side>", side or "right")

    def move(self, name: str, entries: tuple[Entry, ...]) -> None:
        """Some rounds of a block, breath by breath."""
        start_ms, rounds, salutation = self.at_ms, int(self.chance.integers(1, 5)), "salut" in name
        for number in range(rounds):
            for entry in entries:
                words = self.sided(entry.cue.text, "right") if isinstance(entry, MoveEntry) and entry.cue else ""
                if isinstance(entry, MoveEntry):
                    few = number and self.often(0.3)
                    self.say(f"{entry.breath.value.capitalize()}{'' if few or not words else f', {words}'}", 1.5, 4)
                elif salutation:
                    start = self.at_ms
                    self.at_ms += round(1000 * self.chance.uniform(10, 30))
                    self.steps.append(Kept(start, start, self.at_ms, "downward dog", frozenset(), None, "name", None))
        self.flows.append(Flow(start_ms, self.at_ms, rounds, salutation))

    def both(self, pose: Pose) -> None:
        first = "left" if self.often(0.2) else "right"
        start_ms = self.at_ms
        self.stay(pose, first, again=False)
        turn_ms = self.at_ms
        self.stay(pose, {"right": "left", "left": "right"}[first], again=True)
        self.pairs.append(Pair(start_ms, turn_ms, self.at_ms))


def _chosen(chance: np.random.Generator) -> Iterator[Pose]:
    """Poses in an order that is usual, the final rest last."""
    row = len(follows()) - 1
    for _ in range(chance.integers(*POSES)):
        likely = np.exp(USUAL * follows()[row])
        row = int(chance.choice(len(likely), p=likely / likely.sum()))
        yield all_poses()[row]
    yield all_poses()[number_of()["final rest"]]


def scripted(number: int) -> Talked:
    """The class of a number."""
    made = _Reading(number)
    blocks = [(name, block.entries) for name, block in shipped_blocks().items() if block.entries]
    moved = [each for each in blocks if isinstance(each[1][0], MoveEntry)]
    made.say("Welcome. It is good that you are here.", 1, 6)
    for pose in _chosen(made.chance):
        if made.often(MOVES):
            made.move(*moved[made.chance.integers(len(moved))])
        if pose.sides and made.often(0.8):
            made.both(pose)
        else:
            made.stay(pose, "right" if pose.sides else None, again=False)
    if made.often(0.7):
        made.say("Thank you for coming.", 0.5, 3)
    told = tuple(made.said), tuple(made.words), tuple(made.steps), tuple(made.pairs), tuple(made.flows)
    return Talked(f"scripted-{number}", made.at_ms, *told, Path())
