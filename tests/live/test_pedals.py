"""Pedals and remotes as the kernel tells of them: each press counts once, whatever the device does.

Run where evdev is installed, which has to be built; no device is needed.
"""

import importlib
import threading
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from pressing import Room

from guide.live.devices.inputs import Input
from guide.live.devices.pedals import Pedal
from guide.live.key_file import entries, quoted
from guide.live.key_names import key_of_evdev
from guide.problem import MachineTrouble

pytestmark = pytest.mark.real

PEDAL = Input(Path("/dev/input/event3"), "Foot Switch Keyboard", has_keys=True, readable=True)


@pytest.fixture
def kernel() -> ModuleType:
    return importlib.import_module("pedal_wires")


@pytest.fixture
def rooms() -> Iterator[list[Room]]:
    made: list[Room] = []
    yield made
    for room in made:
        if room.device is not None:
            room.device.stop()


def pedal_of(rooms: list[Room], *wires: Any) -> Room:
    room = Room(*wires)
    rooms.append(room)
    room.start(Pedal("foot", found=lambda: (PEDAL,), opened=room.open, retry_s=0.01))
    return room


def test_a_press_is_told_once_however_long_the_pedal_is_held(rooms: list[Room], kernel: ModuleType) -> None:
    wire = kernel.Wire()
    room = pedal_of(rooms, wire)
    wire.send(kernel.ecodes.KEY_PAGEDOWN, 1, 2, 2, 2, 2, 0)
    wire.send(kernel.ecodes.KEY_PAGEDOWN, 1, 0)
    wire.send(kernel.ecodes.KEY_B, 1, 0)
    assert room.pressed(3) == ["page down", "page down", "b"]
    assert room.is_quiet()


def test_what_is_no_key_presses_nothing(rooms: list[Room], kernel: ModuleType) -> None:
    wire = kernel.Wire()
    room = pedal_of(rooms, wire)
    wire.send(kernel.ecodes.REL_X, 1, kind=kernel.ecodes.EV_REL)
    wire.send(4, 458792, 1, kind=kernel.ecodes.EV_MSC)
    wire.send(kernel.ecodes.KEY_SPACE, 1)
    assert room.pressed(1) == ["space"]
    assert room.is_quiet()


def test_keys_have_the_names_that_terminals_give_them(rooms: list[Room], kernel: ModuleType) -> None:
    wire = kernel.Wire()
    room = pedal_of(rooms, wire)
    for code in (
        kernel.ecodes.KEY_DOT,
        kernel.ecodes.KEY_KPENTER,
        kernel.ecodes.KEY_F5,
        kernel.ecodes.KEY_MUTE,
        kernel.ecodes.BTN_LEFT,
        0x2FF,
    ):
        wire.send(code, 1, 0)
    assert room.pressed(6) == [".", "enter", "f5", "mute", "mouse left", "key 767"]


def test_shift_makes_capitals_while_it_is_held(rooms: list[Room], kernel: ModuleType) -> None:
    wire = kernel.Wire()
    room = pedal_of(rooms, wire)
    wire.send(kernel.ecodes.KEY_RIGHTSHIFT, 1, 2)
    wire.send(kernel.ecodes.KEY_V, 1, 0)
    wire.send(kernel.ecodes.KEY_EQUAL, 1, 0)
    wire.send(kernel.ecodes.KEY_F5, 1, 0)
    wire.send(kernel.ecodes.KEY_RIGHTSHIFT, 0)
    wire.send(kernel.ecodes.KEY_V, 1, 0)
    assert room.pressed(5) == ["right shift", "V", "+", "f17", "v"]


def test_nobody_else_gets_its_keys_and_it_is_let_go_at_the_end(rooms: list[Room], kernel: ModuleType) -> None:
    wire = kernel.Wire()
    room = pedal_of(rooms, wire)
    assert wire.grabbed
    assert room.device is not None and room.device.name == "Foot Switch Keyboard"
    room.device.stop()
    room.device.stop()
    assert wire.closed


@pytest.mark.parametrize("how", ["Gone", "Wire"])
def test_a_pedal_that_goes_is_waited_for(rooms: list[Room], kernel: ModuleType, how: str) -> None:
    lost = getattr(kernel, how)()
    again = kernel.Wire()
    room = pedal_of(rooms, lost, again)
    lost.send(kernel.ecodes.KEY_A, 2)
    lost.unplug()
    again.send(kernel.ecodes.KEY_LEFT, 1)
    assert room.pressed(1) == ["left"]
    assert lost.closed and again.grabbed
    assert room.opened == [PEDAL.path] * 2


def test_a_pedal_that_does_not_come_back_is_not_waited_for_after_the_end(rooms: list[Room], kernel: ModuleType) -> None:
    lost = kernel.Wire()
    room = pedal_of(rooms, lost)
    lost.unplug()
    assert room.device is not None
    room.device.stop()
    assert lost.closed
    assert "pedal" not in {thread.name for thread in threading.enumerate()}


def test_a_pedal_that_another_program_has_is_told(kernel: ModuleType) -> None:
    wire = kernel.Taken()
    with pytest.raises(MachineTrouble, match="Foot Switch Keyboard: another program keeps this device to itself"):
        Pedal("foot", found=lambda: (PEDAL,), opened=lambda device: wire).start(print)
    assert wire.closed


def test_a_pedal_that_cannot_be_opened_is_told(kernel: ModuleType) -> None:
    """What is opened is opened by evdev: a device that is not there after all."""
    gone = Input(Path("/dev/input/event99999"), "Foot Switch", has_keys=True, readable=True)
    with pytest.raises(
        MachineTrouble, match=r"Foot Switch: this device cannot be opened \(No such file or directory\)"
    ):
        Pedal("foot", found=lambda: (gone,)).start(print)


def test_every_key_of_the_kernel_can_be_taught(kernel: ModuleType) -> None:
    """Source: the kernel's own names, as evdev has them."""
    names = {key_of_evdev(code) for code in kernel.ecodes.ecodes if code.startswith(("KEY_", "BTN_"))}
    assert len(names) > 500
    read = entries("".join(f"{quoted(name)}: next\n" for name in sorted(names)), "keys.yaml")
    assert {entry.key for entry in read} == names


def test_keys_of_the_kernel_that_share_a_name_are_the_same_key(kernel: ModuleType) -> None:
    """The signs and digits of a keypad, and what a player of music has twice."""
    named: dict[str, set[int]] = {}
    for name, code in kernel.ecodes.ecodes.items():
        if name.startswith(("KEY_", "BTN_")) and not name.endswith(("_MAX", "_CNT")):
            named.setdefault(key_of_evdev(name), set()).add(code)
    shared = {name for name, codes in named.items() if len(codes) > 1}
    assert shared == {*"0123456789-=,./*", "enter", "pause", "stop", "play"}
