"""From the class as written to the flat list of steps: repeats unrolled, blocks put in, sides named, defaults filled.

Every step keeps the place it was written at. Two steps that come from the same place in the two passes of one
`both sides` share a `pair`, so that the plan can give them the same length.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import islice

from guide.problem import FaultyFile, Place, Problem
from guide.sequence.model import (
    BlockEntry,
    BlockName,
    BreathingEntry,
    BreathPlace,
    Entry,
    Group,
    HoldEntry,
    MoveEntry,
    OnPass,
    RoundsEntry,
    SectionEntry,
    Sequence,
    SidesEntry,
    TalkEntry,
    TimePlace,
    WrittenCue,
)
from guide.sequence.sounds import DEFAULT_SOUNDS
from guide.sequence.steps import (
    AtBreath,
    AtTime,
    BellWhen,
    Breath,
    Count,
    CueKind,
    InBreaths,
    InTime,
    Pace,
    Section,
    Side,
    Sounds,
    Step,
    StepKind,
    Steps,
    Words,
)
from guide.units import whole_ms

#: A class longer than this is a slip of the pen (108 rounds inside 108 rounds), not a class.
MOST_STEPS = 20_000

#: Kept when the file gives a pose no hold (common practice, no source).
USUAL_HOLD = InBreaths(5, 5, 5)

SIDE_WORD = re.compile(r"<(other )?side>", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Expanded:
    """What expanding a class gave: its steps, and every problem that only shows in the unrolled class."""

    steps: Steps
    problems: tuple[Problem, ...]


def expand(sequence: Sequence) -> Steps:
    """The steps of a class, in order.

    Raises:
        FaultyFile: with every problem that `unroll` finds.
    """
    expanded = unroll(sequence)
    if expanded.problems:
        raise FaultyFile(expanded.problems)
    return expanded.steps


def unroll(sequence: Sequence) -> Expanded:
    """The steps of a class that may have problems, and those that show here: a `<side>` that no side is known for, a
    cue placed outside its hold, more than `MOST_STEPS` steps."""
    expansion = _Expansion(sequence)
    steps = Steps(
        title=sequence.title,
        steps=tuple(islice(expansion.group(sequence.entries, _Pass()), MOST_STEPS + 1)),
        sections=tuple(expansion.sections),
        sounds=Sounds(*(_sound(sequence, role) for role in ("class", "inhale", "exhale", "pause"))),
        bell=sequence.bell_class,
        slot_ms=sequence.slot_ms,
    )
    if len(steps.steps) > MOST_STEPS:
        expansion.fault(steps.steps[-1].place, f"the class has more than {MOST_STEPS:,} steps", "fewer rounds")
    return Expanded(steps, tuple(dict.fromkeys(expansion.problems)))


def _sound(sequence: Sequence, role: str) -> str:
    return sequence.sounds.get(role, DEFAULT_SOUNDS[role])


@dataclass(frozen=True, slots=True)
class _Pass:
    """Where in the unrolling we are: which side, which pass through both sides, the way in that names twins, and the
    blocks we are inside of."""

    side: Side | None = None
    on_pass: OnPass = OnPass.BOTH
    pair: str | None = None
    way: str = ""
    inside: tuple[str, ...] = ()

    def into(self, part: str) -> "_Pass":
        return replace(self, way=f"{self.way}/{part}", pair=None if self.pair is None else f"{self.pair}/{part}")


class _Expansion:
    """One run of `expand`: the class-wide settings, what the sections change on the way, and the problems found."""

    def __init__(self, sequence: Sequence) -> None:
        self.sequence = sequence
        self.pace = sequence.pace
        self.count = sequence.count
        self.sections: list[Section] = []
        self.problems: list[Problem] = []

    def group(self, group: Group, where: _Pass) -> Iterator[Step]:
        """The steps of a list of entries, or of the block that a name stands for."""
        if not isinstance(group, BlockName):
            for number, entry in enumerate(group):
                yield from self.entry(entry, where.into(str(number)))
        elif group.name in self.sequence.blocks and group.name not in where.inside:
            inside = replace(where, inside=(*where.inside, group.name))
            yield from self.group(self.sequence.blocks[group.name].entries, inside)

    def entry(self, entry: Entry, where: _Pass) -> Iterator[Step]:
        match entry:
            case SectionEntry():
                self.section(entry)
            case RoundsEntry():
                for number in range(entry.times):
                    yield from self.group(entry.of, where.into(f"round {number + 1}"))
            case SidesEntry():
                yield from self.sides(entry, where)
            case BlockEntry():
                yield from self.group(entry.name, where)
            case _:
                yield self.step(entry, where)

    def section(self, entry: SectionEntry) -> None:
        self.pace = entry.pace or self.sequence.pace
        self.count = entry.count or self.sequence.count
        bell = self.sequence.bell_section if entry.bell is None else entry.bell
        self.sections.append(Section(entry.title, entry.place, bell, _sound(self.sequence, "section")))

    def sides(self, entry: SidesEntry, where: _Pass) -> Iterator[Step]:
        pair = where.way if entry.equal else None
        for side, on_pass in ((entry.first, OnPass.FIRST), (entry.first.other, OnPass.SECOND)):
            way = f"{where.way}/{side.value}"
            yield from self.group(entry.of, replace(where, side=side, on_pass=on_pass, pair=pair, way=way))

    def step(self, entry: HoldEntry | BreathingEntry | MoveEntry | TalkEntry, where: _Pass) -> Step:
        match entry:
            case HoldEntry():
                return self.hold(entry, where)
            case BreathingEntry():
                return self.breathing(entry, where)
            case MoveEntry():
                return self.move(entry, where)
            case TalkEntry():
                entry_words = self.cues(entry.cues, where, None)
                return self.plain(entry.place, where, StepKind.TALK, "talk", entry=entry_words)

    def plain(
        self,
        place: Place,
        where: _Pass,
        kind: StepKind,
        title: str,
        *,
        pace: Pace | None = None,
        breath: Breath | None = None,
        hold: InBreaths | InTime | None = None,
        entry: tuple[Words, ...] = (),
        words: tuple[Words, ...] = (),
        count: Count = Count.NONE,
        bell: BellWhen | None = BellWhen.NONE,
        pose: str | None = None,
    ) -> Step:
        """A step with what every kind of step shares filled in."""
        return Step(
            kind=kind,
            title=title,
            place=place,
            section=len(self.sections) - 1 if self.sections else None,
            side=where.side,
            pair=where.pair,
            pace=pace or self.pace,
            breath=breath,
            hold=hold,
            entry=entry,
            words=words,
            count=count,
            bell=self.sequence.bell_step if bell is None else bell,
            bell_sound=_sound(self.sequence, "step"),
            pose=pose,
        )

    def hold(self, entry: HoldEntry, where: _Pass) -> Step:
        if entry.side is not None:
            where = replace(where, side=entry.side)
        hold = entry.hold or USUAL_HOLD
        pace = entry.pace or self.pace
        pose = self.sided(entry.pose, entry.place, where)
        quiet = entry.kind != "pose" or isinstance(hold, InTime)
        return self.plain(
            entry.place,
            where,
            StepKind(entry.kind),
            pose,
            pace=pace,
            hold=hold,
            entry=(*self.name(entry, pose, where), *self.cues(entry.enter, where, None)),
            words=self.cues(entry.say, where, (hold, pace)),
            count=entry.count or (Count.NONE if quiet else self.count),
            bell=entry.bell,
            pose=pose if entry.kind == "pose" else None,
        )

    def name(self, entry: HoldEntry, pose: str, where: _Pass) -> tuple[Words, ...]:
        """What is said for a pose's name (a rest has one where `pose` gives it): as written, or nothing."""
        if entry.name_silent or entry.kind == "silence":
            return ()
        if entry.name_cue is not None:
            return self.cues((entry.name_cue,), where, None)
        if entry.pose == entry.kind or not self.sequence.say_names:
            return ()
        text = f"{pose[0].upper()}{pose[1:]}"
        if where.side is not None and not SIDE_WORD.search(entry.pose):
            text = f"{text}, {where.side.value} side"
        return (Words(f"{text}.", CueKind.NAME, entry.place),)

    def breathing(self, entry: BreathingEntry, where: _Pass) -> Step:
        pace = self.pattern_pace(entry)
        hold = _whole_breaths(entry.lasts, pace)
        name = (entry.name_cue,) if entry.name_cue else ()
        return self.plain(
            entry.place,
            where,
            StepKind.BREATHING,
            entry.pattern.name,
            pace=pace,
            hold=hold,
            entry=self.cues((*name, *entry.enter), where, None),
            words=self.cues(entry.say, where, (hold, pace)),
            count=entry.count or self.count,
            bell=entry.bell,
        )

    def pattern_pace(self, entry: BreathingEntry) -> Pace:
        """The pace of a pattern: its seconds, or its shares of the inhale of the class (or section)."""
        unit_ms = Fraction(1000) if entry.pattern.in_seconds else self.pace.inhale_ms
        return Pace(*(part * unit_ms for part in entry.pattern.parts))

    def move(self, entry: MoveEntry, where: _Pass) -> Step:
        text = entry.cue.text if entry.cue else ""
        spoken = self.sided(text, entry.cue.place, where) if entry.cue else ""
        words = Words(self.carried(entry.breath, spoken), CueKind.BREATH, (entry.cue or entry).place)
        return self.plain(
            entry.place,
            where,
            StepKind.MOVE,
            entry.breath.value,
            pace=entry.pace,
            breath=entry.breath,
            words=(words,),
            count=entry.count or self.count,
            pose=self.sided(entry.pose, entry.place, where) if entry.pose else None,
        )

    def carried(self, breath: Breath, text: str) -> str:
        """The words of a move with the breath that carries it in front, unless the class says otherwise."""
        said = breath.value.capitalize()
        if not text:
            return f"{said}."
        if not self.sequence.say_breaths or text.lower().startswith((breath.value, f"breathe {breath.value[:2]}")):
            return text
        lower = text[0].lower() if not re.match(r"[A-Z]{2}|I\b", text) else text[0]
        return f"{said}, {lower}{text[1:]}"

    def cues(
        self,
        cues: tuple[WrittenCue, ...],
        where: _Pass,
        held: tuple[InBreaths | InTime, Pace] | None,
    ) -> tuple[Words, ...]:
        """The cues said on this pass, with their side put in and their places made exact."""
        for cue in cues:
            if cue.on_pass is not OnPass.BOTH and where.on_pass is OnPass.BOTH:
                what = f"`on: {cue.on_pass.value}` is used where there is one pass only"
                self.fault(cue.place, what, "put the step under `both sides:`, or leave `on` out")
        return tuple(
            Words(
                text=self.sided(cue.text, cue.place, where),
                kind=cue.kind,
                place=cue.place,
                at=self.spot(cue, *held) if held and cue.at else None,
                if_room=cue.if_room,
            )
            for cue in cues
            if cue.on_pass in (OnPass.BOTH, where.on_pass)
        )

    def spot(self, cue: WrittenCue, hold: InBreaths | InTime, pace: Pace) -> AtBreath | AtTime | None:
        """Where in the hold a cue asks to be; None and a problem where the hold is too short for it."""
        breaths = hold.usual if isinstance(hold, InBreaths) else int(hold.usual_ms / pace.period_ms)
        match cue.at:
            case TimePlace(ms):
                length_ms = breaths * pace.period_ms if isinstance(hold, InBreaths) else hold.usual_ms
                if ms < length_ms:
                    return AtTime(ms)
                self.fault(
                    cue.place,
                    f"this cue is placed {ms // 1000} s into a hold of {whole_ms(length_ms) // 1000} s",
                    "an earlier place, or a longer hold",
                )
            case BreathPlace(number, breath):
                if 1 <= (number or breaths) <= breaths:
                    return AtBreath(number or breaths, breath)
                self.fault(
                    cue.place,
                    f"this cue is placed at breath {number or 1} of a hold of {breaths}",
                    "an earlier breath, or a longer hold",
                )
        return None

    def sided(self, text: str, place: Place, where: _Pass) -> str:
        """`text` with `<side>` and `<other side>` as left and right; a problem where no side is known."""
        if where.side is None:
            if SIDE_WORD.search(text):
                self.fault(place, "<side> is used where nothing says which side", "put the step under `both sides:`")
            return text
        side = where.side

        def put(found: re.Match[str]) -> str:
            word = (side.other if found[1] else side).value
            return word.capitalize() if found[0][1].isupper() or _opens_sentence(text, found.start()) else word

        return SIDE_WORD.sub(put, text)

    def fault(self, place: Place, what: str, fix: str) -> None:
        self.problems.append(Problem(place, what, fix))


def _opens_sentence(text: str, index: int) -> bool:
    before = text[:index].rstrip()
    return not before or before[-1] in ".!?"


def _whole_breaths(lasts: InBreaths | InTime, pace: Pace) -> InBreaths:
    """A pattern kept for a time is kept for the whole breaths nearest to it, one at least."""
    if isinstance(lasts, InBreaths):
        return lasts
    least, usual, most = (max(1, round(ms / pace.period_ms)) for ms in (lasts.least_ms, lasts.usual_ms, lasts.most_ms))
    return InBreaths(least, usual, most)
