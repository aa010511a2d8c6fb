"""A draft beside what people really did in a talked class: what is found, wrong and left to edit.

    PYTHONPATH=.:tests:tests/review:tests/draft python tests/draft/talk_scores.py [FOLDER [NAME …]]

prints the scores of each kind of captions, by talk and together; FOLDER has talks, `talks/built_with/` by default. What
the program knows was learned from those and from `talks/learned_from`; the figures that count are those of
`talks/put_away`.
"""

import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Protocol, TypeVar

from drafts import Recovered, Span, steps_of
from talked import BUILT_WITH, CUTS, Flow, Kept, Talked, captions, names, talked
from taught import SoundLengths

from guide.draft.base_sections import NAMES, REST, RESTS, base_sections
from guide.draft.breath_pace import Breathing, held_ms
from guide.draft.class_text import SpokenWords, class_text
from guide.draft.events import Kind
from guide.draft.from_captions import understood
from guide.draft.grouping import Again, Node, Sided, events_of
from guide.draft.known_blocks import Called
from guide.plan.estimate import EstimatedLengths
from guide.plan.scheduler import plan
from guide.sequence.poses.shipped_library import shipped
from guide.sequence.steps import Steps

#: A hold is as long as it was within this share of it.
NEAR = 0.2

NONE = Recovered(0, 0)


class Held(Protocol):
    """Something that is said to have been done, and when: by a draft, or by another hand."""

    @property
    def pose(self) -> str | None: ...
    @property
    def start_ms(self) -> int: ...
    @property
    def end_ms(self) -> int: ...


AnyHeld = TypeVar("AnyHeld", bound=Held)


@dataclass
class Scores:
    """What one draft has, or several together.

    - `poses` of those that people were in; `wrong` of those drafted; `unmarked` are wrong without the word `doubtful`;
    - `sides` of what was done on both, with the turn where it was; `rounds` of salutations, with how many there were;
    - `sections` is how many seconds of what people were in lie in a section named for its base;
    - `holds` of the poses found, within a fifth; `length` the drafted class, with the library's words, beside the
      recording;
    - `edits` is how many entries must be put in, taken out or changed to have what was taught.
    """

    poses: Recovered = NONE
    wrong: Recovered = NONE
    unmarked: Recovered = NONE
    sides: Recovered = NONE
    blocks: Recovered = NONE
    rounds: Recovered = NONE
    sections: Recovered = NONE
    holds: Recovered = NONE
    length_off: list[float] = field(default_factory=list)
    edits: int = 0

    def __add__(self, other: "Scores") -> "Scores":
        return Scores(*(getattr(self, each.name) + getattr(other, each.name) for each in fields(self)))

    def __str__(self) -> str:
        lengths = " ".join(f"{off:+.0%}" for off in self.length_off)
        return (
            f"poses {self.poses}  wrong {self.wrong}, unmarked {self.unmarked.found}  sides {self.sides}  "
            f"salutations {self.blocks}, with their rounds {self.rounds}  "
            f"sections {self.sections}  holds {self.holds}  length {lengths}  "
            f"edits {self.edits}"
        )


def drafted(folder: Path, name: str, cut: str) -> Scores:
    """The scores of the draft of a talk from captions in one cut."""
    talk = talked(folder, name)
    nodes, pace = understood(captions(talk, cut))
    return scores(talk, nodes, pace, steps_of(class_text(name, nodes, pace, SpokenWords.COMMENTS)))


def scores(talk: Talked, nodes: Sequence[Node], pace: Breathing, draft: Steps) -> Scores:
    """A draft beside the truth: a pose is found where the same is drafted in its time, each drafted one once."""
    drafted = [event for node in nodes for event in events_of(node) if event.kind is Kind.HOLD and event.pose]
    wanted = [step for step in talk.steps if step.pose is not None]
    pairs = list(matched(talk.steps, drafted))
    right = {id(event) for _, event in pairs}
    false = [event for event in drafted if id(event) not in right]
    near = [is_near(step, held_ms(event, pace)) for step, event in pairs]
    both = [(_span(node.one), _span(node.other)) for node in _all(nodes) if isinstance(node, Sided)]
    sides = sum(
        any(
            meet((pair.from_ms, pair.turn_ms), one) and meet((pair.turn_ms, pair.until_ms), other)
            for one, other in both
        )
        for pair in talk.pairs
    )
    salutes = [flow for flow in talk.flows if flow.salutation]
    found = [_best(flow, nodes) for flow in salutes]
    planned = plan(draft, EstimatedLengths(0.75), SoundLengths())
    off = (planned.length_ms - talk.length_ms) / talk.length_ms
    one = Scores(
        Recovered(len([step for step, _ in pairs if step.pose is not None]), len(wanted)),
        Recovered(len(false), len(drafted)),
        Recovered(sum(event.sure >= 0.999 for event in false), len(drafted)),
        Recovered(sides, len(talk.pairs)),
        Recovered(sum(each is not None for each in found), len(salutes)),
        Recovered(sum(each == flow.rounds for each, flow in zip(found, salutes, strict=True)), len(salutes)),
        _in_sections(talk.steps, nodes),
        Recovered(sum(near), len(near)),
        [off],
    )
    missing = [one.poses, one.sides, one.rounds, one.holds]
    one.edits = sum(each.all - each.found for each in missing) + one.wrong.found
    return one


def _in_sections(steps: Sequence[Kept], nodes: Sequence[Node]) -> Recovered:
    """The seconds in which the section has the name of the base that people were on, of those with a base in the truth.

    In the rest at the end any name will do that is so called.
    """
    begun = [(events_of(nodes[number])[0].start_ms, name) for number, name in base_sections(nodes).items()]
    right = whole = 0
    for step in steps:
        pose = shipped().find(step.pose or "")
        if pose is None or pose.base not in NAMES:
            continue
        wanted = {NAMES[pose.base], *([REST] if pose.name in RESTS else [])}
        seconds = range(step.at_ms // 1000, step.until_ms // 1000)
        named = [next((name for at_ms, name in reversed(begun) if at_ms <= 1000 * one), "") for one in seconds]
        right += sum(name in wanted for name in named)
        whole += len(seconds)
    return Recovered(right, whole)


def matched(steps: Sequence[Kept], drafted: Sequence[AnyHeld]) -> Iterator[tuple[Kept, AnyHeld]]:
    """The steps with the drafted holds of the same pose that are in their time, each once, in order."""
    free = list(drafted)
    for step in steps:
        same = [event for event in free if _is(step, event) and _over(step, event) > 0]
        if same:
            best = max(same, key=lambda event: _over(step, event))
            free.remove(best)
            yield step, best


def _is(step: Kept, event: Held) -> bool:
    return any(_pose(each) == _pose(event.pose or "") for each in ({step.pose} | step.or_poses) - {None})


def _pose(name: str | None) -> str | None:
    found = shipped().find(name or "")
    return found.name if found else name


def _over(step: Kept, event: Held) -> int:
    return min(step.until_ms, event.end_ms) - max(step.at_ms, event.start_ms)


def is_near(step: Kept, drafted_ms: float) -> bool:
    kept_ms = max(step.until_ms - step.kept_ms, 1)
    return abs(drafted_ms - kept_ms) <= NEAR * kept_ms


def _best(flow: Flow, nodes: Sequence[Node]) -> int | None:
    """How many rounds the draft has of a flow, where it is one block or the rounds of one; None where it is neither."""
    for node in _all(nodes):
        span = _span((node,))
        if isinstance(node, Again | Called) and meet((flow.from_ms, flow.until_ms), span):
            return len(node.passes) if isinstance(node, Again) else 1
    return None


def _all(nodes: Sequence[Node]) -> Iterator[Node]:
    """All nodes, outer ones first."""
    for node in nodes:
        yield node
        match node:
            case Sided(_, one, other):
                yield from _all((*one, *other))
            case Again(passes):
                yield from _all([part for each in passes for part in each])


def _span(nodes: tuple[Node, ...]) -> Span:
    events = [event for node in nodes for event in events_of(node)]
    return events[0].start_ms, events[-1].end_ms


def meet(one: Span, other: Span) -> bool:
    """Whether two spans are the same for the most part."""
    both = min(one[1], other[1]) - max(one[0], other[0])
    return both * 2 > max(one[1] - one[0], other[1] - other[0])


def main(folder: Path, chosen: Sequence[str]) -> None:
    """Prints the scores of each kind of captions, by talk and together."""
    for cut in CUTS:
        there = [name for name in chosen if cut != "heard" or (folder / f"{name}.heard.vtt").exists()]
        found = [drafted(folder, name, cut) for name in there]
        for name, one in zip(there, found, strict=True):
            print(f"{cut:24} {name:9} {one}")
        if found:
            print(f"{cut:24} together  {sum(found, Scores())}\n")


if __name__ == "__main__":
    where = Path(sys.argv[1]) if len(sys.argv) > 1 else BUILT_WITH
    main(where, sys.argv[2:] or names(where))
