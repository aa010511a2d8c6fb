"""Sun salutations that are named and then called, ever shorter: from where to where, and how many rounds."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from guide.draft.events import UNNAMED, Event, Kind
from guide.draft.phrases import SANSKRIT_NUMBERS, Phrase, these
from guide.draft.reading.shown import shown

#: The first breath is called so soon after the name, and the next so soon after each: a pose may be held between.
FIRST_MS, NEXT_MS = 75_000, 75_000

#: Fewer breaths are no salutation, and so many make a round.
FEWEST = 6
BREATHS = {"sun salutation A": 10, "sun salutation B": 18}

#: In each round people stay in the dog, where they stay for as long as this.
KEPT = "downward dog"
LEAST_KEPT_MS = 8_000

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
    "low lunge", "high lunge", "knees chest chin",
))  # fmt: skip


@dataclass(frozen=True, slots=True)
class Salutation:
    """A salutation with the events of each of its passes; `start` and `end` are the numbers of its events."""

    name: str
    passes: tuple[tuple[Event, ...], ...]
    start: int
    end: int


def salutations(events: Sequence[Event]) -> tuple[tuple[Event, ...], tuple[Salutation, ...]]:
    """The events, cut where a salutation that is named and called begins or ends, and every one of them, in order."""
    cut: list[Event] = []
    found: list[Salutation] = []
    looking = _looked_on(events)
    done = 0
    for number, event in enumerate(events):
        if number < done or number in looking or not any(map(_names_one, event.phrases)):
            continue
        span = _span(events, number, looking)
        before, moves, after = _parts(events[span[0] : span[1] + 1]) if span else ((), (), ())
        if span is None or len(moves) < FEWEST:
            continue
        cut.extend((*events[done : span[0]], *before))
        name = _which(event, events[span[0] : span[1] + 1])
        passes = _passes(moves, max(1, round(_breaths(moves) / BREATHS[name])))
        found.append(Salutation(name, passes, len(cut), len(cut) + len(moves)))
        cut.extend((*(one for each in passes for one in each), *after))
        done = span[1] + 1
    return (*cut, *events[done:]), tuple(found)


Events = tuple[Event, ...]


def _parts(events: Sequence[Event]) -> tuple[Events, Events, Events]:
    """What is before the first breath that is called after the name, a move for each breath, and what is after."""
    phrases = tuple(phrase for event in events for phrase in event.phrases)
    named = next((at for at, phrase in enumerate(phrases) if _names_one(phrase)), -1)
    calls = [at for at, phrase in enumerate(phrases) if at > named and phrase.breath is not None]
    if not calls:
        return (), (), ()
    over_ms = phrases[calls[-1] + 1].start_ms if calls[-1] + 1 < len(phrases) else events[-1].end_ms
    before = _with(events[0], phrases[: calls[0]], phrases[calls[0]].start_ms)
    after = _with(events[-1], phrases[calls[-1] + 1 :], events[-1].end_ms)
    runs = [tuple(phrases[start:end]) for start, end in pairwise((*calls, calls[-1] + 1))]
    ends_ms = [*(run[0].start_ms for run in runs[1:]), over_ms]
    moves = (Event(Kind.MOVE, run, end_ms, run[0].breath) for run, end_ms in zip(runs, ends_ms, strict=True))
    return before, tuple(moves), after


def _with(event: Event, phrases: tuple[Phrase, ...], end_ms: int) -> Events:
    """The event with these of its phrases, if there are any."""
    kind = Kind.TALK if event.kind is Kind.MOVE else event.kind
    return (replace(event, phrases=phrases, end_ms=end_ms, kind=kind, breath=None),) if phrases else ()


def _passes(moves: Events, rounds: int) -> tuple[Events, ...]:
    """Rounds that have about as many breaths each."""
    edges = [len(moves) * number // rounds for number in range(rounds + 1)]
    return tuple(_as_kept(moves[start:end]) for start, end in pairwise(edges))


def _as_kept(moves: Events) -> Events:
    """The moves of one round, of which the longest is kept: the dog."""
    longest = max(range(len(moves)), key=lambda at: moves[at].end_ms - moves[at].start_ms)
    if moves[longest].end_ms - moves[longest].start_ms < LEAST_KEPT_MS:
        return moves
    kept = replace(moves[longest], kind=Kind.HOLD, pose=KEPT, breath=None, sure=UNNAMED)
    return (*moves[:longest], kept, *moves[longest + 1 :])


def _span(events: Sequence[Event], number: int, looking: frozenset[int]) -> tuple[int, int] | None:
    """The first and the last event of the salutation that an event names, if its breaths are called soon after."""
    start = next((at for at in range(number, len(events)) if _called(events[at], at == number)), None)
    if start is None or events[start].start_ms - events[number].start_ms > FIRST_MS:
        return None
    last, last_ms = start, events[start].start_ms
    for at in range(start, len(events)):
        event = events[at]
        other = event.kind is Kind.HOLD and event.pose not in _WITHIN and not _breathed_through(event)
        again = at > max(start, number) and any(map(_names_one, event.phrases))
        if other or again or at in looking or event.start_ms - last_ms > NEXT_MS:
            break
        if _called(event, False):
            last, last_ms = at, event.phrases[-1].start_ms
    return start, last


def _breathed_through(event: Event) -> bool:
    """Whether breath after breath is called in what nobody named a pose: the last round, with hardly a word."""
    calls = sum(phrase.breath is not None for phrase in event.phrases)
    return event.sure <= UNNAMED and calls >= FEWEST and 2 * calls >= len(event.phrases)


def _called(event: Event, after_name: bool) -> bool:
    phrases = event.phrases
    if after_name:
        place = next((at for at, phrase in enumerate(phrases) if _names_one(phrase)), 0)
        phrases = phrases[place + 1 :]
    return any(phrase.breath is not None for phrase in phrases)


def _breaths(moves: Events) -> int:
    """How many breaths are called: by their name, or by the number alone that each has in Sanskrit."""
    phrases = [phrase for move in moves for phrase in move.phrases]
    numbered = sum(
        len(one.words) == 1 and one.words[0] in SANSKRIT_NUMBERS and other.breath is None
        for one, other in pairwise(phrases)
    )
    return len(moves) + numbered


def _names_one(phrase: Phrase) -> bool:
    words = phrase.words
    return any(
        one.startswith(first) and other.startswith(second) for one, other in pairwise(words) for first, second in _NAMES
    )


def _which(named: Event, events: Sequence[Event]) -> str:
    words = [word for phrase in named.phrases if _names_one(phrase) for word in phrase.words]
    second = any(after in _SECOND and before.startswith(("namask", "salut")) for before, after in pairwise(words))
    poses = {event.pose for event in events}
    return "sun salutation B" if second or poses >= _ONLY_SECOND else "sun salutation A"


def _looked_on(events: Sequence[Event]) -> frozenset[int]:
    """The numbers of the events in all of which people look on."""
    number_of = [number for number, event in enumerate(events) for _ in event.phrases]
    looking = shown([phrase for event in events for phrase in event.phrases])
    acted = {number for at, number in enumerate(number_of) if at not in looking}
    return frozenset(number_of) - acted
