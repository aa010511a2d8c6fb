"""Orders by MIDI: real messages of mido, from the bytes that the standard gives them, through a port of the test's own.

Source: MIDI 1.0 Detailed Specification, "Channel Voice Messages" (from memory): 9n note on, 8n note off, Bn control
change, Cn program change; a note on with velocity 0 is a note off.
"""

import sys
from collections.abc import Callable

import mido
import pytest

from guide.live.devices.midi import Midi
from guide.problem import MachineTrouble


class Port:
    """A port whose bytes the test sends."""

    def __init__(self, callback: Callable[[mido.Message], None]) -> None:
        self.callback, self.is_closed = callback, False

    def sends(self, *raw: int) -> None:
        self.callback(mido.Message.from_bytes(list(raw)))

    def close(self) -> None:
        self.is_closed = True


@pytest.fixture
def ports(monkeypatch: pytest.MonkeyPatch) -> list[Port]:
    opened: list[Port] = []

    def open_input(name: str, callback: Callable[[mido.Message], None]) -> Port:
        assert name == "Foot Board MIDI 1"
        opened.append(Port(callback))
        return opened[-1]

    monkeypatch.setattr(mido, "get_input_names", lambda: ["Through 0", "Foot Board MIDI 1", "Foot Board MIDI 1"])
    monkeypatch.setattr(mido, "open_input", open_input)
    return opened


def test_notes_switches_and_programs_are_pressed_once_each(ports: list[Port]) -> None:
    pressed: list[str] = []
    board = Midi("foot")
    board.start(pressed.append)
    (port,) = ports
    for raw in ((0x90, 60, 100), (0x90, 60, 0), (0x80, 60, 64), (0xC0, 3), (0xF8,)):
        port.sends(*raw)
    for value in (0, 30, 64, 90, 127, 60, 0, 127):
        port.sends(0xB0, 64, value)
    assert pressed == ["note 60", "program 3", "control 64", "control 64"]
    board.stop()
    board.stop()
    assert port.is_closed


@pytest.mark.parametrize(
    ("wanted", "told"),
    [
        ("drum", "no MIDI port `drum` (there are Through 0, Foot Board MIDI 1)"),
        ("o", "more than one MIDI port has `o` in its name (there are Through 0, Foot Board MIDI 1)"),
    ],
)
def test_a_port_that_is_not_there_is_told_with_those_there_are(ports: list[Port], wanted: str, told: str) -> None:
    with pytest.raises(MachineTrouble) as caught:
        Midi(wanted).start(print)
    assert str(caught.value) == told and not ports


def test_without_its_library_it_is_told_what_to_type(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "mido", None)
    with pytest.raises(MachineTrouble, match=r"python -m pip install 'practice-guide\[midi\]'"):
        Midi("foot").start(print)


def test_a_system_without_midi_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken() -> list[str]:
        raise RuntimeError("no sequencer here")

    monkeypatch.setattr(mido, "get_input_names", broken)
    with pytest.raises(MachineTrouble, match=r"this machine has no MIDI \(no sequencer here\)"):
        Midi("foot").start(print)
