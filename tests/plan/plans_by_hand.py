"""Two small classes with their timelines, both written by hand from the scheduling rules, without the scheduler."""

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from guide.plan.checker import Breach, breaches
from guide.plan.timeline import Chapter, Cue, CuePart, Dip, Dropped, Note, Ring, RingRole, Span, Timeline
from guide.problem import Place
from guide.sequence.steps import (
    BY_CHIMES,
    UNCOUNTED,
    AtTime,
    BellWhen,
    Breath,
    Counting,
    CueKind,
    InBreaths,
    InTime,
    Numbers,
    Pace,
    Section,
    Side,
    Sounds,
    Step,
    StepKind,
    Steps,
    Words,
)

SOUND_MS = {"bowl": 4000, "gong": 3000, "rising": 1500, "falling": 1500}
PACE = Pace(Fraction(4000), Fraction(0), Fraction(4000), Fraction(0))


@dataclass(frozen=True, slots=True)
class Plan:
    """A class, its timeline, and the lengths of its words."""

    steps: Steps
    timeline: Timeline
    word_ms: dict[str, int]

    def found(self) -> list[str]:
        return [str(breach) for breach in self.breaches()]

    def breaches(self) -> tuple[Breach, ...]:
        return breaches(self.steps, self.timeline, self.word_ms)

    def cue(self, number: int, **changes: Any) -> "Plan":
        """The plan with one cue changed; its dips follow, so that nothing but the change is wrong."""
        cues = [*self.timeline.cues]
        cues[number] = replace(cues[number], **changes)
        return self.having(cues=tuple(cues), dips=dips_of(tuple(cues)))

    def ring(self, number: int, **changes: Any) -> "Plan":
        return self.having(rings=_changed(self.timeline.rings, number, changes))

    def span(self, number: int, **changes: Any) -> "Plan":
        return self.having(spans=_changed(self.timeline.spans, number, changes))

    def having(self, **changes: Any) -> "Plan":
        return replace(self, timeline=replace(self.timeline, **changes))

    def without(self, what: str, number: int) -> "Plan":
        """The plan without one of its cues, rings, notes, …"""
        kept = list(getattr(self.timeline, what))
        del kept[number]
        return self.having(**{what: tuple(kept)})


def _changed(items: tuple[Any, ...], number: int, changes: dict[str, Any]) -> tuple[Any, ...]:
    return (*items[:number], replace(items[number], **changes), *items[number + 1 :])


def dips_of(cues: tuple[Cue, ...]) -> tuple[Dip, ...]:
    """One dip a cue; those with less than half a second between them are one."""
    dips: list[Dip] = []
    for cue in sorted(cues, key=lambda cue: cue.start_ms):
        if dips and cue.start_ms - dips[-1].end_ms < 500:
            dips[-1] = Dip(dips[-1].start_ms, max(dips[-1].end_ms, cue.end_ms))
        else:
            dips.append(Dip(cue.start_ms, cue.end_ms))
    return tuple(dips)


def at_line(line: int) -> Place:
    return Place("lake.yaml", line, 5)


def step_of(kind: StepKind, title: str, line: int, **more: Any) -> Step:
    plain = Step(
        kind=kind,
        title=title,
        place=at_line(line),
        section=0,
        side=None,
        pair=None,
        pace=PACE,
        breath=None,
        hold=None,
        entry=(),
        words=(),
        count=UNCOUNTED,
        bell=BellWhen.NONE,
        bell_sound="gong",
    )
    return replace(plain, **more)


def words_of(text: str, kind: CueKind, line: int, **more: Any) -> Words:
    return Words(text, kind, at_line(line), **more)


def span_of(step: Step, start_ms: int, hold_ms: int, held_ms: int, end_ms: int, breaths: int = 0) -> Span:
    shown = (step.kind, step.title, step.side, step.section, step.place)
    return Span(*shown, start_ms, hold_ms, held_ms, end_ms, breaths, "8000", step.pace, step.breath, step.known)


def cue_of(start_ms: int, end_ms: int, words: Words, part: CuePart, step: int) -> Cue:
    return Cue(start_ms, end_ms - start_ms, words.text, words.kind, part, words.place, step)


def ring_of(start_ms: int, sound: str, role: RingRole, step: int | None) -> Ring:
    return Ring(start_ms, SOUND_MS[sound], sound, role, step)


def number_of(start_ms: int, number: str, step: Step, index: int) -> Cue:
    return Cue(start_ms, 500, number, CueKind.COUNT, CuePart.HOLD, step.place, index)


def lake() -> Plan:
    """A talk, a pose counted by chimes, a move, two sides counted by voice, and a rest with a cue that is left out."""
    welcome = words_of("Welcome.", CueKind.HOW, 5)
    mountain = words_of("Mountain.", CueKind.NAME, 6)
    tall = words_of("Stand tall.", CueKind.HOW, 8)
    arms = words_of("Inhale, arms up.", CueKind.BREATH, 9)
    right = words_of("Warrior two, right side.", CueKind.NAME, 11)
    left = words_of("Warrior two, left side.", CueKind.NAME, 11)
    lie = words_of("Let the lake hold you.", CueKind.HOW, 15, at=AtTime(5000))
    hear = words_of("Hear the water.", CueKind.OFFER, 16, if_room=True)
    chime, voice = BY_CHIMES, Counting(numbers=Numbers.BREATHS)
    side: dict[str, Any] = {"pair": "3/0", "count": voice, "hold": InBreaths(2, 2, 2)}
    steps = (
        step_of(StepKind.TALK, "talk", 5, entry=(welcome,)),
        step_of(StepKind.POSE, "mountain", 6, entry=(mountain,), words=(tall,), hold=InBreaths(3, 3, 3), count=chime),
        step_of(StepKind.MOVE, "inhale", 9, words=(arms,), breath=Breath.INHALE, count=chime),
        step_of(StepKind.POSE, "warrior two", 11, side=Side.RIGHT, entry=(right,), **side),
        step_of(StepKind.POSE, "warrior two", 11, side=Side.LEFT, entry=(left,), **side),
        step_of(StepKind.REST, "rest", 13, hold=InTime(20_000, 20_000, 20_000), words=(lie, hear), bell=BellWhen.END),
    )
    cues = (
        cue_of(5000, 6000, welcome, CuePart.ENTRY, 0),
        cue_of(6300, 7300, mountain, CuePart.ENTRY, 1),
        cue_of(11_300, 13_300, tall, CuePart.HOLD, 1),
        cue_of(31_300, 33_300, arms, CuePart.MOVE, 2),
        cue_of(36_300, 37_300, right, CuePart.ENTRY, 3),
        number_of(37_550, "1", steps[3], 3),
        number_of(45_550, "2", steps[3], 3),
        cue_of(53_300, 55_300, left, CuePart.ENTRY, 4),
        number_of(55_550, "1", steps[4], 4),
        number_of(63_550, "2", steps[4], 4),
        cue_of(76_300, 78_300, lie, CuePart.HOLD, 5),
    )
    rings = (
        ring_of(0, "bowl", RingRole.CLASS, None),
        ring_of(2500, "gong", RingRole.SECTION, None),
        ring_of(7300, "rising", RingRole.INHALE, 1),
        ring_of(11_300, "falling", RingRole.EXHALE, 1),
        ring_of(15_300, "rising", RingRole.INHALE, 1),
        ring_of(19_300, "falling", RingRole.EXHALE, 1),
        ring_of(23_300, "rising", RingRole.INHALE, 1),
        ring_of(27_300, "falling", RingRole.EXHALE, 1),
        ring_of(31_300, "rising", RingRole.INHALE, 2),
        ring_of(91_300, "gong", RingRole.STEP, 5),
        ring_of(93_800, "bowl", RingRole.CLASS, None),
    )
    spans = (
        span_of(steps[0], 5000, 6000, 6000, 6300),
        span_of(steps[1], 6300, 7300, 31_300, 31_300, 3),
        span_of(steps[2], 31_300, 31_300, 35_300, 35_300),
        span_of(steps[3], 35_300, 37_300, 53_300, 53_300, 2),
        span_of(steps[4], 53_300, 55_300, 71_300, 71_300, 2),
        span_of(steps[5], 71_300, 71_300, 91_300, 93_800),
    )
    section = Section("Arriving", at_line(4), BellWhen.START, "gong")
    sounds = Sounds("bowl", "rising", "falling", "wood")
    dips = (
        Dip(5000, 7300),
        Dip(11_300, 13_300),
        Dip(31_300, 33_300),
        Dip(36_300, 38_050),
        Dip(45_550, 46_050),
        Dip(53_300, 56_050),
        Dip(63_550, 64_050),
        Dip(76_300, 78_300),
    )
    timeline = Timeline(
        title="By the lake",
        length_ms=97_800,
        spans=spans,
        cues=cues,
        rings=rings,
        dips=dips,
        chapters=(Chapter("Arriving", 0, 97_800),),
        notes=(
            Note(at_line(11), "“warrior two” waits 1 s on the right, so that both sides last the same"),
            Note(hear.place, "left out for want of room, as the file allows: “Hear the water.”"),
            Note(Place("lake.yaml", 1, 1), "the class lasts 1:37, 2.8 s longer than its slot of 1:35"),
        ),
        dropped=(Dropped(hear.place, hear.text, 5),),
    )
    word_ms = {cue.words: cue.length_ms for cue in cues} | {hear.text: 14_000}
    return Plan(Steps("By the lake", steps, (section,), sounds, BellWhen.BOTH, 95_000), timeline, word_ms)


def tight() -> Plan:
    """A move stretched for its words, a hold whose words stand close, and two holds that grow."""
    reach = words_of("Exhale, reach down and out over the water.", CueKind.BREATH, 3)
    push = words_of("Push the floor away.", CueKind.HOW, 6)
    heels = words_of("Press the heels back.", CueKind.HOW, 7)
    lift = words_of("Lift the feet when you are steady, and look over the water.", CueKind.HOW, 10)
    listen = words_of("Listen to the far shore, and let every sound come and go.", CueKind.HOW, 13)
    one = InBreaths(1, 1, 1)
    steps = (
        step_of(StepKind.MOVE, "exhale", 3, section=None, words=(reach,), breath=Breath.EXHALE),
        step_of(StepKind.POSE, "plank", 4, section=None, words=(push, heels), hold=one),
        step_of(StepKind.POSE, "boat", 8, section=None, words=(lift,), hold=one),
        step_of(StepKind.REST, "rest", 11, section=None, words=(listen,), hold=InTime(6000, 6000, 6000)),
    )
    cues = (
        cue_of(0, 5000, reach, CuePart.MOVE, 0),
        cue_of(5300, 8300, push, CuePart.HOLD, 1),
        cue_of(9300, 12_300, heels, CuePart.HOLD, 1),
        cue_of(17_300, 26_300, lift, CuePart.HOLD, 2),
        cue_of(33_300, 41_300, listen, CuePart.HOLD, 3),
    )
    timeline = Timeline(
        title="Tight",
        length_ms=43_300,
        spans=(
            span_of(steps[0], 0, 0, 5300, 5300),
            span_of(steps[1], 5300, 5300, 13_300, 13_300, 1),
            span_of(steps[2], 13_300, 13_300, 29_300, 29_300, 2),
            span_of(steps[3], 29_300, 29_300, 43_300, 43_300),
        ),
        cues=cues,
        rings=(),
        dips=(Dip(0, 8300), Dip(9300, 12_300), Dip(17_300, 26_300), Dip(33_300, 41_300)),
        chapters=(),
        notes=(
            Note(at_line(3), "this exhale lasts 5.3 s instead of 4 s, because its words need the time"),
            Note(at_line(4), "the words of “plank” stand closer together than one thought a breath"),
            Note(at_line(8), "“boat” is held 2 breaths instead of 1, because its words need them"),
            Note(at_line(11), "“rest” lasts 14 s, 1 breath more than asked, because its words need them"),
        ),
        dropped=(),
    )
    word_ms = {cue.words: cue.length_ms for cue in cues}
    sounds = Sounds("bowl", "rising", "falling", "wood")
    return Plan(Steps("Tight", steps, (), sounds, BellWhen.NONE, None), timeline, word_ms)
