"""The scheduler: steps and the measured lengths of their words in, a timeline out.

A pure function, with no sound, no file and no clock. The steps are measured and shaped first (see `step_shape`), then
the shapes are laid one after the other from absolute starts. What the plan promises is written in DEVELOPERS.md and
proved on every plan by `checker`, which shares nothing with this module.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby, pairwise

from guide.plan.breath_counting import CountedStep, counts, given_way
from guide.plan.class_length import lead_ms
from guide.plan.fixed_lengths import DIP_JOIN_MS, GAP_MS, PADDING_NOTED_MS
from guide.plan.move_leads import in_one_run, words_from_ms
from guide.plan.music_spans import music_notes, music_spans
from guide.plan.slot_limits import NEAR_MS, slot_missed
from guide.plan.step_lengths import Twins, entry_words_ms, measured
from guide.plan.step_shape import StepShape, left_out, shapes
from guide.plan.timeline import Chapter, Cue, CuePart, Dip, Dropped, Note, Ring, RingRole, Span, Timeline
from guide.problem import Place
from guide.sequence.steps import CueKind, InBreaths, Section, Step, StepKind, Steps
from guide.units import seconds_text


def plan(steps: Steps, word_ms: Mapping[str, int], sound_ms: Mapping[str, int]) -> Timeline:
    """The timeline of a class.

    Args:
        steps: the class, expanded.
        word_ms: the length of every cue's words in ms, by their text; numbers that are counted aloud included
            (`breath_counting.counted` says which).
        sound_ms: the length of every chime and bell in ms, by the name that the steps give it.

    Raises:
        KeyError: for words or a sound whose length is not given; that is a mistake of the caller.
    """
    laid = _Laid(word_ms=word_ms, sound_ms=sound_ms)
    twins = measured(steps.steps, word_ms)
    made = shapes(twins, sound_ms)
    if steps.bell.at_start:
        laid.bell(steps.sounds.klass, RingRole.CLASS)
    numbered = list(enumerate(zip(steps.steps, made, strict=True)))
    for section, group in groupby(numbered, key=lambda item: item[1][0].section):
        laid.section(None if section is None else steps.sections[section], group, steps)
    laid.close(steps, twins)
    laid.notes.update(dict.fromkeys(music_notes(steps, laid.spans)))
    return laid.timeline(steps)


@dataclass(slots=True)
class _Laid:
    """What has been laid so far, and the moment up to which it reaches."""

    word_ms: Mapping[str, int]
    sound_ms: Mapping[str, int]
    now_ms: int = 0
    spans: list[Span] = field(default_factory=list)
    cues: list[Cue] = field(default_factory=list)
    rings: list[Ring] = field(default_factory=list)
    starts: list[tuple[str, int]] = field(default_factory=list)
    notes: dict[Note, None] = field(default_factory=dict)
    dropped: list[Dropped] = field(default_factory=list)

    def ring(self, start_ms: int, sound: str, role: RingRole, step: int | None) -> None:
        self.rings.append(Ring(start_ms, self.sound_ms[sound], sound, role, step))

    def bell(self, sound: str, role: RingRole) -> None:
        """A bell of the class or of a section, in a time of its own."""
        self.ring(self.now_ms, sound, role, None)
        self.now_ms += lead_ms(sound, self.sound_ms)

    def section(
        self,
        section: Section | None,
        group: Iterable[tuple[int, tuple[Step, StepShape]]],
        steps: Steps,
    ) -> None:
        if section is not None:
            self.starts.append((section.title, self.now_ms if self.spans else 0))
            if section.bell.at_start:
                self.bell(section.bell_sound, RingRole.SECTION)
        for number, (step, shape) in group:
            self.step(number, step, shape, steps)
        if section is not None and section.bell.at_end:
            self.bell(section.bell_sound, RingRole.SECTION)

    def step(self, number: int, step: Step, shape: StepShape, steps: Steps) -> None:
        start_ms = self.now_ms
        hold_ms = start_ms + shape.lead_ms + shape.entry_ms
        held_ms = hold_ms + shape.held_ms
        if step.bell.at_start:
            self.ring(start_ms, step.bell_sound, RingRole.STEP, number)
        self.entry(number, step, hold_ms - shape.own_entry_ms)
        self.held(number, step, shape, hold_ms, steps)
        if step.bell.at_end:
            self.ring(held_ms, step.bell_sound, RingRole.STEP, number)
        self.now_ms = held_ms + shape.tail_ms
        self.spans.append(
            Span(
                kind=step.kind,
                title=step.pose or step.title,
                side=step.side,
                section=step.section,
                place=step.place,
                start_ms=start_ms,
                hold_ms=hold_ms,
                held_ms=held_ms,
                end_ms=self.now_ms,
                breaths=shape.breaths,
                period_ms=str(step.pace.period_ms),
                pace=step.pace,
                breath=step.breath,
                pose=step.known,
                and_a_half=isinstance(step.hold, InBreaths) and step.hold.and_a_half,
            )
        )
        self.remark(number, step, shape)

    def entry(self, number: int, step: Step, start_ms: int) -> None:
        """The entry words, so that they end when the hold begins."""
        for words, length_ms in zip(step.entry, entry_words_ms(step, self.word_ms), strict=True):
            self.cues.append(Cue(start_ms, length_ms, words.text, words.kind, CuePart.ENTRY, words.place, number))
            start_ms += length_ms + GAP_MS

    def held(self, number: int, step: Step, shape: StepShape, hold_ms: int, steps: Steps) -> None:
        """The words in the hold (or of the move), and its chimes or numbers around them."""
        part = CuePart.MOVE if step.kind is StepKind.MOVE else CuePart.HOLD
        settled = [] if step.laid is None else [one.length_ms for one in step.laid.words]
        lengths_ms = settled + [self.word_ms[words.text] for _, words in shape.placed.words[len(settled) :]]
        leads = step.kind is StepKind.MOVE and not settled
        from_ms = self.words_from_ms(steps.steps[max(0, number - 1) : number + 1], hold_ms) if leads else hold_ms
        said = [
            Cue(from_ms + offset, length_ms, words.text, words.kind, part, words.place, number)
            for (offset, words), length_ms in zip(shape.placed.words, lengths_ms, strict=True)
        ]
        counted = counts(CountedStep(number, step, shape, hold_ms, steps.sounds), said, self.word_ms)
        self.cues += sorted((*said, *counted.numbers), key=lambda cue: cue.start_ms) if counted.numbers else said
        for start_ms, sound, role in counted.strikes:
            self.ring(start_ms, sound, role, number)
        if counted.given_way:
            self.dropped += [Dropped(step.place, text, number, CueKind.COUNT) for text in counted.given_way]
            self.notes[Note(step.place, given_way(step.title, counted.given_way))] = None

    def words_from_ms(self, run: Sequence[Step], hold_ms: int) -> int:
        """When the words of a move begin, the last of the run; the step before it is the one that was laid last."""
        follows = len(run) > 1 and in_one_run(*run)
        soonest_ms = self.spans[-1].hold_ms if follows else self.now_ms
        if self.cues:
            soonest_ms = max(soonest_ms, self.cues[-1].end_ms + GAP_MS)
        return hold_ms + words_from_ms(run[-1], soonest_ms - hold_ms)

    def remark(self, number: int, step: Step, shape: StepShape) -> None:
        for what in (*step.told, *shape.notes):
            self.notes[Note(step.place, what)] = None
        for words in shape.placed.dropped:
            self.dropped.append(Dropped(words.place, words.text, number, words.kind))
            self.notes[Note(words.place, left_out(words))] = None
        if step.given:
            self.notes[Note(step.place, _given(step))] = None
        padding_ms = shape.entry_ms - shape.own_entry_ms
        if step.kind is not StepKind.MOVE and padding_ms >= PADDING_NOTED_MS and step.side is not None:
            waits = f"“{step.title}” waits {seconds_text(padding_ms)} on the {step.side.value}"
            what = f"{waits}, so that both sides last the same"
            self.notes[Note(step.place, what)] = None

    def close(self, steps: Steps, twins: Sequence[Twins]) -> None:
        """The bell that closes the class rings out."""
        if steps.bell.at_end:
            self.bell(steps.sounds.klass, RingRole.CLASS)
            self.now_ms = self.rings[-1].end_ms
        if steps.slot_ms is not None and abs(steps.slot_ms - self.now_ms) >= NEAR_MS and self.spans:
            first = Place(self.spans[0].place.file, 1, 1)
            told = slot_missed(self.spans, steps.steps, twins, (self.now_ms, steps.slot_ms))
            self.notes[Note(first, told)] = None

    def timeline(self, steps: Steps) -> Timeline:
        return Timeline(
            title=steps.title,
            length_ms=self.now_ms,
            spans=tuple(self.spans),
            cues=tuple(self.cues),
            rings=tuple(sorted(self.rings, key=lambda ring: ring.start_ms)),
            dips=tuple(dips(self.cues)),
            chapters=tuple(
                Chapter(title, start_ms, end_ms)
                for (title, start_ms), (_, end_ms) in pairwise([*self.starts, ("", self.now_ms)])
            ),
            notes=tuple(self.notes),
            dropped=tuple(self.dropped),
            by=steps.by,
            music=music_spans(steps, self.spans, (start_ms for _, start_ms in self.starts), self.now_ms),
        )


def _given(step: Step) -> str:
    other = "" if step.breath is None else step.breath.other.value
    return f"an {step.title} without words is given here, because one {other} would follow another"


def dips(cues: Sequence[Cue]) -> Iterator[Dip]:
    """The times of the voice; those with little between them are one."""
    start_ms: int | None = None
    end_ms = 0
    for cue in cues:
        if start_ms is not None and cue.start_ms - end_ms >= DIP_JOIN_MS:
            yield Dip(start_ms, end_ms)
            start_ms = None
        if start_ms is None:
            start_ms = cue.start_ms
        end_ms = max(end_ms, cue.end_ms)
    if start_ms is not None:
        yield Dip(start_ms, end_ms)
