"""Random classes for the properties: every kind of step, both sides, counts, bells, places in the hold, odd paces."""

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache

from hypothesis import strategies as st

from guide.plan.scheduler import plan
from guide.plan.timeline import Timeline
from guide.problem import Place
from guide.sequence.alternating import alternating
from guide.sequence.steps import (
    BY_CHIMES,
    UNCOUNTED,
    AtBreath,
    AtTime,
    BeforeEnd,
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
from guide.sequence.wording import ends_last

SOUNDS = Sounds("bowl", "rising", "falling", "wood")
BELL_SOUNDS = ("bowl", "small bowl", "gong")


@dataclass(frozen=True, slots=True)
class Sample:
    """A class with the lengths of its words and sounds; every number takes `number_ms`."""

    steps: Steps
    said_ms: dict[str, int]
    number_ms: int
    sound_ms: dict[str, int]

    @property
    def word_ms(self) -> dict[str, int]:
        return {**dict.fromkeys(map(str, range(1, 1000)), self.number_ms), **self.said_ms}

    def planned(self) -> Timeline:
        return plan(self.steps, self.word_ms, self.sound_ms)


@cache
def breath_parts() -> st.SearchStrategy[Fraction]:
    """Between 1 and 8 s, in whole seconds, whole milliseconds or a third, seventh or eleventh of one."""
    return st.one_of(
        st.integers(1, 8).map(lambda seconds: Fraction(seconds * 1000)),
        st.builds(_parted, st.integers(1000, 7999), st.integers(0, 32), st.sampled_from([1, 3, 7, 9, 11, 21, 33])),
    )


def _parted(ms: int, part: int, parts: int) -> Fraction:
    return ms + Fraction(part % parts, parts)


@cache
def paces() -> st.SearchStrategy[Pace]:
    pauses = st.one_of(st.just(Fraction(0)), breath_parts())
    return st.builds(Pace, breath_parts(), pauses, breath_parts(), pauses)


@st.composite
def samples(draw: st.DrawFn, most_steps: int = 8) -> Sample:
    """A whole class; every text is said once in it or on both sides, and has its own length."""
    maker = _Maker(draw)
    sections = draw(st.integers(0, 2))
    steps: list[Step] = []
    for section in (None, *range(sections)):
        groups = draw(st.integers(0 if section is None else 1, max(1, most_steps // (2 * (sections + 1)))))
        for _ in range(groups):
            steps += maker.pair(section) if draw(st.booleans()) else [maker.step(section)]
    steps = steps or [maker.step(None)]
    made = Steps(
        title="A class",
        steps=tuple(steps),
        sections=tuple(maker.section(number) for number in range(sections)),
        sounds=SOUNDS,
        bell=draw(st.sampled_from(BellWhen)),
        slot_ms=draw(st.one_of(st.none(), st.integers(60_000, 600_000))),
    )
    return Sample(by_turns(made), maker.said_ms, draw(st.integers(200, 1500)), maker.sound_ms)


def by_turns(steps: Steps) -> Steps:
    """The steps with the halves given that are missing among them as they stand."""
    return alternating(replace(steps, steps=tuple(step for step in steps.steps if not step.given)))


class _Maker:
    """Makes steps one after the other; every cue gets a line of its own, so that places differ as in a file."""

    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw
        self.line = 1
        self.paces = [draw(paces()) for _ in range(2)]
        names = ("bowl", "small bowl", "gong", "rising", "falling", "wood")
        self.sound_ms = {name: draw(st.integers(200, 9000)) for name in names}
        self.said_ms = {text: draw(st.integers(150, 900)) for text in ("In", "Hold", "Out")}

    def place(self) -> Place:
        self.line += 1
        return Place("class.yaml", self.line, 5)

    def length_ms(self) -> int:
        return self.draw(st.one_of(st.integers(200, 3000), st.integers(200, 15_000)))

    def section(self, number: int) -> Section:
        bells = (self.draw(st.sampled_from(BellWhen)), self.draw(st.sampled_from(BELL_SOUNDS)))
        return Section(f"Section {number}", self.place(), *bells)

    def words(self, kind: CueKind, at: AtBreath | AtTime | BeforeEnd | None = None, if_room: bool = False) -> Words:
        place = self.place()
        text = f"Words of line {place.line}."
        self.said_ms[text] = self.length_ms()
        return Words(text, kind, place, at, if_room)

    def step(self, section: int | None) -> Step:
        kind = self.draw(st.sampled_from(StepKind))
        plain = Step(
            kind=kind,
            title=kind.value,
            place=self.place(),
            section=section,
            side=None,
            pair=None,
            pace=self.draw(st.sampled_from(self.paces)),
            breath=None,
            hold=None,
            entry=(),
            words=(),
            count=UNCOUNTED,
            bell=BellWhen.NONE,
            bell_sound="small bowl",
        )
        if kind is StepKind.TALK:
            return replace(plain, entry=self.entry(1))
        if kind is StepKind.MOVE:
            return self.move(plain)
        return self.held(plain)

    def entry(self, least: int) -> tuple[Words, ...]:
        return tuple(self.words(CueKind.NAME) for _ in range(self.draw(st.integers(least, 3))))

    def move(self, plain: Step) -> Step:
        return replace(
            plain,
            breath=self.draw(st.sampled_from(Breath)),
            words=(self.words(CueKind.BREATH),) if self.draw(st.booleans()) else (),
            count=self.draw(st.sampled_from([UNCOUNTED, BY_CHIMES])),
            lead_ms=self.draw(st.one_of(st.sampled_from([0, 1000]), st.integers(0, 5000))),
        )

    def held(self, plain: Step) -> Step:
        bell = self.draw(st.sampled_from(BellWhen))
        is_whole = plain.kind is StepKind.BREATHING or self.draw(st.booleans())
        hold: InBreaths | InTime = InBreaths(1, self.draw(st.integers(1, 12)), 20, and_a_half=not is_whole)
        if plain.kind is not StepKind.BREATHING and self.draw(st.booleans()):
            hold = InTime(1000, self.draw(st.integers(1000, 90_000)), 200_000)
        if plain.kind is StepKind.SILENCE:
            return replace(plain, hold=hold, bell=bell, chime_every_ms=self.draw(st.sampled_from([None, 5000, 7001])))
        period_ms = plain.pace.period_ms
        breaths = hold.usual if isinstance(hold, InBreaths) else int(hold.usual_ms / period_ms)
        length_ms = int(hold.usual * period_ms) if isinstance(hold, InBreaths) else hold.usual_ms
        words = tuple(self.held_words(breaths, length_ms) for _ in range(self.draw(st.integers(0, 5))))
        if self.draw(st.integers(0, 3)) == 0:
            # Words of the library all have the place of their step.
            words = tuple(replace(one, place=plain.place, from_library=n + 1) for n, one in enumerate(words))
        every_ms = self.draw(st.one_of(st.none(), st.integers(1000, 30_000)))
        return replace(
            plain,
            hold=hold,
            bell=bell,
            entry=self.entry(0),
            words=ends_last(words),
            count=self.counting(),
            chime_every_ms=every_ms,
        )

    def counting(self) -> Counting:
        numbers = self.draw(st.one_of(st.none(), st.sampled_from(Numbers)))
        first = self.draw(st.one_of(st.none(), st.integers(1, 30))) if numbers is Numbers.DOWN else None
        return Counting(self.draw(st.booleans()), numbers, first)

    def held_words(self, breaths: int, length_ms: int) -> Words:
        place: AtBreath | AtTime | BeforeEnd | None = None
        match self.draw(st.integers(0, 5)):
            case 2:
                place = AtBreath(None, Breath.EXHALE)
            case 0 if breaths:
                place = AtBreath(self.draw(st.integers(1, breaths)), self.draw(st.sampled_from(Breath)))
            case 1:
                place = AtTime(self.draw(st.integers(0, length_ms - 1)))
            case 3:
                place = BeforeEnd(self.draw(st.integers(0, length_ms - 1)))
        kind = self.draw(st.sampled_from([CueKind.HOW, CueKind.OFFER]))
        return self.words(kind, place, self.draw(st.booleans()))

    def pair(self, section: int | None) -> list[Step]:
        """A few steps once for each side; some cues are only said on one of them."""
        group = [self.step(section) for _ in range(self.draw(st.integers(1, 2)))]
        made: list[Step] = []
        for side in (Side.RIGHT, Side.LEFT):
            for number, step in enumerate(group):
                pair = f"{step.place.line}/{number}" if self.draw(st.integers(0, 4)) or made else None
                made.append(
                    replace(
                        step,
                        side=side,
                        pair=pair,
                        entry=self.sided(step.entry, side, least=1 if step.kind is StepKind.TALK else 0),
                        words=self.sided(step.words, side, least=0),
                    )
                )
        return made

    def sided(self, words: tuple[Words, ...], side: Side, least: int) -> tuple[Words, ...]:
        said = [one for one in words if self.draw(st.integers(0, 3))] or list(words[:least])
        return tuple(self.on(one, side) for one in said)

    def on(self, words: Words, side: Side) -> Words:
        text = f"{words.text} {side.value}"
        self.said_ms[text] = self.draw(st.one_of(st.just(self.said_ms[words.text]), st.integers(200, 9000)))
        return replace(words, text=text)
