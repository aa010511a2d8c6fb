"""Recording line by line, as a pure state machine: what is asked, heard and the clock go in, what is to be done comes
out. No sound, no microphone, no file."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum

from guide.record.lines import ReadingLine
from guide.units import seconds_text
from guide.voice.takes.measuring import TakeFault, TakeMeasures, verdicts
from guide.voice.takes.tightening import MOST

#: She is counted in from three, each of them so long.
COUNTED_FROM, COUNT_MS = 3, 700

#: In a flow a line has ended after so much silence, and the next one begins so soon after it was shown.
SILENCE_MS, TURNED_MS = 1100, 900

#: What is told where she is about to leave a take that is not kept.
UNKEPT = "this take is not kept yet: space keeps it, the same key again leaves it"

#: A line that goes on for so long has been forgotten.
LONGEST_MS = 90_000


class TakePhase(Enum):
    """What is going on with a line; the values are what is shown."""

    READY = "ready"
    COUNTING = "counting in"
    RECORDING = "recording"
    TAKEN = "recorded"
    PLAYING = "playing"
    DONE = "done"


class Ask(Enum):
    """What may be asked for while lines are recorded, as it is listed beside its key."""

    GO = "record, stop, keep"
    HEAR = "hear"
    AGAIN = "again"
    NEXT = "next"
    BACK = "back"
    FLOW = "flow"
    END = "end"


class Deed(Enum):
    """What is to be done outside: with the sound that comes in, the take that was recorded, or the loudspeaker."""

    BEGIN = "begin to keep the sound"
    STOP = "stop, and measure it"
    KEEP = "keep the take"
    PLAY = "play the take"
    HUSH = "play no more"


@dataclass(frozen=True, slots=True)
class Session:
    """The line under way by its number, what goes on with it, since when, and what is told of its take.

    `kept` are the keys of the lines that have takes; with `flows` a line ends by its silence, and the next one begins.
    The words of its take last `lasts_ms`, 0 where there are none.
    """

    lines: tuple[ReadingLine, ...]
    kept: frozenset[str]
    flows: bool = False
    at: int = 0
    phase: TakePhase = TakePhase.READY
    since_ms: int = 0
    told: tuple[str, ...] = ()
    lasts_ms: int = 0

    @property
    def line(self) -> ReadingLine:
        """The line under way."""
        return self.lines[self.at]

    @property
    def missing(self) -> int:
        """How many lines have no take yet."""
        return sum(line.key not in self.kept for line in self.lines)

    def counts(self, now_ms: int) -> int:
        """3, 2 or 1 while she is counted in; 0 at any other time."""
        if self.phase is not TakePhase.COUNTING:
            return 0
        return max(1, COUNTED_FROM - (now_ms - self.since_ms) // COUNT_MS)


Turn = tuple[Session, tuple[Deed, ...]]


def begun(lines: Sequence[ReadingLine], kept: frozenset[str], flows: bool = False) -> Session:
    """A session that goes on where the last one stopped: at the first line without a take.

    Raises ValueError where there are no lines.
    """
    if not lines:
        raise ValueError("a class that says nothing has no lines to record")
    first = next((number for number, line in enumerate(lines) if line.key not in kept), 0)
    return Session(tuple(lines), kept, flows, first)


def asked(session: Session, ask: Ask, now_ms: int) -> Turn:
    """What an order makes of a session."""
    has_take = session.phase in (TakePhase.TAKEN, TakePhase.PLAYING)
    match ask:
        case Ask.NEXT | Ask.BACK | Ask.END if has_take and UNKEPT not in session.told:
            return _in(replace(session, told=(UNKEPT, *session.told)), TakePhase.TAKEN, now_ms), (Deed.HUSH,)
        case Ask.GO:
            return _gone(session, now_ms)
        case Ask.HEAR if session.phase is TakePhase.TAKEN:
            return _in(session, TakePhase.PLAYING, now_ms), (Deed.PLAY,)
        case Ask.HEAR if session.phase is TakePhase.PLAYING:
            return _in(session, TakePhase.TAKEN, now_ms), (Deed.HUSH,)
        case Ask.AGAIN:
            return _counted_in(replace(session, told=()), now_ms)
        case Ask.NEXT | Ask.BACK:
            step = 1 if ask is Ask.NEXT else -1
            moved = replace(session, at=(session.at + step) % len(session.lines), told=())
            return _in(moved, TakePhase.READY, now_ms), (Deed.HUSH,)
        case Ask.FLOW:
            return replace(session, flows=not session.flows), ()
        case Ask.END:
            return _in(session, TakePhase.DONE, now_ms), (Deed.HUSH,)
    return session, ()


def ticked(session: Session, now_ms: int, quiet_ms: int | None) -> Turn:
    """What time makes of a session; `quiet_ms` is how long nobody has spoken after words, None before any."""
    gone_ms = now_ms - session.since_ms
    if session.phase is TakePhase.COUNTING and gone_ms >= COUNTED_FROM * COUNT_MS:
        return _in(session, TakePhase.RECORDING, now_ms), (Deed.BEGIN,)
    if session.phase is TakePhase.RECORDING:
        is_over = session.flows and quiet_ms is not None and quiet_ms >= SILENCE_MS
        return (session, (Deed.STOP,)) if is_over or gone_ms >= LONGEST_MS else (session, ())
    return session, ()


def played(session: Session, now_ms: int) -> Session:
    """The take has been heard to its end."""
    return _in(session, TakePhase.TAKEN, now_ms) if session.phase is TakePhase.PLAYING else session


def stopped(session: Session, measures: TakeMeasures, now_ms: int) -> Turn:
    """The take was measured: in a flow one that can be used is kept, and the next line recorded at once."""
    told = (*map(str, verdicts(measures)), *_lasts_too_long(session.line, measures))
    taken = replace(_in(session, TakePhase.TAKEN, now_ms), told=told, lasts_ms=measures.lasts_ms)
    return _kept(taken, now_ms) if session.flows and is_usable(session.line, measures) else (taken, ())


def is_usable(line: ReadingLine, measures: TakeMeasures) -> bool:
    """Whether a take can stay as it is: there are words in it, none is cut off, and they fit into their place."""
    found = {verdict.fault for verdict in verdicts(measures)}
    return not found & {TakeFault.SILENT, TakeFault.LOUD} and not _lasts_too_long(line, measures)


def _lasts_too_long(line: ReadingLine, measures: TakeMeasures) -> tuple[str, ...]:
    """What to say of words that last longer than their tightest place allows, however they are tightened."""
    if line.room_ms is None or measures.lasts_ms <= line.room_ms * MOST:
        return ()
    lasts, room = seconds_text(measures.lasts_ms), seconds_text(line.room_ms)
    return (f"too long: {lasts}, and its place has {room} (say it quicker)",)


def _gone(session: Session, now_ms: int) -> Turn:
    """The one key that does all: record, stop, keep and go on."""
    match session.phase:
        case TakePhase.READY:
            return _counted_in(session, now_ms)
        case TakePhase.COUNTING:
            return _in(session, TakePhase.READY, now_ms), ()
        case TakePhase.RECORDING:
            return session, (Deed.STOP,)
        case TakePhase.TAKEN | TakePhase.PLAYING:
            return _kept(session, now_ms)
        case _:
            return session, ()


def _counted_in(session: Session, now_ms: int) -> Turn:
    return _in(session, TakePhase.COUNTING, now_ms), (Deed.HUSH,)


def _kept(session: Session, now_ms: int) -> Turn:
    """The take is kept, and the next line without one comes; after the last it is over."""
    kept = session.kept | {session.line.key}
    ahead = [*range(session.at + 1, len(session.lines)), *range(session.at)]
    after = next((number for number in ahead if session.lines[number].key not in kept), None)
    if after is None:
        over = replace(session, kept=kept, told=("all lines are recorded",))
        return _in(over, TakePhase.DONE, now_ms), (Deed.HUSH, Deed.KEEP)
    told = session.told if session.flows else ()
    on = replace(session, kept=kept, at=after, told=told)
    if not session.flows:
        return _in(on, TakePhase.READY, now_ms), (Deed.HUSH, Deed.KEEP)
    # The last of the count is time enough to read the first words.
    return _in(on, TakePhase.COUNTING, now_ms - COUNTED_FROM * COUNT_MS + TURNED_MS), (Deed.HUSH, Deed.KEEP)


def _in(session: Session, phase: TakePhase, now_ms: int) -> Session:
    return replace(session, phase=phase, since_ms=now_ms)
