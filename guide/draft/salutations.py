"""Salutations: from where to where people are moved through one, which it is, and in how many rounds."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from guide.draft.events import Event, Kind
from guide.draft.known_blocks import Called, templates, with_blocks
from guide.draft.phrases import Phrase, these

#: Its parts are apart by no more than this, or where people stay in a pose of it between them; less is none.
APART_MS, STAYED_MS, LEAST_MS = 30_000, 75_000, 30_000
#: Who stands for as long as this between two rounds has ended the first.
STOOD_MS = 15_000
_STANDING = frozenset(("mountain", "equal standing", "prayer stance"))
#: What is done in one, so often in a row just before breaths are called, is its first round.
SLOWLY = 4
#: Its name was said no longer before.
NAMED_MS = 75_000

#: Fewer breaths tell nothing of its moves; one that nobody named, either, lasts for as long as this.
FEWEST, LEAST_UNTOLD_MS = 6, 60_000

#: How many rounds grows with these powers of the seconds and of how often one is told of, apart by so much: fitted to
#: the 153 salutations of the talked classes, 48 % of which it hits (of teachers left out), and 94 % within one.
BY_LENGTH, BY_TELLING, TOLD_APART_MS = 0.12, 0.33, 10_000
_TELLS = these("round again last second third two three four once")

_NAMES = (
    ("sun", "salut"),
    ("sun", "sal"),
    ("surya", "namask"),
    ("salute", "sun"),
)
_SECOND = these("b two second")
#: Only the second has these.
_ONLY_SECOND = frozenset(("chair", "warrior one"))
#: What may be done in one.
_WITHIN = frozenset((
    "mountain", "equal standing", "prayer stance", "upward salute", "standing forward fold",
    "half standing forward fold",
    "plank", "low plank", "cobra", "low cobra", "upward dog", "downward dog", "chair", "warrior one", "rag doll",
    "low lunge", "high lunge", "equestrian lunge", "raised-arms salute", "eight-limbed salute", "standing backbend",
))  # fmt: skip


Events = tuple[Event, ...]


@dataclass(frozen=True, slots=True)
class Salutation:
    """A salutation with the events of each of its passes; `start` and `end` are the numbers of its events.

    `name` is that of the block that comes with the program, or "" for one that is not known.
    """

    name: str
    passes: tuple[Events, ...]
    start: int
    end: int


def salutations(events: Sequence[Event]) -> tuple[Events, tuple[Salutation, ...]]:
    """The events, cut where a salutation begins or ends, and every one of them, in order."""
    cut: list[Event] = []
    found: list[Salutation] = []
    done = 0
    for start, end in _spans(events):
        if start < done or any(isinstance(each, Called) for each in with_blocks(events[start:end], templates())):
            continue
        inside = events[start:end]
        name = _which(events[_since(events, start) : end])
        moves = _moves(inside)
        if sum(move.kind is Kind.MOVE for move in moves) < FEWEST:
            if not name and inside[-1].end_ms - inside[0].start_ms < LEAST_UNTOLD_MS:
                continue
            moves, name = tuple(inside), name or "sun salutation A"
        passes = _passes(moves, min(_rounds(inside), len(moves)))
        cut.extend(events[done:start])
        found.append(Salutation(name, passes, len(cut), len(cut) + len(moves)))
        cut.extend(one for each in passes for one in each)
        done = end
    return (*cut, *events[done:]), tuple(found)


def _spans(events: Sequence[Event]) -> list[tuple[int, int]]:
    """The first event of each, and the one after its last: rounds that are near each other are one."""
    found: list[tuple[int, int]] = []
    for number, event in enumerate(events):
        if not event.salutation:
            continue
        start, end = found[-1] if found else (0, 0)
        between = events[end:number]
        stayed = any(each.kind is Kind.HOLD for each in between)
        near = bool(found) and event.start_ms - events[end - 1].end_ms <= (STAYED_MS if stayed else APART_MS)
        if near and all(map(_goes_on, between)):
            found[-1] = start, number + 1
        else:
            found.append((number, number + 1))
    return [
        (_slowly(events, start), end)
        for start, end in found
        if events[end - 1].end_ms - events[start].start_ms >= LEAST_MS
    ]


def _goes_on(event: Event) -> bool:
    """Whether a salutation goes on in what is between two of its parts."""
    stood = event.pose in _STANDING and event.end_ms - event.start_ms >= STOOD_MS
    return event.kind is not Kind.HOLD or (event.pose in _WITHIN and not stood)


def _slowly(events: Sequence[Event], start: int) -> int:
    """Where the first round begins that was told pose by pose, if one was."""
    first, poses = start, 0
    for number in range(start - 1, -1, -1):
        event = events[number]
        if event.kind is Kind.HOLD and _goes_on(event):
            first, poses = number, poses + 1
        elif event.kind is Kind.HOLD or event.end_ms - event.start_ms > APART_MS:
            break
    return first if poses >= SLOWLY else start


def _since(events: Sequence[Event], start: int) -> int:
    """The first event in which the name of one may have been said."""
    return next(at for at, event in enumerate(events) if event.end_ms >= events[start].start_ms - NAMED_MS)


def _rounds(events: Sequence[Event]) -> int:
    """How many rounds: by how long they last together, and how often rounds are told of."""
    tells_ms = [
        phrase.start_ms for event in events for phrase in event.phrases for word in phrase.words if word in _TELLS
    ]
    told = sum(after - before >= TOLD_APART_MS for before, after in pairwise((-TOLD_APART_MS, *tells_ms)))
    seconds = (events[-1].end_ms - events[0].start_ms) / 1000
    rounds = float((1 + seconds) ** BY_LENGTH * (1 + told) ** BY_TELLING)
    return max(1, round(rounds))


def _moves(events: Sequence[Event]) -> Events:
    """A move for each breath that is called, and what is kept between; what is said before a breath belongs to it."""
    found: list[Event] = []
    runs = [tuple(run) for _, run in groupby(events, key=lambda event: event.kind is Kind.HOLD)]
    for run in runs:
        found.extend(run if run[0].kind is Kind.HOLD else _by_breath(run))
    return tuple(found)


def _by_breath(events: Events) -> Events:
    phrases = tuple(phrase for event in events for phrase in event.phrases)
    calls = [at for at, phrase in enumerate(phrases) if phrase.breath is not None]
    if not calls:
        return events
    runs = [phrases[start:end] for start, end in pairwise((0, *calls[1:], len(phrases)))]
    ends_ms = [*(run[0].start_ms for run in runs[1:]), events[-1].end_ms]
    breaths = [phrases[at].breath for at in calls]
    return tuple(Event(Kind.MOVE, *each) for each in zip(runs, ends_ms, breaths, strict=True))


def _passes(moves: Events, rounds: int) -> tuple[Events, ...]:
    """Rounds that have about as many moves each."""
    edges = [len(moves) * number // rounds for number in range(rounds + 1)]
    return tuple(moves[start:end] for start, end in pairwise(edges))


def _names_one(phrase: Phrase) -> bool:
    words = phrase.words
    return any(
        one.startswith(first) and other.startswith(second) for one, other in pairwise(words) for first, second in _NAMES
    )


def _which(events: Sequence[Event]) -> str:
    """The block that is named, "" where none is."""
    named = [phrase.words for event in events for phrase in event.phrases if _names_one(phrase)]
    pairs = [pair for words in named for pair in pairwise(words)]
    second = any(after in _SECOND and before.startswith(("namask", "salut")) for before, after in pairs)
    if second or {event.pose for event in events} >= _ONLY_SECOND:
        return "sun salutation B"
    return "sun salutation A" if named else ""
