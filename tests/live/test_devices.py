"""Which devices there are, and buttons: each press is told once. gpiozero's button is held to its own mock pins."""

import os
import sys
from collections.abc import Iterator
from pathlib import Path

import gpiozero
import pytest
from gpiozero.pins.mock import MockFactory, MockPin
from pressing import LONGEST_S, Room

from guide.live.devices.button import Button
from guide.live.devices.inputs import Input, chosen, inputs
from guide.live.devices.pedals import Pedal
from guide.problem import MachineTrouble


@pytest.fixture
def rooms() -> Iterator[list[Room]]:
    made: list[Room] = []
    yield made
    for room in made:
        if room.device is not None:
            room.device.stop()


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
    room = button_of(rooms, Button(17, long_s=LONGEST_S))
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
    button = Button(17, long_s=LONGEST_S)
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


@pytest.mark.parametrize(
    ("prefix", "line"),
    [
        ("/usr", "sudo apt install python3-lgpio"),
        (
            "/home/ada/.venv",
            "sudo apt install python3-lgpio && python3 -m venv --system-site-packages /home/ada/.venv",
        ),
    ],
    ids=["the system's Python", "a virtual environment"],
)
def test_a_machine_without_pins_is_told(prefix: str, line: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "prefix", prefix)
    monkeypatch.setattr(sys, "base_prefix", "/usr")
    monkeypatch.setattr(gpiozero.Device, "pin_factory", None)
    monkeypatch.setenv("GPIOZERO_PIN_FACTORY", "none of these")
    with pytest.raises(MachineTrouble) as caught:
        Button(17).start(print)
    assert str(caught.value) == (
        f"button 17: this machine has no pins (it is no Raspberry Pi, or lacks a library: {line})"
    )


def test_without_its_library_a_button_is_told_what_to_type(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "gpiozero", None)
    with pytest.raises(MachineTrouble) as caught:
        Button(17).start(print)
    assert str(caught.value) == "gpiozero is not installed (python -m pip install 'practice-guide[button]')"
