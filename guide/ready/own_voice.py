"""A class said by its teacher's own voice: what she has recorded, and how the takes fit into their places."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from guide.plan.line_room import number_room_ms, room_ms
from guide.plan.step_lengths import measured
from guide.plan.step_shape import shapes
from guide.plan.timeline import Note
from guide.problem import Place
from guide.sequence.steps import Step
from guide.units import seconds_text
from guide.voice.takes.store import Takes, line_key
from guide.voice.takes.tightening import INSTALL, MOST, can_tighten

#: A take is made shorter than its place by so much, since it does not come out to the millisecond.
SPARE_MS = 10


@dataclass(frozen=True, slots=True)
class _Long:
    """A take that is longer than its place, and where it is said first."""

    text: str
    place: Place
    length_ms: int
    room_ms: int

    @property
    def tempo(self) -> float:
        """How many times as fast it fits."""
        return self.length_ms / max(1, self.room_ms - SPARE_MS)


def unrecorded(texts: Iterable[str], takes: Takes) -> str:
    """The line that says how many of these lines there are no takes of; empty where there is none."""
    lines = {line_key(text): takes.latest(text) is not None for text in texts}
    missing = sum(not is_there for is_there in lines.values())
    if not missing:
        return ""
    if missing == len(lines):
        return f"none of {len(lines)} lines is recorded yet: the natural voice says them"
    verb, them = ("is", "it") if missing == 1 else ("are", "them")
    return f"{missing} of {len(lines)} lines {verb} not recorded yet: the natural voice says {them}"


def fitted_takes(
    taken: Mapping[str, Place], steps: Sequence[Step], word_ms: Mapping[str, int], sound_ms: Mapping[str, int]
) -> tuple[dict[str, float], list[Note]]:
    """How many times as fast those takes are to be said that are a little too long for their places, and what of that
    is worth a note; `word_ms` has the lengths of all words and of the numbers that are `taken`."""
    said_ms, tempos, notes = dict(word_ms), dict[str, float](), list[Note]()

    def fit(text: str, room: int | None) -> None:
        if room is None or word_ms[text] <= room:
            return
        long = _Long(text, taken[text], word_ms[text], room)
        if long.tempo <= MOST and can_tighten():
            tempos[text] = round(long.tempo + 0.00005, 4)
            # What comes after it has the time that it no longer takes.
            said_ms[text] = room
        notes.append(_note(long, text in tempos))

    written = {words.text for step in steps for words in (*step.entry, *step.words)}
    for text in (text for text in taken if text in written):
        fit(text, room_ms((text,), steps, said_ms, word_ms[text]))
    numbers = [text for text in taken if text not in written]
    # Numbers change nothing of how long anything is.
    made = shapes(measured(steps, said_ms), sound_ms) if numbers else ()
    for text in numbers:
        fit(text, number_room_ms(text, steps, made))
    return tempos, notes


def _note(long: _Long, is_tightened: bool) -> Note:
    room = f"its place has {seconds_text(long.room_ms)}"
    if is_tightened:
        return Note(long.place, f"“{long.text}” is said {(long.tempo - 1) * 100:.0f} % faster than recorded: {room}")
    lasts = f"your take of “{long.text}” lasts {seconds_text(long.length_ms)}, and {room}"
    if long.tempo <= MOST:
        return Note(long.place, f"{lasts}; to have it said a little faster: {INSTALL}")
    return Note(long.place, f"{lasts}: more than can be said faster ({(MOST - 1) * 100:.0f} %), so record it shorter")
