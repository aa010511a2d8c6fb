"""From the class as written to the flat list of steps: repeats unrolled, blocks put in, sides named, defaults filled.

Every step keeps the place it was written at. Two steps that come from the same place in the two passes of one
`both sides` share a `pair`, so that the plan can give them the same length. A pose written without words gets those of
the pose library, and words to leave it by become a step of their own after it.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice

from guide.problem import Place, Problem
from guide.sequence.alternating import alternating
from guide.sequence.counted_holds import counted, counting_problems
from guide.sequence.model import (
    BlockEntry,
    BlockName,
    BreathingEntry,
    ClassFile,
    Entry,
    Group,
    HoldEntry,
    LibraryPart,
    MoveEntry,
    OnPass,
    RoundsEntry,
    SecondSide,
    SectionEntry,
    SidedHold,
    SidesEntry,
    TalkEntry,
    WrittenPace,
)
from guide.sequence.poses.in_words import pose_said
from guide.sequence.poses.library import Library
from guide.sequence.poses.pose import Pose
from guide.sequence.poses.shipped_library import shipped
from guide.sequence.sound_names import DEFAULT_SOUNDS
from guide.sequence.steps import (
    OUT_OF,
    UNCOUNTED,
    BellWhen,
    Breath,
    Counting,
    CueKind,
    InBreaths,
    InTime,
    Pace,
    Section,
    Sounds,
    Step,
    StepKind,
    Steps,
    Words,
)
from guide.sequence.styles import STYLES, USUAL, stay_in, styled
from guide.sequence.ways import Beside, OnTheWay, Taken, first_of, taken
from guide.sequence.wording import Pass, Wording, ends_last, library_enter_in_short, library_words, says_side
from guide.sequence.written_paces import split

#: A class longer than this is a slip of the pen (108 rounds inside 108 rounds), not a class.
MOST_STEPS = 20_000

#: The passes through `both sides` as steps count them.
PASS_NUMBERS = {OnPass.BOTH: 0, OnPass.FIRST: 1, OnPass.SECOND: 2}

#: Kept when neither the file nor the library says how long a pose is held (common practice, no source).
USUAL_HOLD = InBreaths(5, 5, 5)


@dataclass(frozen=True, slots=True)
class Expanded:
    """What expanding a class gave: its steps, and every problem that only shows in the unrolled class."""

    steps: Steps
    problems: tuple[Problem, ...]


def unroll(class_file: ClassFile) -> Expanded:
    """The steps of a class that may have problems, and those that show here: a `<side>` that no side is known for, a
    cue placed outside its hold, more than `MOST_STEPS` steps."""
    expansion = _Expansion(class_file)
    steps = Steps(
        title=class_file.title,
        steps=tuple(islice(expansion.group(class_file.entries, Pass(let_be=class_file.let_be)), MOST_STEPS + 1)),
        sections=tuple(expansion.sections),
        sounds=Sounds(*(_sound(class_file, role) for role in ("class", "inhale", "exhale", "pause"))),
        bell=class_file.bell_class,
        slot_ms=class_file.slot_ms,
        by=class_file.by,
        music=class_file.music,
    )
    if len(steps.steps) > MOST_STEPS:
        what = f"the class has more than {MOST_STEPS:,} steps"
        expansion.wording.fault(steps.steps[-1].place, what, "fewer rounds")
    return Expanded(alternating(steps), tuple(dict.fromkeys(expansion.wording.problems)))


def library_of(class_file: ClassFile) -> Library:
    """The pose library with what the class adds and changes."""
    return styled(shipped(), STYLES.get(class_file.style, USUAL)).with_own(class_file.poses)


def _sound(class_file: ClassFile, role: str) -> str:
    return class_file.sounds.get(role, DEFAULT_SOUNDS[role])


class _Expansion:
    """One run of `expand`: the class-wide settings, what the sections change on the way, and what is known of poses."""

    def __init__(self, class_file: ClassFile) -> None:
        self.class_file = class_file
        self.wording = Wording(class_file, [])
        self.pace: WrittenPace = class_file.pace
        self.count = class_file.count
        self.lead_ms = class_file.lead_ms
        self.breath_word = class_file.breath_word
        self.section_lets_be: frozenset[str] = frozenset()
        self.sections: list[Section] = []
        self.poses: dict[str, Pose | None] = {}
        self.poses_said: dict[str, Pose | None] = {}
        self.way = OnTheWay()

    def group(self, group: Group, where: Pass, after: Entry | None = None) -> Iterator[Step]:
        """The steps of a list of entries, or of the block that a name stands for; `after` is what is done then."""
        if not isinstance(group, BlockName):
            for number, entry in enumerate(group):
                following = first_of(group, self.class_file.blocks, number + 1)
                yield from self.entry(entry, following or after, where.into(str(number)))
        elif group.name in self.class_file.blocks and group.name not in where.inside:
            inside = replace(where, inside=(*where.inside, group.name))
            yield from self.group(self.class_file.blocks[group.name].entries, inside, after)

    def entry(self, entry: Entry, following: Entry | None, where: Pass) -> Iterator[Step]:
        where = where.letting_be(entry.let_be)
        match entry:
            case SectionEntry():
                self.section(entry)
            case RoundsEntry(pace=pace) | SidesEntry(pace=pace) | BlockEntry(pace=pace):
                around, self.pace = self.pace, pace or self.pace
                yield from self.several(entry, following, where)
                self.pace = around
            case HoldEntry():
                yield from self.met(self.hold(entry, following, where))
            case BreathingEntry():
                yield from self.met([self.breathing(entry, where)])
            case MoveEntry():
                yield from self.met([self.move(entry, where)])
            case TalkEntry():
                words = self.wording.cues(entry.cues, where, None)
                yield from self.met([self.plain(entry.place, where, StepKind.TALK, "words", entry=words)])

    def several(
        self, entry: RoundsEntry | SidesEntry | BlockEntry, following: Entry | None, where: Pass
    ) -> Iterator[Step]:
        """The steps of an entry that stands for several."""
        match entry:
            case RoundsEntry():
                again = first_of(entry.of, self.class_file.blocks)
                for number in range(1, entry.times + 1):
                    after = again if number < entry.times else following
                    yield from self.group(entry.of, where.into(f"round {number}"), after)
            case SidesEntry():
                yield from self.sides(entry, following, where)
            case BlockEntry():
                yield from self.group(entry.name, where, following)

    def met(self, steps: Iterable[Step]) -> Iterator[Step]:
        """The steps as they come, remembered for the ways into the next ones."""
        for step in steps:
            self.way.add(step)
            yield step

    def section(self, entry: SectionEntry) -> None:
        self.pace = entry.pace or self.class_file.pace
        self.count = entry.count or self.class_file.count
        self.lead_ms = self.class_file.lead_ms if entry.lead_ms is None else entry.lead_ms
        self.breath_word = entry.breath_word or self.class_file.breath_word
        self.section_lets_be = entry.let_be
        bell = self.class_file.bell_section if entry.bell is None else entry.bell
        self.sections.append(Section(entry.title, entry.place, bell, _sound(self.class_file, "section"), entry.music))

    def sides(self, entry: SidesEntry, following: Entry | None, where: Pass) -> Iterator[Step]:
        """The group on one side and on the other; a name that no block has is that of a pose.

        Out of the last pose of a side leads what comes between the sides, and what follows them; where nothing comes
        between, one side has to be left before the other begins.
        """
        pair = where.way if entry.equal else None
        on_side = replace(where, pair=pair, second_side=entry.second_side)
        of = entry.of
        if isinstance(of, BlockName) and of.name not in self.class_file.blocks:
            of = (HoldEntry("pose", of.name, entry.place),)
        between = first_of(entry.between, self.class_file.blocks)
        self.way.led_by_library.clear()
        for side, on_pass in ((entry.first, OnPass.FIRST), (entry.first.other, OnPass.SECOND)):
            self.way.side_heard = False
            here = replace(on_side, side=side, on_pass=on_pass, way=f"{where.way}/{side.value}")
            after = between if on_pass is OnPass.FIRST or between is None else following
            yield from self.group(of, here, after)
            if on_pass is OnPass.FIRST:
                yield from self.group(entry.between, where.into("between"), first_of(of, self.class_file.blocks))

    def plain(
        self,
        place: Place,
        where: Pass,
        kind: StepKind,
        title: str,
        *,
        pace: WrittenPace | None = None,
        breath: Breath | None = None,
        hold: InBreaths | InTime | None = None,
        entry: tuple[Words, ...] = (),
        words: tuple[Words, ...] = (),
        count: Counting = UNCOUNTED,
        lead_ms: int = 0,
        bell: BellWhen | None = BellWhen.NONE,
        pose: str | None = None,
        known: str | None = None,
    ) -> Step:
        """A step with what every kind of step shares filled in."""
        usual, room = split(pace or self.pace)
        return Step(
            kind=kind,
            title=title,
            place=place,
            section=len(self.sections) - 1 if self.sections else None,
            side=where.side,
            pair=where.pair,
            pace=usual,
            breath=breath,
            hold=hold,
            entry=entry,
            words=words,
            count=count,
            bell=self.class_file.bell_step if bell is None else bell,
            bell_sound=_sound(self.class_file, "step"),
            pose=pose,
            known=known,
            pace_room=room,
            let_be=where.let_be | self.section_lets_be,
            pass_number=PASS_NUMBERS[where.on_pass],
            lead_ms=lead_ms,
        )

    def known(self, name: str) -> Pose | None:
        """What the library, or the class itself, knows of a pose."""
        if name not in self.poses:
            self.poses[name] = self.library.find(name)
        return self.poses[name]

    def said(self, text: str) -> Pose | None:
        """The pose that the words of a move lead to."""
        if text not in self.poses_said:
            self.poses_said[text] = pose_said(text, self.library)
        return self.poses_said[text]

    @cached_property
    def library(self) -> Library:
        return library_of(self.class_file)

    def hold(self, entry: HoldEntry, following: Entry | None, where: Pass) -> Iterator[Step]:
        """A pose, a rest or a silence, and the words that lead out of it."""
        if entry.side is not None:
            where = replace(where, side=entry.side)
        known = self.known(entry.pose) if entry.pose != entry.kind else None
        hold = self.kept(entry, where) or stay_in(known, STYLES.get(self.class_file.style, USUAL)) or USUAL_HOLD
        kept = hold, split(entry.pace or self.pace)[0]
        pose = self.wording.sided(entry.pose, entry.place, where)
        given = self.given(entry, known, where, following)

        def words(part: LibraryPart) -> tuple[Words, ...]:
            return library_words(known, part, entry, kept, where.side) if known and part in given.parts else ()

        # What the file makes unlike on the two sides is not made alike.
        alone = replace(where, pair=None) if isinstance(entry.hold, SidedHold) else where
        made = self.plain(
            entry.place,
            alone,
            StepKind(entry.kind),
            pose,
            pace=entry.pace,
            hold=hold,
            entry=self.way_in(entry, known, where, words(LibraryPart.ENTER)),
            words=ends_last((*self.wording.cues(entry.say, where, kept), *words(LibraryPart.SAY))),
            count=counted(entry, hold, self.count),
            bell=entry.bell,
            pose=pose if entry.kind == "pose" else None,
            known=known.name if known else None,
        )
        self.wording.problems.extend(counting_problems(entry, hold))
        yield replace(made, share=entry.share, told=given.told, chime_every_ms=entry.chime_every_ms)
        leaving = (*self.wording.cues(entry.leave, where, None), *words(LibraryPart.LEAVE))
        if leaving or entry.leave:
            # Words for one pass only leave a step without words on the other, whose twin it is.
            out = where if where.pair is None else replace(where, pair=f"{where.pair}/leave")
            yield self.plain(entry.place, out, StepKind.TALK, f"{OUT_OF}{pose}", entry=leaving)

    def given(self, entry: HoldEntry, known: Pose | None, where: Pass, following: Entry | None) -> Taken:
        """What the library gives a pose."""
        if known is None or not self.class_file.library_cues:
            return Taken(entry.from_library)
        return taken(entry, known, where.side, Beside(self.way.moves, following))

    def way_in(
        self, entry: HoldEntry, known: Pose | None, where: Pass, library: tuple[Words, ...]
    ) -> tuple[Words, ...]:
        """What is said before a hold: the pose's name, the file's words and the library's, and the side in any case.

        Where the library led in on the first side, it says on the second that it is the same there, and names the side.
        """
        pose = self.wording.sided(entry.pose, entry.place, where)
        named = self.wording.name(entry, pose, known, where)
        if known and known.sides and where.side is not None and library:
            again = where.on_pass is OnPass.SECOND and entry.place in self.way.led_by_library
            if again and where.second_side is not SecondSide.IN_FULL:
                library = library_enter_in_short(known, entry, where.side)
                named = named if entry.name_cue else self.wording.name(entry, pose, known, replace(where, side=None))
            self.way.led_by_library.add(entry.place)
        said = (*named, *self.wording.enter(entry, where), *library)
        has_side = entry.side is not None or (entry.pose != entry.kind and (known is None or known.sides))
        if where.side is None or not has_side or self.way.side_known(where) or says_side(said):
            return said
        side = Words(f"{where.side.value.capitalize()} side.", CueKind.NAME, entry.place)
        return (*named, side, *said[len(named) :])

    def kept(self, entry: HoldEntry, where: Pass) -> InBreaths | InTime | None:
        """The hold of this pass as written; None where nothing is."""
        hold = entry.hold
        if not isinstance(hold, SidedHold):
            return hold
        if where.on_pass is OnPass.BOTH:
            what = "a hold with a length for each side is used where there is one pass only"
            self.wording.fault(hold.place, what, "put the step under `both sides:`, or write one length")
        return hold.second if where.on_pass is OnPass.SECOND else hold.first

    def breathing(self, entry: BreathingEntry, where: Pass) -> Step:
        pace = self.pattern_pace(entry)
        hold = _whole_breaths(entry.lasts, pace)
        self.wording.problems.extend(counting_problems(entry, hold))
        name = (entry.name_cue,) if entry.name_cue else ()
        return self.plain(
            entry.place,
            where,
            StepKind.BREATHING,
            entry.pattern.name,
            pace=pace,
            hold=hold,
            entry=self.wording.cues((*name, *entry.enter), where, None),
            words=ends_last(self.wording.cues(entry.say, where, (hold, pace))),
            count=entry.count or self.count,
            bell=entry.bell,
        )

    def pattern_pace(self, entry: BreathingEntry) -> Pace:
        """The pace of a pattern: its seconds, or its shares of the usual inhale of the class (or section)."""
        unit_ms = 1000 if entry.pattern.in_seconds else split(self.pace)[0].inhale_ms
        return Pace(*(part * unit_ms for part in entry.pattern.parts))

    def move(self, entry: MoveEntry, where: Pass) -> Step:
        known = self.known(entry.pose) if entry.pose else self.said(entry.cue.text if entry.cue else "")
        return self.plain(
            entry.place,
            where,
            StepKind.MOVE,
            entry.breath.value,
            pace=entry.pace,
            breath=entry.breath,
            words=(self.wording.carried(entry, entry.breath_word or self.breath_word, where),),
            count=entry.count or self.count,
            lead_ms=self.lead_ms if entry.lead_ms is None else entry.lead_ms,
            pose=self.wording.sided(entry.pose, entry.place, where) if entry.pose else None,
            known=known.name if known else None,
        )


def _whole_breaths(lasts: InBreaths | InTime, pace: Pace) -> InBreaths:
    """A pattern kept for a time is kept for the whole breaths nearest to it, one at least."""
    if isinstance(lasts, InBreaths):
        return lasts
    least, usual, most = (max(1, round(ms / pace.period_ms)) for ms in (lasts.least_ms, lasts.usual_ms, lasts.most_ms))
    return InBreaths(least, usual, most)
