"""A finished plan sorted by step, so that every check looks at each thing once."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from guide.plan.checks.breach import BELL_LEAD_MS, GAP_MS
from guide.plan.checks.breathgrid import BreathGrid, breath_grid
from guide.plan.timeline import Cue, CuePart, Dropped, Ring, Span, Timeline
from guide.problem import Place
from guide.sequence.steps import (
    AtBreath,
    AtTime,
    BeforeEnd,
    CueKind,
    InBreaths,
    InTime,
    SettledWords,
    Step,
    StepKind,
    Steps,
    Words,
)


@dataclass(frozen=True, slots=True)
class Settled:
    """A place in a hold, `ms` after it began, where an earlier plan has put a cue."""

    ms: int


#: Where the file asks a cue to be, or where it is already, and how many milliseconds it lasts.
Wish = tuple[AtBreath | AtTime | BeforeEnd | Settled | None, int]

#: The same, of a cue whose place is not before the end of the hold.
FreeWish = tuple[AtBreath | AtTime | Settled | None, int]


@dataclass(frozen=True, slots=True)
class Seen:
    """A step beside all that the plan makes of it; cues and rings stand in the order of the plan.

    `said` are the cues of the hold that the file wrote, `counts` the numbers that the plan counts aloud, `carried` the
    cues of a move, `uncounted` the numbers that are listed as dropped. `twins` are the numbers of the steps that share
    its pair, itself included.
    """

    number: int
    step: Step
    span: Span
    grid: BreathGrid
    lead_ms: int
    twins: tuple[int, ...]
    entry: list[Cue] = field(default_factory=list)
    carried: list[Cue] = field(default_factory=list)
    said: list[Cue] = field(default_factory=list)
    counts: list[Cue] = field(default_factory=list)
    rings: list[Ring] = field(default_factory=list)
    dropped: list[Dropped] = field(default_factory=list)
    uncounted: list[Dropped] = field(default_factory=list)

    @property
    def is_held(self) -> bool:
        """Whether it holds: no move, and no talk."""
        return self.step.hold is not None and self.step.kind not in (StepKind.MOVE, StepKind.TALK)

    @property
    def length_ms(self) -> int:
        """How long the plan keeps the hold (or the move)."""
        return self.span.held_ms - self.span.hold_ms

    @property
    def is_settled(self) -> bool:
        """Whether an earlier plan has settled all of it."""
        return self.step.laid is not None and self.step.laid.held_ms is not None

    @property
    def free_ms(self) -> int | None:
        """Where in the hold words may follow those that an earlier plan has settled; None if it has not."""
        laid = self.step.laid
        if laid is None:
            return None
        return max(0, laid.until_ms, *(end_ms + GAP_MS for end_ms in laid.ends_ms))

    @property
    def said_before(self) -> dict[Words, SettledWords]:
        """The words of the hold that an earlier plan has settled."""
        return {} if self.step.laid is None else {self.step.words[said.number]: said for said in self.step.laid.words}

    @property
    def passed(self) -> tuple[Words, ...]:
        """The words of the hold that an earlier plan has left out, and that no later one can bring back."""
        laid = self.step.laid
        if laid is None:
            return ()
        last = len(self.step.words) if self.is_settled else max((said.number for said in laid.words), default=0)
        said = {one.number for one in laid.words}
        return tuple(words for number, words in enumerate(self.step.words[:last]) if number not in said)

    def breaths_ms(self, breaths: int) -> int:
        """How long a hold of so many breaths is; where the file asks for half a breath more, with that inhale."""
        halves = isinstance(self.step.hold, InBreaths) and self.step.hold.and_a_half
        return self.grid.exhale_ms(breaths) if halves else self.grid.inhale_ms(breaths)

    @property
    def asked_ms(self) -> int:
        """The shortest that the file lets the hold be; 0 for a step without one."""
        match self.step.hold:
            case InBreaths(usual=usual):
                return self.breaths_ms(usual)
            case InTime(usual_ms=usual_ms):
                return usual_ms
        return 0


@dataclass(frozen=True, slots=True)
class Evidence:
    """All that a check may look at. `notes` holds the notes by the place that they name."""

    steps: Steps
    timeline: Timeline
    word_ms: Mapping[str, int]
    sound_ms: Mapping[str, int]
    notes: Mapping[Place, list[str]]
    seen: tuple[Seen, ...]

    def lead_ms(self, sound: str) -> int:
        """How long a bell has to be alone."""
        return min(BELL_LEAD_MS, self.sound_ms.get(sound, BELL_LEAD_MS))

    def has_note(self, place: Place, part: str) -> bool:
        """Whether a note that names this place says this."""
        return any(part in what for what in self.notes.get(place, ()))

    def wishes(self, seen: Seen, words: Iterable[Words]) -> list[Wish]:
        """Where these words of a hold ask to be, and the time that each needs: its own, or that of its twin."""
        needed: dict[tuple[Place, int], int] = {}
        for number in seen.twins:
            for one, said_ms in zip(self.seen[number].step.words, self.words_ms(self.seen[number]), strict=True):
                needed[one.key] = max(needed.get(one.key, 0), said_ms)
        before = seen.said_before
        wishes: list[Wish] = []
        for one in words:
            if one in before:
                wishes.append((Settled(before[one].offset_ms), before[one].length_ms))
            else:
                wishes.append((one.at, needed[one.key]))
        return wishes

    def words_ms(self, seen: Seen) -> list[int]:
        """How long each of the words of a hold lasts, or lasted."""
        before = seen.said_before
        return [before[one].length_ms if one in before else self.said_ms(one) for one in seen.step.words]

    def entry_ms(self, seen: Seen) -> int:
        """The entry words of one step, one after the other; some of them may have been said."""
        words, before = seen.step.entry, () if seen.step.laid is None else seen.step.laid.entry
        return sum(before) + sum(map(self.said_ms, words[len(before) :])) + GAP_MS * max(0, len(words) - 1)

    def said_ms(self, words: Words) -> int:
        """How long these words take; 0 where they are not spoken."""
        return self.word_ms.get(words.text, 0)


def gather(steps: Steps, timeline: Timeline, word_ms: Mapping[str, int]) -> Evidence:
    """The evidence of a plan whose spans, cues and rings name steps that there are."""
    sound_ms = {ring.sound: ring.length_ms for ring in timeline.rings}
    notes: dict[Place, list[str]] = {}
    for note in timeline.notes:
        notes.setdefault(note.place, []).append(note.what)
    seen = _side_by_side(steps, timeline, sound_ms)
    for cue in timeline.cues:
        _list_of(seen[cue.step], cue).append(cue)
    for ring in timeline.rings:
        if ring.step is not None:
            seen[ring.step].rings.append(ring)
    for dropped in timeline.dropped:
        one = seen[dropped.step]
        (one.uncounted if dropped.kind is CueKind.COUNT else one.dropped).append(dropped)
    return Evidence(steps, timeline, word_ms, sound_ms, notes, seen)


def _side_by_side(steps: Steps, timeline: Timeline, sound_ms: Mapping[str, int]) -> tuple[Seen, ...]:
    grids: dict[int, BreathGrid] = {}
    pairs: dict[str, list[int]] = {}
    for number, step in enumerate(steps.steps):
        # Paces are shared by many steps, and telling them apart by identity is quicker than by four fractions.
        if id(step.pace) not in grids:
            grids[id(step.pace)] = breath_grid(step.pace)
        if step.pair is not None:
            pairs.setdefault(step.pair, []).append(number)
    return tuple(
        Seen(
            number=number,
            step=step,
            span=span,
            grid=grids[id(step.pace)],
            lead_ms=min(BELL_LEAD_MS, sound_ms.get(step.bell_sound, BELL_LEAD_MS)) if step.bell.at_start else 0,
            twins=(number,) if step.pair is None else tuple(pairs[step.pair]),
        )
        for number, (step, span) in enumerate(zip(steps.steps, timeline.spans, strict=True))
    )


def _list_of(seen: Seen, cue: Cue) -> list[Cue]:
    if cue.part is CuePart.ENTRY:
        return seen.entry
    if cue.part is CuePart.MOVE:
        return seen.carried
    return seen.counts if cue.kind is CueKind.COUNT else seen.said
