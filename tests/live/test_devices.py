"""Pedals, remotes and buttons: each press is told once, whatever the device does.

No device is needed: evdev's own reading is fed through a pipe with what the kernel would write, and gpiozero's button
is held to its own mock pins.
"""

import errno
import os
import queue
import struct
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import gpiozero
import pytest
from evdev import InputEvent, ecodes
from evdev.eventio import EventIO
from gpiozero.pins.mock import MockFactory, MockPin

from guide.live.devices.base import Device
from guide.live.devices.button import Button
from guide.live.devices.inputs import Input, chosen, inputs
from guide.live.devices.pedals import Pedal
from guide.problem import MachineTrouble

#: How long a test waits for what has to come; it never has to.
LONGEST_S = 10

PEDAL = Input(Path("/dev/input/event3"), "Foot Switch Keyboard", has_keys=True, readable=True)


class Wire(EventIO):
    """An input device whose events the test writes; the reading is evdev's own."""

    def __init__(self) -> None:
        self.fd, self._other = os.pipe()
        self.grabbed = self.closed = False

    def send(self, code: int, *values: int, kind: int = ecodes.EV_KEY) -> None:
        """Write events as the kernel does. Source: struct input_event of linux/input.h."""
        for value in values:
            for event in ((kind, code, value), (ecodes.EV_SYN, ecodes.SYN_REPORT, 0)):
                os.write(self._other, struct.pack("@llHHi", 1, 0, *event))

    def unplug(self) -> None:
        os.close(self._other)

    def grab(self) -> None:
        self.grabbed = True

    def close(self) -> None:
        if not self.closed:
            os.close(self.fd)
        self.closed = True


class Gone(Wire):
    """A device that is gone as the kernel tells it."""

    def read(self) -> Iterator[InputEvent]:
        raise OSError(errno.ENODEV, os.strerror(errno.ENODEV))


class Taken(Wire):
    """A device that another program has grabbed."""

    def grab(self) -> None:
        raise OSError(errno.EBUSY, os.strerror(errno.EBUSY))


class Room:
    """Takes what is pressed, and opens the wires that it was given, one after the other."""

    def __init__(self, *wires: Wire) -> None:
        self._wires = list(wires)
        self._pressed = queue.Queue[str]()
        self.opened: list[Path] = []
        self.device: Device | None = None

    def open(self, device: Input) -> Wire:
        self.opened.append(device.path)
        if not self._wires:
            raise OSError(errno.ENOENT, os.strerror(errno.ENOENT))
        return self._wires.pop(0)

    def start(self, device: Device) -> None:
        self.device = device
        device.start(self._pressed.put)

    def pressed(self, count: int) -> list[str]:
        return [self._pressed.get(timeout=LONGEST_S) for _ in range(count)]

    def is_quiet(self) -> bool:
        return self._pressed.empty()


@pytest.fixture
def rooms() -> Iterator[list[Room]]:
    made: list[Room] = []
    yield made
    for room in made:
        if room.device is not None:
            room.device.stop()


def pedal_of(rooms: list[Room], *wires: Wire) -> Room:
    room = Room(*wires)
    rooms.append(room)
    room.start(Pedal("foot", found=lambda: (PEDAL,), opened=room.open, retry_s=0.01))
    return room


def test_a_press_is_told_once_however_long_the_pedal_is_held(rooms: list[Room]) -> None:
    wire = Wire()
    room = pedal_of(rooms, wire)
    wire.send(ecodes.KEY_PAGEDOWN, 1, 2, 2, 2, 2, 0)
    wire.send(ecodes.KEY_PAGEDOWN, 1, 0)
    wire.send(ecodes.KEY_B, 1, 0)
    assert room.pressed(3) == ["page down", "page down", "b"]
    assert room.is_quiet()


def test_what_is_no_key_presses_nothing(rooms: list[Room]) -> None:
    wire = Wire()
    room = pedal_of(rooms, wire)
    wire.send(ecodes.REL_X, 1, kind=ecodes.EV_REL)
    wire.send(4, 458792, 1, kind=ecodes.EV_MSC)
    wire.send(ecodes.KEY_SPACE, 1)
    assert room.pressed(1) == ["space"]
    assert room.is_quiet()


def test_keys_have_the_names_that_terminals_give_them(rooms: list[Room]) -> None:
    wire = Wire()
    room = pedal_of(rooms, wire)
    for code in (ecodes.KEY_DOT, ecodes.KEY_KPENTER, ecodes.KEY_F5, ecodes.KEY_MUTE, ecodes.BTN_LEFT, 0x2FF):
        wire.send(code, 1, 0)
    assert room.pressed(6) == [".", "enter", "f5", "mute", "mouse left", "key 767"]


def test_shift_makes_capitals_while_it_is_held(rooms: list[Room]) -> None:
    wire = Wire()
    room = pedal_of(rooms, wire)
    wire.send(ecodes.KEY_RIGHTSHIFT, 1, 2)
    wire.send(ecodes.KEY_V, 1, 0)
    wire.send(ecodes.KEY_EQUAL, 1, 0)
    wire.send(ecodes.KEY_F5, 1, 0)
    wire.send(ecodes.KEY_RIGHTSHIFT, 0)
    wire.send(ecodes.KEY_V, 1, 0)
    assert room.pressed(5) == ["right shift", "V", "+", "f17", "v"]


def test_nobody_else_gets_its_keys_and_it_is_let_go_at_the_end(rooms: list[Room]) -> None:
    wire = Wire()
    room = pedal_of(rooms, wire)
    assert wire.grabbed
    assert room.device is not None and room.device.name == "Foot Switch Keyboard"
    room.device.stop()
    room.device.stop()
    assert wire.closed


@pytest.mark.parametrize("lost", [Gone(), Wire()], ids=["no such device", "nothing more"])
def test_a_pedal_that_goes_is_waited_for(rooms: list[Room], lost: Wire) -> None:
    again = Wire()
    room = pedal_of(rooms, lost, again)
    lost.send(ecodes.KEY_A, 2)
    lost.unplug()
    again.send(ecodes.KEY_LEFT, 1)
    assert room.pressed(1) == ["left"]
    assert lost.closed and again.grabbed
    assert room.opened == [PEDAL.path] * 2


def test_a_pedal_that_does_not_come_back_is_not_waited_for_after_the_end(rooms: list[Room]) -> None:
    lost = Wire()
    room = pedal_of(rooms, lost)
    lost.unplug()
    assert room.device is not None
    room.device.stop()
    assert lost.closed
    assert "pedal" not in {thread.name for thread in threading.enumerate()}


def test_a_pedal_that_another_program_has_is_told() -> None:
    wire = Taken()
    with pytest.raises(MachineTrouble, match="Foot Switch Keyboard: another program keeps this device to itself"):
        Pedal("foot", found=lambda: (PEDAL,), opened=lambda device: wire).start(print)
    assert wire.closed


def test_a_pedal_that_cannot_be_opened_is_told() -> None:
    """What is opened is opened by evdev: a device that is not there after all."""
    gone = Input(Path("/dev/input/event99999"), "Foot Switch", has_keys=True, readable=True)
    with pytest.raises(
        MachineTrouble, match=r"Foot Switch: this device cannot be opened \(No such file or directory\)"
    ):
        Pedal("foot", found=lambda: (gone,)).start(print)


def test_without_its_library_a_pedal_is_told_what_to_type(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "evdev", None)
    with pytest.raises(MachineTrouble) as caught:
        Pedal("foot").start(print)
    assert str(caught.value) == (
        "evdev is not installed (python -m pip install 'practice-guide[pedal]'; Linux only, and first "
        "sudo apt install gcc linux-libc-dev python3-dev)"
    )


SEVERAL = (
    Input(Path("/dev/input/event0"), "Power Button", has_keys=True, readable=False),
    Input(Path("/dev/input/event2"), "Clicker", has_keys=True, readable=True),
    Input(Path("/dev/input/event3"), "Clicker Mouse", has_keys=True, readable=True),
    Input(Path("/dev/input/event4"), "Clicker Motion", has_keys=False, readable=True),
    Input(Path("/dev/input/event10"), "Foot Switch", has_keys=True, readable=True),
)


@pytest.mark.parametrize(
    ("wanted", "number"),
    [("foot", 10), ("FOOT SWITCH", 10), ("clicker", 2), ("mouse", 3), ("/dev/input/event4", 4)],
)
def test_a_device_goes_by_its_name_a_part_of_it_or_its_path(wanted: str, number: int) -> None:
    assert chosen(wanted, SEVERAL).path == Path(f"/dev/input/event{number}")


@pytest.mark.parametrize(
    ("wanted", "message"),
    [
        ("drum", "there is no device `drum` (there are Power Button, Clicker, Clicker Mouse, Foot Switch)"),
        (
            "click",
            "more than one device is called `click` "
            "(write the path of one: /dev/input/event2 Clicker, /dev/input/event3 Clicker Mouse)",
        ),
        ("power", "Power Button: this device may not be read (sudo usermod -aG input $USER, then log in again)"),
    ],
)
def test_a_device_that_is_not_one_is_told_with_those_there_are(wanted: str, message: str) -> None:
    with pytest.raises(MachineTrouble) as caught:
        chosen(wanted, SEVERAL)
    assert str(caught.value) == message


def test_where_nothing_is_plugged_in_that_is_said() -> None:
    with pytest.raises(MachineTrouble) as caught:
        chosen("foot", ())
    assert str(caught.value) == "there is no device `foot`: none is plugged in here (guide keys --devices)"


def test_devices_are_found_with_their_names_without_opening_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """How the kernel tells about its devices: from memory (capabilities as bits in hexadecimal words)."""
    devices, classes = tmp_path / "input", tmp_path / "class"
    for number, name, keys in ((10, "Foot Switch", "10000 0 7"), (2, "Motion", "0 0"), (3, "", "")):
        devices.mkdir(exist_ok=True)
        (devices / f"event{number}").write_text("")
        if name:
            (classes / f"event{number}" / "device" / "capabilities").mkdir(parents=True)
            (classes / f"event{number}" / "device" / "name").write_text(f"{name}\n")
            (classes / f"event{number}" / "device" / "capabilities" / "key").write_text(f"{keys}\n")
    (devices / "mice").write_text("")
    (devices / "eventual").write_text("")
    monkeypatch.setattr(os, "access", lambda path, mode: path.name != "event2")
    assert inputs(devices, classes) == (
        Input(devices / "event2", "Motion", has_keys=False, readable=False),
        Input(devices / "event3", "event3", has_keys=True, readable=True),
        Input(devices / "event10", "Foot Switch", has_keys=True, readable=True),
    )
    (tmp_path / "link").symlink_to(devices / "event10")
    assert chosen(str(tmp_path / "link"), inputs(devices, classes)).name == "Foot Switch"
    assert inputs(tmp_path / "none", classes) == ()


@pytest.fixture
def pins(monkeypatch: pytest.MonkeyPatch) -> Iterator[MockFactory]:
    factory = MockFactory()
    monkeypatch.setattr(gpiozero.Device, "pin_factory", factory)
    yield factory
    factory.reset()


def button_of(rooms: list[Room], button: Button) -> Room:
    room = Room()
    rooms.append(room)
    room.start(button)
    return room


def pin_of(pins: MockFactory, number: int) -> MockPin:
    pin: MockPin = pins.pin(number)
    return pin


def test_a_button_is_pressed_when_it_is_let_go(rooms: list[Room], pins: MockFactory) -> None:
    room = button_of(rooms, Button(17))
    pin = pin_of(pins, 17)
    pin.drive_low()
    assert room.is_quiet()
    pin.drive_high()
    assert room.pressed(1) == ["button 17"]
    pin.drive_low()
    pin.drive_high()
    assert room.pressed(1) == ["button 17"]
    assert room.is_quiet()


def test_a_button_held_is_a_long_press_and_no_short_one(rooms: list[Room], pins: MockFactory) -> None:
    room = button_of(rooms, Button(4, long_s=0.0))
    pin = pin_of(pins, 4)
    pin.drive_low()
    assert room.pressed(1) == ["button 4 long"]
    pin.drive_high()
    assert room.is_quiet()


def test_the_end_of_a_press_and_its_becoming_long_never_both_count(pins: MockFactory) -> None:
    """The two come from two threads; whichever is first counts, in whatever order they are told."""
    found: list[str] = []
    button = Button(17)
    button.start(found.append)
    held, released = button._button.when_held, button._button.when_released
    pin = pin_of(pins, 17)
    pin.drive_low()
    released()
    held()
    assert found == ["button 17"]
    button.stop()


def test_a_button_is_pulled_up_and_does_not_tremble(rooms: list[Room], pins: MockFactory) -> None:
    button_of(rooms, Button(17))
    assert pin_of(pins, 17).pull == "up"
    assert pin_of(pins, 17).bounce == 0.05


def test_a_button_that_was_closed_presses_nothing(pins: MockFactory) -> None:
    found: list[str] = []
    button = Button(17)
    button.start(found.append)
    button.stop()
    button.stop()
    pin = pin_of(pins, 17)
    pin.drive_low()
    pin.drive_high()
    assert found == []


@pytest.mark.parametrize("pin", [99, -1])
def test_a_pin_that_is_not_there_is_told(pin: int, pins: MockFactory) -> None:
    with pytest.raises(MachineTrouble) as caught:
        Button(pin).start(print)
    assert str(caught.value) == f"button {pin}: there is no such pin (write the GPIO number, such as 17)"


def test_a_pin_in_use_is_told(rooms: list[Room], pins: MockFactory) -> None:
    button_of(rooms, Button(17))
    with pytest.raises(MachineTrouble, match="button 17: something else uses this pin"):
        Button(17).start(print)


def test_a_machine_without_pins_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(gpiozero.Device, "pin_factory", None)
    monkeypatch.setenv("GPIOZERO_PIN_FACTORY", "none of these")
    with pytest.raises(MachineTrouble) as caught:
        Button(17).start(print)
    assert str(caught.value) == (
        "button 17: this machine has no pins "
        "(it is no Raspberry Pi, or lacks a library: sudo apt install python3-lgpio)"
    )


def test_without_its_library_a_button_is_told_what_to_type(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "gpiozero", None)
    with pytest.raises(MachineTrouble) as caught:
        Button(17).start(print)
    assert str(caught.value) == "gpiozero is not installed (python -m pip install 'practice-guide[button]')"
