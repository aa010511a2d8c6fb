"""`guide record FILE`: line by line at the microphone, and the list of lines."""

import sys
from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from typing import TYPE_CHECKING

from guide.cli.class_argument import STDIN
from guide.cli.tell import tell
from guide.cli.under_way import pressed, said, show
from guide.problem import UnusableChoice
from guide.units import at_most, so_many

if TYPE_CHECKING:
    from guide.live.speakers.base import Wanted
    from guide.record.lines import ReadingLine
    from guide.voice.takes.store import Takes

#: What to do where no microphone opens.
INSTEAD = "record the whole script with something else, and cut it with --from"


@dataclass(frozen=True, slots=True)
class Ways:
    """The ways to her: the loudspeaker, lines or a screen, and what is pressed beside keys."""

    wanted: "Wanted"
    plain: bool
    pedal: str | None
    midi: str | None
    pins: tuple[int, ...]


def list_lines(lines: "Sequence[ReadingLine]", takes: "Takes") -> None:
    """Print every line with the name of its take, or with a sign that there is none."""
    section = None
    for number, line in enumerate(lines, start=1):
        if line.section != section:
            section = line.section
            tell(section or "At the beginning")
        take = takes.latest(line.words)
        room = f" ({at_most(line.room_ms)})" if line.room_ms is not None else ""
        tell(f"{'✓' if take else '·'} {number:>3}  {line.words}{room}{'' if take is None else f'  {take.path.name}'}")
    missing = sum(takes.latest(line.words) is None for line in lines)
    tell(f"{so_many(len(lines), 'line')}: {len(lines) - missing} recorded, {missing} not yet")


def record_lines(
    file: str, title: str, lines: "Sequence[ReadingLine]", takes: "Takes", flows: bool, ways: Ways
) -> None:
    """Record lines until all have a take, or until she ends it.

    Raises:
        UnusableChoice: there is nothing to record, no key can be pressed, or takes have no place beside the class.
        MachineTrouble: there is no microphone.
    """
    from guide.live.microphones.reconnecting import ReconnectingMicrophone
    from guide.live.speakers.reconnecting import ReconnectingSpeaker
    from guide.record.reading_line_view import ReadingLines
    from guide.record.record_keys import RecordKeys
    from guide.record.recording import Recording
    from guide.record.session import begun
    from guide.units import RATE_HZ

    _check(file, lines, flows, ways)
    kept = frozenset(line.key for line in lines if takes.latest(line.words) is not None)
    speaker = ReconnectingSpeaker(ways.wanted)
    recording = Recording(title, begun(lines, kept, flows), takes, speaker)
    microphone = ReconnectingMicrophone(recording.hear, rate_hz=RATE_HZ, instead=INSTEAD)
    keys = RecordKeys(recording.ask)
    with ExitStack() as closing:
        closing.callback(speaker.stop)
        microphone.open()
        closing.callback(microphone.stop)
        recording.listen(microphone)
        closing.enter_context(pressed(ways.pedal, ways.midi, ways.pins, keys))
        show(recording, keys, lambda typed: ReadingLines(said, typed, keys.typed), ways.plain)
    left = f"{recording.missing} left: guide record {file}" if recording.missing else "all recorded"
    tell(f"{so_many(len(lines) - recording.missing, 'line')} of {len(lines)} in {takes.folder}; {left}")


def _check(file: str, lines: "Sequence[ReadingLine]", flows: bool, ways: Ways) -> None:
    from guide.live.line_view import can_be_typed
    from guide.live.screen.process import can_draw, has_terminal
    from guide.sequence.shipped_folder import shipped_classes

    if file == STDIN:
        raise UnusableChoice("a class that is recorded needs a file of its own (takes lie beside it)")
    if file in map(str, shipped_classes().values()):
        raise UnusableChoice(f"{file} comes with the program (copy it first: guide new --from, and its name)")
    if not lines:
        raise UnusableChoice(f"{file}: this class says nothing (there is nothing to record)")
    has_keys = (not ways.plain and has_terminal() and can_draw()) or can_be_typed(sys.stdin)
    if not (has_keys or flows or ways.pedal or ways.midi or ways.pins):
        raise UnusableChoice("no key can be pressed here (record in a terminal, or name a pedal with --pedal)")
