"""Talked classes compared with what their teachers had planned: which starts are right, and what is said of them.

`PYTHONPATH=tests:tests/review:tests/draft python tests/review/talk_starts.py [FOLDER [NAME …]]` prints it for each kind
of captions.
"""

import sys
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, partial
from itertools import pairwise
from pathlib import Path

from class_texts import expand
from talked import BUILT_WITH, CUTS, Kept, Talked, captions, names, talked
from taught import planned
from voiced import LIGHT_HEARD, stretches_of

from guide.draft.talk_reader import read_talk
from guide.plan.timeline import Timeline
from guide.review.by_words import compare_captions
from guide.review.by_words_and_voice import compare_both
from guide.review.comparison import Comparison, Slip
from guide.review.confidence import RIGHT_MS
from guide.sequence.poses.shipped_library import shipped
from guide.sequence.reader import read_text
from guide.sequence.steps import StepKind, Steps

WITH_SOUND = ", with sound"

#: How sure is said in steps of ten per cent, and of the surest in two more.
GRADES = (0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 1.01)


@dataclass(frozen=True, slots=True)
class Told:
    """A step that people did, and what a comparison says of it; `off_ms` is None where it says no start."""

    title: str
    at_ms: int
    off_ms: int | None
    sure: float

    @property
    def is_right(self) -> bool:
        """Whether the start is right to within two seconds."""
        return self.off_ms is not None and abs(self.off_ms) <= RIGHT_MS


@cache
def class_of(talk_name: str, folder: Path) -> tuple[Steps, Timeline]:
    """The plan that the teacher of a talk would have had."""
    path = folder / f"{talk_name}.yaml"
    return planned(expand(read_text(path.read_text(encoding="utf-8"), path.name, folder)))


def tied(talk: Talked, timeline: Timeline) -> Iterator[tuple[int, Kept]]:
    """Each step of the plan, by number, that was done, and what was done; by line, side, pose and order.

    A way out of a pose is never what was done.
    """
    of_line: dict[int, list[int]] = defaultdict(list)
    for number, span in enumerate(timeline.spans):
        if not (span.kind is StepKind.TALK and number and timeline.spans[number - 1].place.line == span.place.line):
            of_line[span.place.line].append(number)
    done: dict[int, list[Kept]] = defaultdict(list)
    for step in talk.steps:
        if step.line is not None:
            done[step.line].append(step)
    for line, steps in done.items():
        yield from _in_order(timeline, of_line[line], steps)


def _in_order(timeline: Timeline, spans: list[int], steps: list[Kept]) -> Iterator[tuple[int, Kept]]:
    """What was done by one line of the class, with its steps; where some were not done, sides and poses tell which."""
    if len(spans) == len(steps) and all(map(partial(_fits, timeline), spans, steps)):
        yield from zip(spans, steps, strict=True)
        return
    for step in steps:
        fits = [number for number in spans if _fits(timeline, number, step)]
        if fits:
            found = next((number for number in fits if _pose(timeline, number) in {step.pose, *step.or_poses}), fits[0])
            yield found, step
            spans = [number for number in spans if number > found]


def _fits(timeline: Timeline, number: int, step: Kept) -> bool:
    return step.side is None or _side(timeline, number) in (None, step.side)


def _pose(timeline: Timeline, number: int) -> str | None:
    pose = shipped().find(timeline.spans[number].pose or "")
    return pose.name if pose else None


def _side(timeline: Timeline, number: int) -> str | None:
    side = timeline.spans[number].side
    return side.value if side else None


def told(talk: Talked, timeline: Timeline, comparison: Comparison) -> list[Told]:
    """What a comparison says of each step that was done; its start is when the words that lead into it begin."""
    found = []
    for number, step in sorted(tied(talk, timeline), key=lambda one: one[0]):
        taken = comparison.steps[number]
        off_ms = None if taken.real_start_ms is None else taken.real_start_ms - step.at_ms
        found.append(Told(f"{taken.title} {step.side or ''}".strip(), step.at_ms, off_ms, taken.sure))
    return found


def compared(folder: Path, name: str, cut: str) -> tuple[list[Told], Sequence[Slip]]:
    """What is told of a talk by its captions, in one of the cuts; and by its sound, where the cut ends with that."""
    talk = talked(folder, name)
    steps, timeline = class_of(name, folder)
    said = captions(talk, cut.removesuffix(WITH_SOUND))
    if cut.endswith(WITH_SOUND):
        heard = stretches_of([(word.start_ms, word.end_ms) for word in talk.words], LIGHT_HEARD, 1)
        comparison = compare_both(steps, timeline, said, "class.wav", heard, talk.length_ms, read_talk)
    else:
        comparison = compare_captions(steps, timeline, said, read_talk)
    return told(talk, timeline, comparison), comparison.slips


def figures(starts: Sequence[Told]) -> str:
    """The shares of starts within two and three seconds, of those that are told, and how sure that is said to be."""
    known = [one for one in starts if one.off_ms is not None]
    right = sum(one.is_right for one in starts)
    near = sum(abs(one.off_ms or 0) <= 3000 for one in known)
    sure = sum(one.sure for one in known) / max(len(known), 1)
    surest = [one for one in known if one.sure >= 0.9]
    surely = sum(one.is_right for one in surest)
    return (
        f"{len(starts):4} steps, {len(known):4} told, within 2 s {right / max(len(starts), 1):4.0%}, "
        f"3 s {near / max(len(starts), 1):4.0%}, sure {sure:4.0%}, of 90 % and more {surely} of {len(surest)} right"
    )


def reliability(starts: Sequence[Told]) -> Iterator[str]:
    """Of the starts said to be so sure, how many are right."""
    for low, high in pairwise(GRADES):
        here = [one for one in starts if one.off_ms is not None and low <= one.sure < high]
        if here:
            right, said = sum(one.is_right for one in here), sum(one.sure for one in here)
            yield f"  said {low:4.0%} to {min(high, 1):4.0%}: {len(here):4} starts, {said / len(here):4.0%} said, " + (
                f"{right / len(here):4.0%} right"
            )


def main(folder: Path, chosen: Sequence[str]) -> None:
    """Prints the figures of each kind of captions, by talk and together."""
    every: list[Told] = []
    for cut in (*CUTS, *(f"{cut}{WITH_SOUND}" for cut in CUTS[:-1])):
        together: list[Told] = []
        for name in chosen:
            if cut == "heard" and not (folder / f"{name}.heard.vtt").exists():
                continue
            starts, slips = compared(folder, name, cut)
            print(f"{cut:24} {name:9} {figures(starts)}", *(f"\n    {slip}" for slip in slips))
            together += starts
        if together:
            print(f"{cut:24} together  {figures(together)}\n")
        every += together
    print(*reliability(every), sep="\n")


if __name__ == "__main__":
    where = Path(sys.argv[1]) if len(sys.argv) > 1 else BUILT_WITH
    main(where, sys.argv[2:] or names(where))
