"""What is said at a step: sides put in, names, breaths, the file's cues and those of the pose library."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from guide.problem import Place, Problem
from guide.sequence.model import (
    BreathPlace,
    BreathWord,
    ClassFile,
    EndPlace,
    HoldEntry,
    LibraryPart,
    MoveEntry,
    OnPass,
    SecondSide,
    TimePlace,
    WrittenCue,
)
from guide.sequence.poses.pose import Pose, Strength
from guide.sequence.steps import AtBreath, AtTime, BeforeEnd, Breath, CueKind, InBreaths, InTime, Pace, Side, Words
from guide.units import whole_ms

#: One sentence that asks and exclaims nothing.
PLAIN_SENTENCE = re.compile(r"[^.!?…:;]*[^.!?…:;,\s]\.?")

SIDE_WORD = re.compile(r"<(other )?side>", re.IGNORECASE)

#: Words that say a side, and not `a right angle` or `right away`.
_SIDE_SAID = re.compile(r"\b(?:left|right)\b(?!\s+(?:angle|away|now|here|there)s?\b)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Pass:
    """Where in the unrolling we are: which side, which pass through both sides, the way in that names twins, the blocks
    we are inside of, the rules of advice silenced so far, and how poses are entered on the second side."""

    side: Side | None = None
    on_pass: OnPass = OnPass.BOTH
    pair: str | None = None
    way: str = ""
    inside: tuple[str, ...] = ()
    let_be: frozenset[str] = frozenset()
    second_side: SecondSide | None = None

    def into(self, part: str) -> "Pass":
        """The same pass, one entry further in."""
        return replace(self, way=f"{self.way}/{part}", pair=None if self.pair is None else f"{self.pair}/{part}")

    def letting_be(self, rules: frozenset[str]) -> "Pass":
        """The same pass with more rules of advice that are silenced."""
        return replace(self, let_be=self.let_be | rules) if rules else self


Kept = tuple[InBreaths | InTime, Pace]


class Wording:
    """The words of one class; what is wrong with them is added to `problems`."""

    def __init__(self, class_file: ClassFile, problems: list[Problem]) -> None:
        self.class_file = class_file
        self.problems = problems

    def name(self, entry: HoldEntry, pose: str, known: Pose | None, where: Pass) -> tuple[Words, ...]:
        """What is said for a pose's name (a rest has one where `pose` gives it): as written, or nothing.

        The side is said with it, unless the library knows that the pose has none.
        """
        if entry.name_silent or entry.kind == "silence":
            return ()
        if entry.name_cue is not None:
            return self.cues((entry.name_cue,), where, None)
        if entry.pose == entry.kind or not self.class_file.say_names:
            return ()
        text = f"{pose[0].upper()}{pose[1:]}"
        sided = entry.side is not None or known is None or known.sides
        if where.side is not None and sided and not SIDE_WORD.search(entry.pose):
            text = f"{text}, {where.side.value} side"
        return (Words(f"{text}.", CueKind.NAME, entry.place),)

    def enter(self, entry: HoldEntry, where: Pass) -> tuple[Words, ...]:
        """The file's words on the way into a pose; in short on the second side where the file asks for that.

        A file that has words for the second side alone has said what it wants said there.
        """
        own_second = any(cue.on_pass is OnPass.SECOND for cue in entry.enter)
        if where.second_side is not SecondSide.SHORT or where.on_pass is not OnPass.SECOND or own_second:
            return self.cues(entry.enter, where, None)
        again = [cue for cue in entry.enter if cue.on_pass is OnPass.BOTH]
        if not again or where.side is None:
            return ()
        number = _first_sided([cue.text for cue in again])
        text = in_short("" if number is None else again[number].text, where.side)
        kept = again[number or 0]
        return (Words(text, CueKind.HOW, kept.place),)

    def carried(self, entry: MoveEntry, breath_word: BreathWord, where: Pass) -> Words:
        """The words of a move with the breath that carries it, unless they have it or the class says otherwise."""
        if entry.cue is None:
            return Words(f"{entry.breath.value.capitalize()}.", CueKind.BREATH, entry.place)
        text = self.sided(entry.cue.text, entry.cue.place, where)
        if self.class_file.say_breaths:
            text = with_breath(text, entry.breath, breath_word)
        return Words(text, CueKind.BREATH, entry.cue.place)

    def cues(self, cues: tuple[WrittenCue, ...], where: Pass, kept: Kept | None) -> tuple[Words, ...]:
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
                at=self.spot(cue, *kept) if kept and cue.at else None,
                if_room=cue.if_room,
            )
            for cue in cues
            if cue.on_pass in (OnPass.BOTH, where.on_pass)
        )

    def spot(self, cue: WrittenCue, hold: InBreaths | InTime, pace: Pace) -> AtBreath | AtTime | BeforeEnd | None:
        """Where in the hold a cue asks to be; None and a problem where the hold is too short for it."""
        breaths = hold.usual if isinstance(hold, InBreaths) else int(hold.usual_ms / pace.period_ms)
        length_ms = breaths * pace.period_ms if isinstance(hold, InBreaths) else hold.usual_ms
        match cue.at:
            case TimePlace(ms):
                if ms < length_ms:
                    return AtTime(ms)
                self.fault(
                    cue.place,
                    f"this cue is placed {ms // 1000} s into a hold of {whole_ms(length_ms) // 1000} s",
                    "an earlier place, or a longer hold",
                )
            case EndPlace(ms):
                if ms < length_ms:
                    return BeforeEnd(ms)
                self.fault(
                    cue.place,
                    f"this cue is placed {ms // 1000} s before the end of a hold of {whole_ms(length_ms) // 1000} s",
                    "a place nearer to the end, or a longer hold",
                )
            case BreathPlace(number, breath):
                if 1 <= (number or breaths) <= breaths:
                    return AtBreath(number, breath)
                self.fault(
                    cue.place,
                    f"this cue is placed at breath {number or 1} of a hold of {breaths}",
                    "an earlier breath, or a longer hold",
                )
        return None

    def sided(self, text: str, place: Place, where: Pass) -> str:
        """`text` with `<side>` and `<other side>` as left and right; a problem where no side is known."""
        if where.side is None:
            if SIDE_WORD.search(text):
                self.fault(place, "<side> is used where nothing says which side", "put the step under `both sides:`")
            return text
        return put_side(text, where.side)

    def fault(self, place: Place, what: str, fix: str) -> None:
        """Note a problem."""
        self.problems.append(Problem(place, what, fix))


def with_breath(text: str, breath: Breath, breath_word: BreathWord) -> str:
    """The words of a move with its breath in front of them, or behind; as they are where they begin or end with it.

    Behind it stands after one plain sentence only, where it reads well.
    """
    if text.lower().startswith((breath.value, f"breathe {breath.value[:2]}")):
        return text
    if breath_word is BreathWord.LAST:
        if text.rstrip(" .!").lower().endswith((breath.value, f"breathe {breath.value[:2]}")):
            return text
        if PLAIN_SENTENCE.fullmatch(text):
            return f"{text.rstrip('.')}, {breath.value}."
    lower = text[0].lower() if not re.match(r"[A-Z]{2}|I\b", text) else text[0]
    return f"{breath.value.capitalize()}, {lower}{text[1:]}"


def ends_last(words: tuple[Words, ...]) -> tuple[Words, ...]:
    """The words of a hold in the order in which they are said: those placed before its end come last."""
    return tuple(sorted(words, key=lambda one: (1, -one.at.ms) if isinstance(one.at, BeforeEnd) else (0, 0)))


def put_side(text: str, side: Side) -> str:
    """`text` with `<side>` and `<other side>` as left and right, with a capital where the text has one or a sentence
    begins."""

    def put(found: re.Match[str]) -> str:
        word = (side.other if found[1] else side).value
        return word.capitalize() if found[0][1].isupper() or _opens_sentence(text, found.start()) else word

    return SIDE_WORD.sub(put, text)


def says_side(words: Iterable[Words]) -> bool:
    """Whether any of the words say which side it is."""
    return any(_SIDE_SAID.search(one.text) for one in words)


def in_short(text: str, side: Side) -> str:
    """The way in on the second side: that it is the same there, with the one sentence that names the sides."""
    said = put_side(text, side)
    return f"The same on the {side.value}: {said[0].lower()}{said[1:]}" if said else f"The same on the {side.value}."


def _first_sided(texts: Sequence[str]) -> int | None:
    return next((number for number, text in enumerate(texts) if SIDE_WORD.search(text)), None)


def _opens_sentence(text: str, index: int) -> bool:
    before = text[:index].rstrip()
    return not before or before[-1] in ".!?"


def library_words(pose: Pose, part: LibraryPart, entry: HoldEntry, kept: Kept, side: Side | None) -> tuple[Words, ...]:
    """What the library says of a pose on its way in, while it is held, or on its way out.

    In a hold it is so little that quiet remains, and may be left out for want of room. Words that name a side are left
    out where none is known.
    """
    match part:
        case LibraryPart.ENTER:
            said = [(text, CueKind.HOW) for text in _sayable(pose.enter, side)]
        case LibraryPart.SAY:
            said = _held(pose, _least_breaths(kept), side)
        case LibraryPart.LEAVE:
            said = [(text, CueKind.HOW) for text in _sayable(pose.leave, side)]
    first = 1 + (len(pose.enter) if part is LibraryPart.SAY else 0)
    return tuple(
        Words(text, kind, entry.place, if_room=part is LibraryPart.SAY, from_library=number)
        for number, (text, kind) in enumerate(said, first)
    )


def library_enter_in_short(pose: Pose, entry: HoldEntry, side: Side) -> tuple[Words, ...]:
    """What the library says on the way into a pose that was done on the other side just before."""
    number = _first_sided(pose.enter)
    text = in_short("" if number is None else pose.enter[number], side)
    return (Words(text, CueKind.HOW, entry.place, from_library=(number or 0) + 1),)


def _sayable(texts: Iterable[str], side: Side | None) -> list[str]:
    """The texts that can be said on a side, or without one."""
    if side is None:
        return [text for text in texts if not SIDE_WORD.search(text)]
    return [put_side(text, side) for text in texts]


def _held(pose: Pose, breaths: int, side: Side | None) -> list[tuple[str, CueKind]]:
    """The words for a hold of at least so many breaths: for half of them; a strong pose's easier way is the last."""
    most = max(1, breaths // 2) if breaths > 1 else 0
    offers = _sayable([pose.easier.say], side) if pose.easier and pose.strength is Strength.STRONG else []
    offers = offers[:most]
    hows = _sayable(pose.say, side)[: most - len(offers)]
    return [*((text, CueKind.HOW) for text in hows), *((text, CueKind.OFFER) for text in offers)]


def _least_breaths(kept: Kept) -> int:
    hold, pace = kept
    return hold.least if isinstance(hold, InBreaths) else int(hold.least_ms / pace.period_ms)
