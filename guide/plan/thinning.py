"""The same class with fewer words: cues are left out by their kind, and everything else stays where it was."""

import re
from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from enum import Enum

from guide.plan.scheduler import dips
from guide.plan.timeline import Cue, CuePart, Note, Timeline
from guide.problem import Place
from guide.sequence.steps import CueKind, StepKind
from guide.units import so_many


class Turn(Enum):
    """The turn in which words are left out, from those that go first to those that go last; each is told so."""

    HOW_AGAIN = "repeated alignment"
    BREATH_AGAIN = "repeated moves"
    HOW = "alignment"
    BREATH = "moves"
    WAY = "ways in and out"
    NAME = "names"
    COUNT = "numbers"
    OFFER = "offers"
    SAFETY = "safety"


#: What goes before names do: what a share is a share of.
BEFORE_NAMES = (Turn.HOW_AGAIN, Turn.BREATH_AGAIN, Turn.HOW, Turn.BREATH, Turn.WAY)

#: Steps that have a name to be said.
_HELD = (StepKind.POSE, StepKind.REST, StepKind.BREATHING)

_KINDS: Mapping[CueKind, Turn] = {
    CueKind.NAME: Turn.NAME,
    CueKind.BREATH: Turn.BREATH,
    CueKind.COUNT: Turn.COUNT,
    CueKind.OFFER: Turn.OFFER,
    CueKind.SAFETY: Turn.SAFETY,
}

#: What is to be done when something is wrong, or so that nothing is (common practice, no source).
_SAFETY = re.compile(
    r"\b(?:pain(?:s|ful)?|hurt(?:s|ing)?|aches?|dizz(?:y|iness)|light-?headed|feel faint|faintness|numb(?:ness)?|"
    r"tingl(?:es?|ing)|pinch(?:es|ing)|injur(?:y|ed|ies)|pregnan(?:t|cy)|blood pressure|glaucoma|"
    r"stop (?:at|if|when|as soon)|ease off|(?:never|do not|don.t|without) (?:force|forcing|push|pushing|press|pressing|"
    r"lock|locking)|(?:weight|load|pressure) (?:off|out of|on) (?:your|the) (?:neck|head|knees?|wrists?|throat)|"
    r"(?:bad|sore|sensitive|weak|stiff) (?:neck|back|knees?|wrists?|shoulders?|hips?|ankles?|eyes?)|"
    r"(?:neck|back|knees?|wrists?|shoulders?|hips?) (?:complains?|protests?|is sore|are sore))\b",
    re.IGNORECASE,
)

_SIDE = re.compile(r"\b(?:left|right)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class WordsKept:
    """How many words of a class are kept: so many of a hundred of those that go before names, and all others.

    None keeps no words at all, bells and chimes alone. `name` is how it is asked for.
    """

    name: str
    percent: int | None


#: What is asked for by a name.
NAMED: Mapping[str, WordsKept] = {
    name: WordsKept(name, percent) for name, percent in (("all", 100), ("some", 50), ("names", 0), ("bells", None))
}
ALL_WORDS = NAMED["all"]

#: By its share, so that one that has a name is called by it.
_BY_PERCENT = {kept.percent: kept for kept in NAMED.values()}

_PERCENT = re.compile(r"([0-9]{1,2}|100) ?%")


def read_words(text: str) -> WordsKept | None:
    """`all`, `some`, `names`, `bells`, or a share such as `70%`; None for anything else."""
    share = _PERCENT.fullmatch(text)
    return NAMED.get(text) if share is None else _share(int(share[1]))


def _share(percent: int) -> WordsKept:
    return _BY_PERCENT.get(percent, WordsKept(f"{percent}%", percent))


def week_by_week(weeks: int) -> tuple[WordsKept, ...]:
    """From all words in the first week to none in the last, with names and no more in the one before that; the shares
    between go down by equal steps. Of two weeks, all words and none."""
    steps = max(1, weeks - 2)
    return (*(_share(100 - 100 * week // steps) for week in range(weeks - 1)), NAMED["bells"])


def thinned(timeline: Timeline, kept: WordsKept) -> Timeline:
    """The class with fewer words; what is left out is listed, and all that stays is where it was to the millisecond.

    Bells and chimes stay, and are no longer turned down where nothing is said.
    """
    gone = _gone(timeline, kept)
    if not gone:
        return timeline
    cues = tuple(cue for number, cue in enumerate(timeline.cues) if number not in gone)
    left_out = tuple(timeline.cues[number] for number in sorted(gone))
    thin = replace(timeline, cues=cues, dips=tuple(dips(cues)), left_out=left_out)
    note = Note(Place(left_out[0].place.file, 1, 1), _told(kept, thin))
    return replace(thin, notes=(*timeline.notes, note))


def turns_left_out(timeline: Timeline) -> dict[Turn, tuple[int, int]]:
    """Of each turn of which words were left out, how many, and of how many."""
    all_of_it = whole(timeline)
    gone = {(cue.start_ms, cue.words) for cue in timeline.left_out}
    counts = {turn: [0, 0] for turn in Turn}
    for cue, turn in zip(all_of_it.cues, turns_of(all_of_it), strict=True):
        counts[turn][0] += (cue.start_ms, cue.words) in gone
        counts[turn][1] += 1
    return {turn: (left_out, of) for turn, (left_out, of) in counts.items() if left_out}


def without(timeline: Timeline, unheard: Collection[tuple[int, str]]) -> Timeline:
    """The class without the words that are told, each with the number of its step; not one that is proved."""
    if not unheard:
        return timeline
    cues = tuple(cue for cue in timeline.cues if (cue.step, cue.words) not in unheard)
    return replace(timeline, cues=cues, dips=tuple(dips(cues)))


def whole(timeline: Timeline) -> Timeline:
    """A class with the words that were left out where they were."""
    if not timeline.left_out:
        return timeline
    cues = tuple(sorted((*timeline.cues, *timeline.left_out), key=lambda cue: cue.start_ms))
    return replace(timeline, cues=cues, dips=tuple(dips(cues)), left_out=())


def turns_of(timeline: Timeline) -> list[Turn]:
    """The turn of each cue.

    What was said before, on either side, is said again.
    """
    said: set[str] = set()
    names = frozenset(_as_names(timeline))
    turns = []
    for number, cue in enumerate(timeline.cues):
        words = _SIDE.sub("side", cue.words).casefold()
        turn = _turn(cue, words in said)
        said.add(words)
        turns.append(Turn.NAME if number in names and turn in BEFORE_NAMES else turn)
    return turns


def _as_names(timeline: Timeline) -> Iterator[int]:
    """The numbers of cues that say what a name would: the first on the way into what has no name that is said, and the
    first that says its side where the name does not."""
    entries: dict[int, list[int]] = {}
    for number, cue in enumerate(timeline.cues):
        if cue.part is CuePart.ENTRY and timeline.spans[cue.step].kind in _HELD:
            entries.setdefault(cue.step, []).append(number)
    for step, numbers in entries.items():
        names = [number for number in numbers if timeline.cues[number].kind is CueKind.NAME] or numbers[:1]
        yield from names
        side = timeline.spans[step].side
        sided = [] if side is None else [n for n in numbers if side.value in timeline.cues[n].words.casefold()]
        if not set(names) & set(sided):
            yield from sided[:1]


def _turn(cue: Cue, again: bool) -> Turn:
    if cue.kind in (CueKind.HOW, CueKind.BREATH) and _SAFETY.search(cue.words):
        return Turn.SAFETY
    if cue.kind is CueKind.HOW:
        if again:
            return Turn.HOW_AGAIN
        return Turn.HOW if cue.part is CuePart.HOLD else Turn.WAY
    return Turn.BREATH_AGAIN if again and cue.kind is CueKind.BREATH else _KINDS[cue.kind]


def _gone(timeline: Timeline, kept: WordsKept) -> frozenset[int]:
    """The numbers of the cues that are left out."""
    if kept.percent is None:
        return frozenset(range(len(timeline.cues)))
    if kept.percent == 100:
        return frozenset()
    order = _order(timeline)
    stays = -(-len(order) * kept.percent // 100)
    return frozenset(order[: len(order) - stays])


def _order(timeline: Timeline) -> list[int]:
    """The numbers of the cues that go before names do, in the order in which they go.

    In one turn the later lines of a step go before its first, and of those the later ones of the class.
    """
    lines: Counter[tuple[int, Turn]] = Counter()
    keys: list[tuple[int, int, int]] = []
    for number, (cue, turn) in enumerate(zip(timeline.cues, turns_of(timeline), strict=True)):
        if turn in BEFORE_NAMES:
            keys.append((BEFORE_NAMES.index(turn), -lines[cue.step, turn], -number))
            lines[cue.step, turn] += 1
    return [-number for _, _, number in sorted(keys)]


def _told(kept: WordsKept, thin: Timeline) -> str:
    counted = [f"{gone} of {of} {turn.value}" for turn, (gone, of) in turns_left_out(thin).items()]
    gone, total = len(thin.left_out), so_many(len(thin.cues) + len(thin.left_out), "cue")
    return f"{gone} of {total} are left out (--words {kept.name}): {', '.join(counted)}"
