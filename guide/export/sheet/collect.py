"""From a class that is ready to what stands on its sheet."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from guide.export.plan_table import how_long, said_in_each
from guide.export.sheet.content import (
    BREATH_SIGNS,
    FIXED_SPACE,
    Card,
    CardGroup,
    ClassSheet,
    PoseCard,
    SaidStep,
    SectionScript,
    SheetLook,
    SheetSection,
    ToldCard,
)
from guide.export.sheet.folding import ComesAgain, Folded, Part, ShownStep, each_shown, fold
from guide.export.sheet.key_words import key_words
from guide.export.sheet.needs import cautions_of, poses_of, props_of
from guide.figures.figure import Figure, mirrored
from guide.plan.timeline import Cue, Span, Timeline
from guide.sequence.caution import caution
from guide.sequence.model import ClassFile
from guide.sequence.poses.class_figures import class_figures
from guide.sequence.poses.library import Library
from guide.sequence.steps import OUT_OF, Breath, Side, StepKind, Steps
from guide.units import clock
from guide.visible import visible_in_line

#: Titles of steps that have no name of their own.
_NAMELESS = frozenset({*(breath.value for breath in Breath), *(kind.value for kind in StepKind), "words"})

#: Of so many rounds each is said when it begins; of more, the first.
_FEW_ROUNDS = 3

#: Over what is done once, after the first side.
BETWEEN = "between the sides"

_BREATHS = " breaths"

_LEFT = re.compile(r"\bleft\b", re.IGNORECASE)


def sheet_of(written: ClassFile, steps: Steps, timeline: Timeline, library: Library, look: SheetLook) -> ClassSheet:
    """The sheet of a class as it was planned, without a script; `library` has its poses."""
    facts = (written.by, written.date, clock(timeline.length_ms))
    return ClassSheet(
        title=visible_in_line(timeline.title),
        facts=" · ".join(visible_in_line(fact) for fact in facts if fact),
        props=props_of(steps, timeline, library),
        sections=tuple(_sections(timeline, class_figures(written.poses))),
        cautions=tuple(cautions_of(poses_of(timeline, library), written.avoid)),
        warning=caution(written.avoid),
        minutes=timeline.length_ms / 60_000,
        look=look,
    )


def with_script(sheet: ClassSheet, timeline: Timeline) -> ClassSheet:
    """The sheet with every word that is said in the class behind it."""
    said = list(zip(timeline.spans, said_in_each(timeline), strict=True))
    scripts = (
        SectionScript(_title(timeline, section), tuple(_said(span, words) for span, words in run if words))
        for section, run in groupby(said, key=lambda one: one[0].section)
    )
    return replace(sheet, scripts=tuple(script for script in scripts if script.steps))


def _said(span: Span, words: tuple[str, ...]) -> SaidStep:
    side = f", {span.side.value}" if span.side else ""
    return SaidStep(
        clock(span.start_ms), "" if span.title in _NAMELESS and not span.pose else f"{_name(span)}{side}", words
    )


def _title(timeline: Timeline, section: int | None) -> str:
    return "" if section is None else visible_in_line(timeline.chapters[section].title)


def _name(span: Span) -> str:
    """What a step is called: of one that has no name of its own the pose that it comes to."""
    name = visible_in_line(span.pose if span.pose and span.title in _NAMELESS else span.title)
    return name[:1].upper() + name[1:]


def _sections(timeline: Timeline, figures: Mapping[str, Figure]) -> Iterator[SheetSection]:
    collecting = _Collecting.of(timeline, figures)
    for section, numbers in groupby(range(len(timeline.spans)), key=lambda number: timeline.spans[number].section):
        listed = list(numbers)
        cards = tuple(collecting.cards(fold(list(collecting.shown(listed)))))
        start_ms, end_ms = timeline.spans[listed[0]].start_ms, timeline.spans[listed[-1]].end_ms
        if section is not None:
            start_ms, end_ms = timeline.chapters[section].start_ms, timeline.chapters[section].end_ms
        yield SheetSection(_title(timeline, section), clock(start_ms), clock(end_ms - start_ms), cards)


@dataclass(frozen=True, slots=True)
class _Collecting:
    """A timeline with the cues of each step, and the figures that there are."""

    timeline: Timeline
    cues: Sequence[Sequence[Cue]]
    figures: Mapping[str, Figure]

    @staticmethod
    def of(timeline: Timeline, figures: Mapping[str, Figure]) -> "_Collecting":
        cues: list[list[Cue]] = [[] for _ in timeline.spans]
        for cue in timeline.cues:
            cues[cue.step].append(cue)
        return _Collecting(timeline, cues, figures)

    def shown(self, numbers: Sequence[int]) -> Iterator[ShownStep]:
        """The steps that are shown: not those that only lead into the hold after them or out of a pose, nor halves of a
        breath without words.
        """
        for number in numbers:
            span = self.timeline.spans[number]
            is_silent = span.kind is StepKind.MOVE and not self.cues[number] and span.pose is None
            if not (is_silent or span.title.startswith(OUT_OF) or self._leads(number)):
                key = (span.place, span.kind, span.breath)
                done = (span.pose, span.kind, span.breath) if span.pose else key
                yield ShownStep(key, done, span.side, (number,))

    def _leads(self, number: int) -> bool:
        """Whether a move only leads into the hold after it, of the same pose."""
        span, spans = self.timeline.spans[number], self.timeline.spans
        if span.kind is not StepKind.MOVE or span.pose is None or number + 1 == len(spans):
            return False
        after = spans[number + 1]
        told = (span.pose, span.side, span.section)
        return after.kind is StepKind.POSE and (after.pose, after.side, after.section) == told

    def cards(self, parts: Sequence[Part], times: int = 1, sided: bool = False) -> Iterator[Card]:
        """A card for each part; what is told stands together. `times` is how often all of them come."""
        for is_told, run in groupby(parts, key=self._is_told):
            if is_told:
                told = list(each_shown(list(run)))
                yield ToldCard(self._clock(told[0]), tuple(self._line(one) for one in told))
                continue
            for part in run:
                if isinstance(part, Folded):
                    inner = self.cards(part.parts, times * part.times, sided or part.again is ComesAgain.SIDES)
                    yield CardGroup(self._mark(part, times), tuple(inner))
                else:
                    yield self._pose(part, sided)

    def _span(self, part: ShownStep) -> Span:
        return self.timeline.spans[part.numbers[0]]

    def _clock(self, part: ShownStep) -> str:
        return clock(self._start_ms(part.numbers[0]))

    def _start_ms(self, number: int) -> int:
        """When a step begins, with the move that leads into it."""
        first = number - 1 if number and self._leads(number - 1) else number
        return self.timeline.spans[first].start_ms

    def _is_told(self, part: Part) -> bool:
        """Whether a step has nothing to draw: it is a move, words or a rest without a name."""
        return isinstance(part, ShownStep) and self._span(part).pose is None and self._span(part).title in _NAMELESS

    def _mark(self, part: Folded, times: int) -> str:
        numbers = next(each_shown(part.parts)).numbers
        if part.again is ComesAgain.BETWEEN:
            return BETWEEN
        start = clock(self._start_ms(numbers[0]))
        if part.again is ComesAgain.ROUNDS:
            each = numbers[: len(numbers) // times : len(numbers) // times // part.times]
            starts = [clock(self._start_ms(number)) for number in each]
            return f"{part.times} rounds: {', '.join(starts) if part.times <= _FEW_ROUNDS else start}"
        second = numbers[len(numbers) // times // 2]
        first_side, second_side = (self.timeline.spans[number].side or Side.RIGHT for number in (numbers[0], second))
        return f"{first_side.value} {start}, then {second_side.value} {clock(self._start_ms(second))}"

    def _line(self, part: ShownStep) -> str:
        """What is told in a step, in few words."""
        number, span = part.numbers[0], self._span(part)
        key = key_words(self.timeline, number, self.cues[number])
        if span.kind is StepKind.MOVE and span.breath is not None:
            return f"{BREATH_SIGNS[span.breath]}{FIXED_SPACE}{key}"
        if span.kind is StepKind.TALK:
            return f"“{key}”"
        return f"{_name(span)}, {self._amount(part)}" + (f": {key}" if key else "")

    def _amount(self, part: ShownStep) -> str:
        """How long a step lasts, each time that it lasts as long as no time before."""
        first, *others = dict.fromkeys(how_long(self.timeline.spans[number]) for number in part.numbers)
        if all(each.endswith(_BREATHS) for each in (first, *others)):
            return ", then ".join(each.removesuffix(_BREATHS) for each in (first, *others)) + _BREATHS
        return ", then ".join((first, *others))

    def _pose(self, part: ShownStep, sided: bool) -> PoseCard:
        number, span = part.numbers[0], self._span(part)
        is_left = span.side is Side.LEFT or bool(_LEFT.search(span.title))
        figure = self.figures.get(span.pose or "")
        if figure is not None and is_left:
            figure = mirrored(figure)
        is_move = span.kind is StepKind.MOVE
        side = f"{span.side.value}, " if span.side and not sided else ""
        return PoseCard(
            name=_name(span),
            figure=figure,
            drawn=f"{span.pose}, left" if is_left else span.pose or "",
            breath=span.breath if is_move else None,
            clock=self._clock(part),
            amount=side.rstrip(", ") if is_move else f"{side}{self._amount(part)}",
            key=key_words(self.timeline, number, self.cues[number]),
        )
