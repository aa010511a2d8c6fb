"""How far two hands agree that marked the same talks, and how drafts stand beside that.

    PYTHONPATH=.:tests:tests/review:tests/draft python tests/draft/two_hands.py

The second hand is a teacher who saw nothing but the talks; what it marked is scored beside the truth as a draft is.
Then drafts from captions of eight words are scored beside what both hands have.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import reduce
from multiprocessing import Pool
from operator import add

from drafts import Recovered
from talk_scores import is_near, matched, meet
from talked import PUT_AWAY, Kept, captions, names, talked

from guide.draft.events import Kind
from guide.draft.from_captions import understood
from guide.draft.grouping import events_of
from guide.review.confidence import RIGHT_MS


@dataclass(frozen=True, slots=True)
class Marked:
    """A step as the second hand marked it."""

    step: Kept

    @property
    def pose(self) -> str | None:
        return self.step.pose

    @property
    def start_ms(self) -> int:
        return self.step.at_ms

    @property
    def end_ms(self) -> int:
        return self.step.until_ms


def agreement(name: str) -> dict[str, Recovered]:
    """What is to be shown of a talk."""
    first, second = talked(PUT_AWAY, name), talked(PUT_AWAY, name, "second")
    wanted = [step for step in first.steps if step.pose]
    marked = [Marked(step) for step in second.steps if step.pose]
    pairs = list(matched(first.steps, marked))
    both = [step for step, _ in pairs]
    sides = [
        any(meet(one.first, other.first) and meet(one.second, other.second) for other in second.pairs)
        for one in first.pairs
    ]
    nodes, _ = understood(captions(first, "eight words"))
    drafted = [event for node in nodes for event in events_of(node) if event.kind is Kind.HOLD and event.pose]
    of_either = {id(event) for hand in (first, second) for _, event in matched(hand.steps, drafted)}
    return {
        "the second hand has of the poses": Recovered(len(both), len(wanted)),
        "of its own the first has not": Recovered(len(marked) - len(pairs), len(marked)),
        "sides as the first has them": Recovered(sum(sides), len(sides)),
        "holds within a fifth": _count(
            is_near(step, other.step.until_ms - other.step.kept_ms) for step, other in pairs
        ),
        "starts within two seconds": _count(abs(step.at_ms - other.start_ms) <= RIGHT_MS for step, other in pairs),
        "drafts have of what both have": Recovered(len(list(matched(both, drafted))), len(both)),
        "of theirs neither has": Recovered(len(drafted) - len(of_either), len(drafted)),
    }


def _count(right: Iterable[bool]) -> Recovered:
    every = list(right)
    return Recovered(sum(every), len(every))


if __name__ == "__main__":
    with Pool() as workers:
        each = workers.map(agreement, names(PUT_AWAY), 1)
    for what in each[0]:
        print(f"{what:34} {reduce(add, (one[what] for one in each))}")
