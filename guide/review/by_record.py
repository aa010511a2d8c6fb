"""A class known from the record that is written while it is led or rehearsed."""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from guide.live.orders import Order
from guide.live.record import BY_VOICE, REHEARSED, Answered, Asked, Began, Ended, Event, Opened, Paused, Spoke, WentOn
from guide.plan.timeline import Span, Timeline
from guide.problem import UnusableChoice
from guide.review.comparison import Comparison, How, Known, beside, whole_ms
from guide.review.confidence import Basis, Pin, confidence
from guide.review.lead_of_words import lead_of_words
from guide.review.recorded_steps import in_plan, last_written
from guide.review.speech import Speech
from guide.sequence.steps import Steps

if TYPE_CHECKING:
    from guide.review.hearing.by_voice import Listened

#: A key is pressed when a step begins, to within about so much.
SURE_OF_KEY, KEY_MS = 0.99, 300


def is_record(raw: bytes) -> bool:
    """Whether the bytes of a file are a record, by its first line."""
    first, _, _ = raw.lstrip().partition(b"\n")
    try:
        found = json.loads(first)
    except (ValueError, RecursionError):
        return False
    return isinstance(found, dict) and "event" in found


@dataclass(frozen=True, slots=True)
class Told:
    """What a record tells, in counted time: without pauses, and without what was gone back on.

    `starts_ms` are the starts of steps by their numbers, those that only a voice told of among them in `by_voice`;
    `answers` are the starts that the teacher said afterwards; `end_ms` is when the class was over, None where it was
    broken off; `spoken` is when a voice was heard, from and to.
    """

    is_rehearsed: bool
    starts_ms: dict[int, int]
    by_voice: frozenset[int]
    end_ms: int | None
    length_ms: int
    kept_out_ms: int
    answers: dict[int, int]
    spoken: tuple[tuple[int, int], ...]

    @property
    def keys_ms(self) -> dict[int, int]:
        """The starts of the steps that began with a key."""
        return {number: start_ms for number, start_ms in self.starts_ms.items() if number not in self.by_voice}


def told(events: Sequence[Event], steps: Steps, timeline: Timeline, name: str) -> Told:
    """What the events of a record tell of the class of these steps that `timeline` plans.

    Raises:
        UnusableChoice: they are of another class, or tell nothing.
    """
    opened = next((event for event in events if isinstance(event, Opened)), None)
    if opened is None or not any(isinstance(event, Began) for event in events):
        raise UnusableChoice(f"{name}: no step begins in this record (name the record of a class that was held)")
    walk = _Walk()
    for event in in_plan(events, steps, timeline, name):
        walk.take(event)
    return walk.told(opened.how == REHEARSED, last_written(steps.steps))


@dataclass(slots=True)
class _Piece:
    """Time that counts: from `real_ms` to `until_ms` (None while it goes on) of the record."""

    real_ms: int
    until_ms: int | None
    counted_ms: int

    def length_ms(self, now_ms: int) -> int:
        return (now_ms if self.until_ms is None else self.until_ms) - self.real_ms


@dataclass(slots=True)
class _Walk:
    """The events so far: the pieces of time that count, and when each step began in them."""

    pieces: list[_Piece] = field(default_factory=list)
    starts_ms: dict[int, int] = field(default_factory=dict)
    by_voice: set[int] = field(default_factory=set)
    spoken: list[Spoke] = field(default_factory=list)
    answers: dict[int, int] = field(default_factory=dict)
    is_quit: bool = False
    is_ended: bool = False
    now_ms: int = 0
    began_ms: int = 0

    def take(self, event: Event) -> None:
        if not isinstance(event, Opened | Spoke | Answered):
            self.now_ms = max(self.now_ms, event.real_ms)
        match event:
            case Began():
                self._begin(event)
            case Paused():
                self._stand()
            case WentOn() if self.pieces and self.pieces[-1].until_ms is not None:
                self.pieces.append(_Piece(self.now_ms, None, self._counted_ms()))
            case Spoke():
                self.spoken.append(event)
            case Answered():
                self.answers[event.step] = event.at_ms
            case Asked() if event.order in (Order.QUIT.value, Order.END.value):
                self.is_quit = True
            case Ended():
                self.is_ended = True
                self._stand()

    def _stand(self) -> None:
        if self.pieces and self.pieces[-1].until_ms is None:
            self.pieces[-1].until_ms = self.now_ms

    def _counted_ms(self) -> int:
        """How much time counts so far."""
        last = self.pieces[-1] if self.pieces else None
        return last.counted_ms + last.length_ms(self.now_ms) if last else 0

    def _begin(self, event: Began) -> None:
        if not self.pieces:
            self.began_ms = self.now_ms
            self.pieces.append(_Piece(self.now_ms, None, 0))
        again = [number for number in self.starts_ms if number >= event.step]
        if again:
            self._go_back(min(self.starts_ms[number] for number in again))
            for number in again:
                del self.starts_ms[number]
                self.by_voice.discard(number)
        self.starts_ms[event.step] = self._counted_ms()
        if event.by == BY_VOICE:
            self.by_voice.add(event.step)

    def _go_back(self, counted_ms: int) -> None:
        """Let what came after a moment not have been."""
        is_standing = self.pieces[-1].until_ms is not None
        while len(self.pieces) > 1 and self.pieces[-1].counted_ms >= counted_ms:
            self.pieces.pop()
        last = self.pieces[-1]
        last.until_ms = last.real_ms + counted_ms - last.counted_ms
        self.pieces.append(_Piece(self.now_ms, self.now_ms if is_standing else None, counted_ms))

    def told(self, is_rehearsed: bool, last: int) -> Told:
        self._stand()
        length_ms = self._counted_ms()
        is_whole = self.is_ended and not self.is_quit
        reached = max(self.starts_ms) >= last or is_rehearsed
        return Told(
            is_rehearsed=is_rehearsed,
            starts_ms=self.starts_ms,
            by_voice=frozenset(self.by_voice),
            end_ms=length_ms if is_whole and reached else None,
            length_ms=length_ms,
            kept_out_ms=self.now_ms - self.began_ms - length_ms,
            answers=self.answers,
            spoken=tuple(part for spoke in self.spoken for part in self._counted(spoke)),
        )

    def _counted(self, spoke: Spoke) -> Iterator[tuple[int, int]]:
        """Those parts of what was spoken that lie in time that counts."""
        for piece in self.pieces:
            from_ms, to_ms = max(spoke.real_ms, piece.real_ms), min(spoke.until_ms, piece.until_ms or 0)
            if from_ms < to_ms:
                shift_ms = piece.counted_ms - piece.real_ms
                yield from_ms + shift_ms, to_ms + shift_ms


def compare_record(steps: Steps, timeline: Timeline, name: str, events: Sequence[Event]) -> Comparison:
    """The class that a record was written of, beside the plan.

    A step that was left out while the class was led is told as left out. In a rehearsal, moves between two presses
    share the time as they do in the plan. Where a voice was listened to, it tells of the steps without a key.

    Raises:
        UnusableChoice: the record is of another class, or tells nothing.
    """
    found = told(events, steps, timeline, name)
    if found.spoken:
        return beside_voice(steps, timeline, found, listened_to(timeline, name, found))
    rests_on = Basis.PRESSED if found.is_rehearsed else Basis.LED
    began = {number: (start_ms, rests_on, SURE_OF_KEY) for number, start_ms in found.starts_ms.items()}
    if found.is_rehearsed:
        began |= _shared(timeline.spans, found)
    known = _lengths(began, found.end_ms, len(timeline.spans))
    how = How.REHEARSED if found.is_rehearsed else How.LED
    return beside(steps, timeline, name, known, how=how, kept_out_ms=found.kept_out_ms)


def listened_to(timeline: Timeline, name: str, found: Told) -> "Listened":
    """What the voice in a record tells; the steps with a key, or with an answer, are known."""
    from guide.review.hearing.by_voice import listened
    from guide.review.hearing.voice_activity import Stretch

    stretches = [Stretch(from_ms, to_ms) for from_ms, to_ms in found.spoken]
    return listened(timeline, name, stretches, found.length_ms, found.keys_ms | found.answers)


def beside_voice(steps: Steps, timeline: Timeline, found: Told, heard: "Listened") -> Comparison:
    """What a voice, and keys, tell of the class, beside its plan."""
    from guide.review.hearing.by_voice import told_beside

    comparison = told_beside(steps, timeline, heard)
    taken, last = comparison.steps, comparison.steps[-1]
    if found.end_ms is not None and last.real_start_ms is not None:
        taken = (*taken[:-1], replace(last, real_ms=max(0, found.end_ms - last.real_start_ms)))
    spoken_ms = sum(to_ms - from_ms for from_ms, to_ms in found.spoken)
    lead = lead_of_words(timeline, found.keys_ms, found.spoken)
    return replace(
        comparison,
        how=How.REHEARSED,
        steps=taken,
        real_ms=whole_ms(taken),
        kept_out_ms=found.kept_out_ms,
        speech=Speech(words=None, spoken_ms=spoken_ms, over_ms=found.length_ms, is_measured=True, lead=lead),
    )


Start = tuple[int, Basis, float]
"""When a step began, in counted ms, what that rests on, and how sure it is."""


def _lengths(began: Mapping[int, Start], end_ms: int | None, count: int) -> list[Known | None]:
    """Each step that began, until the next that did."""
    numbers = sorted(began)
    ends = {number: began[after][0] for number, after in pairwise(numbers)} | {numbers[-1]: end_ms}
    known: list[Known | None] = [None] * count
    for number in numbers:
        start_ms, rests_on, sure = began[number]
        until_ms = ends[number]
        known[number] = Known(start_ms, None if until_ms is None else until_ms - start_ms, sure, rests_on)
    return known


def _shared(spans: Sequence[Span], found: Told) -> Iterator[tuple[int, Start]]:
    """The starts of moves between two presses, which share the time as the plan has it."""
    edges = sorted(found.starts_ms.items())
    if found.end_ms is not None:
        edges.append((len(spans), found.end_ms))
    planned_ms = (*(span.start_ms for span in spans), spans[-1].end_ms)
    for (first, from_ms), (after, to_ms) in pairwise(edges):
        keys = [Pin(planned_ms[at] / 1000, KEY_MS) for at in (first, after)]
        whole_ms = max(1, planned_ms[after] - planned_ms[first])
        for number in range(first + 1, after):
            into_ms = (to_ms - from_ms) * (planned_ms[number] - planned_ms[first]) // whole_ms
            sure = round(min(confidence(planned_ms[number] / 1000, keys), SURE_OF_KEY), 2)
            yield number, (from_ms + into_ms, Basis.SHARED, sure)
