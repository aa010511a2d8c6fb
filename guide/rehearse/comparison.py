"""A class that was taught, beside its plan: when each step really began, both sides, the words, and slips."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from guide.plan.timeline import Span, Timeline
from guide.problem import Place, UnusableChoice
from guide.rehearse.doors import HeardCue, heard_cues, spoken
from guide.rehearse.likeness import SIDES
from guide.rehearse.placing import Placing, placed
from guide.rehearse.speech import Speech, speech
from guide.rehearse.surety import Rests, chance
from guide.rehearse.transcript import Transcript, folded
from guide.sequence.steps import Side, StepKind, Steps

#: With fewer of its cues than this, as a share, the captions are of another class, and nothing is said of the steps.
LEAST_SAME = 0.15

#: Six hours without a pause.
MOST_WORDS = 60_000

#: A step that nothing was heard of is told so far beyond those that were, and no further.
BEYOND_MS = 30_000

#: Words that open a step begin so soon after it does.
OPENING_MS = 1_500

#: A cue must be heard so well before left and right in it are believed to be exchanged.
SURE_OF_CUE = 0.6

#: Stands for a word that was not heard.
MISSED = "…"


@dataclass(frozen=True, slots=True)
class StepTaken:
    """A step as planned and as taught; times count from the start of the plan, and of the recording.

    `real_start_ms` is None where the step was left out or nothing tells of it, `real_ms` where its end is not known
    either. Lengths run to the start of the next step. `sure` is the chance, 0 to 1, that the real start is right to
    within two seconds; `cues` is how many it has in the plan, and `heard` how many of them were heard.
    """

    number: int
    kind: StepKind
    title: str
    side: Side | None
    section: int | None
    place: Place
    planned_start_ms: int
    planned_ms: int
    real_start_ms: int | None
    real_ms: int | None
    sure: float
    rests_on: Rests
    cues: int
    heard: int


@dataclass(frozen=True, slots=True)
class BothSides:
    """The two sides of one thing, by the numbers of their steps, in the order in which they were planned."""

    first: int
    second: int


@dataclass(frozen=True, slots=True)
class Slip:
    """A cue in which left was said for right, or right for left; `at_ms` is about when, in the recording."""

    step: int
    at_ms: int
    place: Place
    planned: str
    heard: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """A taught class beside its plan. `planned_ms` and `real_ms` run from the first step's start to the last one's end.

    `heard` of the `cues` that the plan has (numbers counted aloud among them) were heard.
    """

    title: str
    recording: str
    sections: tuple[str, ...]
    planned_ms: int
    real_ms: int | None
    cues: int
    heard: int
    steps: tuple[StepTaken, ...]
    both_sides: tuple[BothSides, ...]
    speech: Speech
    slips: tuple[Slip, ...]

    @property
    def is_another(self) -> bool:
        """Whether so little was heard of the plan that the captions must be of another class."""
        return not self.heard or self.heard < LEAST_SAME * self.cues


def compared(steps: Steps, timeline: Timeline, transcript: Transcript) -> Comparison:
    """The class that `transcript` was taken from, beside the plan; `steps` are those that `timeline` was planned from.

    Steps without words of their own, and such as were not heard, are placed between their neighbours, and less surely.

    Raises:
        UnusableChoice: there are more words than in any class.
    """
    said = spoken(transcript)
    if len(said) > MOST_WORDS:
        what = f"{len(said)} words, more than anybody says in a class"
        raise UnusableChoice(f"{transcript.name}: {what} (give the captions of one class)")
    heard = heard_cues(timeline, said)
    if not heard or len(heard) < LEAST_SAME * len(timeline.cues):
        taken = tuple(_unknown(timeline, number) for number in range(len(timeline.spans)))
    else:
        taken = tuple(_taken(timeline, transcript, heard, placed(timeline, heard)))
    comparison = Comparison(
        title=timeline.title,
        recording=transcript.name,
        sections=tuple(section.title for section in steps.sections),
        planned_ms=timeline.spans[-1].end_ms - timeline.spans[0].start_ms,
        real_ms=_whole_ms(taken),
        cues=len(timeline.cues),
        heard=len(heard),
        steps=taken,
        both_sides=tuple(_both_sides(steps)),
        speech=speech(transcript),
        slips=tuple(_slips(timeline, heard)),
    )
    return replace(comparison, slips=()) if comparison.is_another else comparison


def _unknown(timeline: Timeline, number: int) -> StepTaken:
    """A step that nothing is known of but its plan."""
    span = timeline.spans[number]
    return StepTaken(
        number=number,
        kind=span.kind,
        title=span.title,
        side=span.side,
        section=span.section,
        place=span.place,
        planned_start_ms=span.start_ms,
        planned_ms=_planned_end_ms(timeline.spans, number) - span.start_ms,
        real_start_ms=None,
        real_ms=None,
        sure=0.0,
        rests_on=Rests.NOTHING,
        cues=sum(cue.step == number for cue in timeline.cues),
        heard=0,
    )


def _planned_end_ms(spans: Sequence[Span], number: int) -> int:
    return spans[number + 1].start_ms if number + 1 < len(spans) else spans[number].end_ms


def _taken(
    timeline: Timeline, transcript: Transcript, heard: Sequence[HeardCue], placing: Placing
) -> Iterator[StepTaken]:
    """Each step as it was taught."""
    told = _Told.of(timeline, transcript, heard, placing)
    known = [told.knows(start_ms, real_ms) for start_ms, real_ms in told.edges]
    for number in range(len(timeline.spans)):
        step = _unknown(timeline, number)
        if number not in placing.left_out and known[number]:
            end = next(at for at in range(number + 1, len(known)) if at not in placing.left_out)
            start_ms = told.edges[number][1]
            step = replace(
                step,
                real_start_ms=start_ms,
                real_ms=told.edges[end][1] - start_ms if known[end] else None,
                sure=round(chance(placing.places[number], placing.doors), 2),
                rests_on=told.rests_on(number),
                heard=len(told.cues_of.get(number, ())),
            )
        yield step


@dataclass(frozen=True, slots=True)
class _Told:
    """What was heard, for telling how far it reaches.

    `edges` are the planned and the real moment of the start of each step, and of the end of the last; `cues_of` the
    planned starts of the cues of a step that were heard, by its number; `first_ms` and `last_ms` the planned starts of
    the first and the last of all, and `from_ms` and `to_ms` the ends of the recording's words.
    """

    edges: tuple[tuple[int, int], ...]
    cues_of: Mapping[int, Sequence[int]]
    first_ms: int
    last_ms: int
    from_ms: int
    to_ms: int

    @staticmethod
    def of(timeline: Timeline, transcript: Transcript, heard: Sequence[HeardCue], placing: Placing) -> "_Told":
        cues = [timeline.cues[one.cue] for one in heard]
        cues_of: dict[int, list[int]] = {}
        for cue in cues:
            cues_of.setdefault(cue.step, []).append(cue.start_ms - timeline.spans[cue.step].start_ms)
        planned = (*(span.start_ms for span in timeline.spans), timeline.spans[-1].end_ms)
        edges = zip(planned, (*placing.starts_ms, placing.end_ms), strict=True)
        first, last = transcript.blocks[0], transcript.blocks[-1]
        return _Told(tuple(edges), cues_of, cues[0].start_ms, cues[-1].start_ms, first.start_ms, last.end_ms)

    def knows(self, planned_ms: int, real_ms: int) -> bool:
        """Whether a moment lies among what was heard, or near enough to it and within the recording."""
        if self.first_ms <= planned_ms <= self.last_ms:
            return True
        is_near = self.first_ms - BEYOND_MS <= planned_ms <= self.last_ms + BEYOND_MS
        return is_near and self.from_ms - BEYOND_MS <= real_ms <= self.to_ms + BEYOND_MS

    def rests_on(self, number: int) -> Rests:
        into_ms = self.cues_of.get(number)
        if not into_ms:
            return Rests.AROUND
        return Rests.OPENING if into_ms[0] <= OPENING_MS else Rests.LATER


def _whole_ms(steps: Sequence[StepTaken]) -> int | None:
    """From the first real start to the last real end; None where either is not known."""
    taken = [step for step in steps if step.rests_on is not Rests.NOTHING]
    if not taken or taken[0].real_start_ms is None or taken[-1].real_start_ms is None or taken[-1].real_ms is None:
        return None
    return taken[-1].real_start_ms + taken[-1].real_ms - taken[0].real_start_ms


def _both_sides(steps: Steps) -> Iterator[BothSides]:
    """Each step of a pair with the next of the same pair that is on the other side."""
    waiting: dict[str, int] = {}
    for number, step in enumerate(steps.steps):
        if step.pair is None:
            continue
        first = waiting.pop(step.pair, None)
        if first is None or steps.steps[first].side is step.side:
            waiting[step.pair] = number
        else:
            yield BothSides(first, number)


def _slips(timeline: Timeline, heard: Sequence[HeardCue]) -> Iterator[Slip]:
    """The cues, heard well, in which more sides are exchanged than are right."""
    for one in heard:
        cue = timeline.cues[one.cue]
        sides = [(word, said) for word, said in zip(folded(cue.words), one.words, strict=True) if word in SIDES]
        exchanged = sum(said == SIDES[word] for word, said in sides)
        right = sum(said is not None and said != SIDES[word] for word, said in sides)
        if exchanged > right and one.share >= SURE_OF_CUE:
            said_words = " ".join(word or MISSED for word in one.words)
            yield Slip(cue.step, round((one.low_ms + one.high_ms) / 2), cue.place, cue.words, said_words)
