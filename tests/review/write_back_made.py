"""Classes planned from a text, done so and so, and kept: for the tests of what is written back."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from class_texts import expand
from taught import SoundLengths

from guide.plan.checker import prove
from guide.plan.estimate import EstimatedLengths
from guide.plan.fitting.fit import fit
from guide.plan.scheduler import plan
from guide.plan.timeline import Timeline
from guide.review.comparison import Comparison, Known, beside
from guide.review.confidence import Basis
from guide.review.write_back.done_lengths import what_to_keep
from guide.review.write_back.edited_file import EditedFile, write_lengths
from guide.review.write_back.taught_hold import SidesKept
from guide.sequence.reader import read_text
from guide.sequence.steps import Steps

#: How long a hold really was, in breaths, by the number of its step; None where it was as planned.
Breaths = Callable[[int], Fraction | float | None]


@dataclass(frozen=True, slots=True)
class Made:
    """A class file, and what is planned from it."""

    raw: bytes
    name: str
    folder: Path
    steps: Steps
    timeline: Timeline

    @staticmethod
    def of(text: str | bytes, name: str = "class.yaml", folder: Path = Path()) -> "Made":
        raw = text.encode() if isinstance(text, str) else text
        word_ms, sound_ms = EstimatedLengths(0.75), SoundLengths()
        fitted = fit(expand(read_text(raw, name, folder)), word_ms, sound_ms)
        timeline = fitted.told(plan(fitted.steps, word_ms, sound_ms))
        prove(fitted.steps, timeline, word_ms)
        return Made(raw, name, folder, fitted.steps, timeline)

    @property
    def held(self) -> list[int]:
        """The numbers of the steps in which something is held."""
        return [number for number, step in enumerate(self.steps.steps) if step.hold is not None]

    def done(self, breaths: Breaths, sure: Callable[[int], float] = lambda number: 1.0) -> Comparison:
        """The class as it was done: each hold so long, and all around it as planned."""
        spans = self.timeline.spans
        now_ms, known = 0, []
        for number, span in enumerate(spans):
            next_ms = spans[number + 1].start_ms if number + 1 < len(spans) else span.end_ms
            held = None if self.steps.steps[number].hold is None else breaths(number)
            length_ms = next_ms - span.start_ms
            if held is not None:
                length_ms += round(held * Fraction(span.period_ms)) - (span.held_ms - span.hold_ms)
            known.append(Known(now_ms, length_ms, sure(number), Basis.PRESSED))
            now_ms += length_ms
        return beside(self.steps, self.timeline, "taught", known)

    def kept(self, comparison: Comparison, sides: SidesKept = SidesKept.EQUAL) -> EditedFile:
        keep = what_to_keep(self.steps, self.timeline, [comparison], sides, self.name)
        return write_lengths(self.raw, self.name, self.folder, keep)

    def kept_after(self, *breaths: Fraction | float | None, sides: SidesKept = SidesKept.EQUAL) -> EditedFile:
        """What is kept where the holds were so long, one after the other; the others were as planned."""
        by_number = dict(zip(self.held, breaths, strict=False))
        return self.kept(self.done(by_number.get), sides)


def changed(before: bytes, after: bytes) -> tuple[bytes, bytes]:
    """The stretches that differ, from the first byte to the last that does."""
    start = 0
    while start < min(len(before), len(after)) and before[start] == after[start]:
        start += 1
    end = 0
    while end < min(len(before), len(after)) - start and before[-1 - end] == after[-1 - end]:
        end += 1
    return before[start : len(before) - end], after[start : len(after) - end]


def titles(things: Sequence[object]) -> list[str]:
    return [str(getattr(thing, "title", "")) for thing in things]
