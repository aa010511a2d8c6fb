"""A push button between a pin of a Raspberry Pi and ground, through gpiozero."""

import shlex
import sys
import threading
import warnings
from enum import Enum
from typing import Any

from guide.live.devices.base import Press
from guide.problem import MachineTrouble

#: A change so soon after another is the contact's own trembling (common practice, no source).
TREMBLES_S = 0.05

#: A press so long is a long one.
LONG_S = 1.0


class _State(Enum):
    UP = "up"
    DOWN = "down"
    LONG = "long"


class Button:
    """The button at a pin (its GPIO number): `button 17` when it is let go, `button 17 long` once it was held for 1 s.

    A short press counts when it ends: until then it may become a long one, which asks for something else.
    """

    def __init__(self, pin: int, key: str = "button", *, long_s: float = LONG_S) -> None:
        self.name = f"{key} {pin}"
        self._pin = pin
        self._long_s = long_s
        self._button: Any = None
        self._lock = threading.Lock()
        self._state = _State.UP

    def start(self, press: Press) -> None:
        try:
            import gpiozero
        except ImportError as error:
            missing = "gpiozero is not installed (python -m pip install 'practice-guide[button]')"
            raise MachineTrouble(missing) from error
        try:
            with warnings.catch_warnings():
                # Of every library for the pins that is not here; what matters is in the error.
                warnings.simplefilter("ignore")
                button = gpiozero.Button(self._pin, bounce_time=TREMBLES_S, hold_time=self._long_s)
        except Exception as error:  # Each library for the pins has errors of its own.
            raise MachineTrouble(f"{self.name}: {_why(error)}") from error
        self._button, self._state = button, _State.UP
        button.when_pressed = lambda: self._became(_State.DOWN, press)
        button.when_held = lambda: self._became(_State.LONG, press)
        button.when_released = lambda: self._became(_State.UP, press)

    def stop(self) -> None:
        if self._button is not None:
            self._button.close()
        self._button = None

    def _became(self, state: _State, press: Press) -> None:
        """Take a change; the one that ends a press and the one that makes it long come from two threads."""
        with self._lock:
            before = self._state
            if state is _State.LONG and before is not _State.DOWN:
                return
            self._state = state
        if state is _State.LONG:
            press(f"{self.name} long")
        elif state is _State.UP and before is _State.DOWN:
            press(self.name)


def _library() -> str:
    """The line that brings the library for the pins to this Python.

    It is on PyPI for 64-bit systems and Python up to 3.12; the system has it for its own Python, into which a virtual
    environment does not look unless it is told to. (`venv` on a folder that is one leaves what is in it.)
    """
    line = "sudo apt install python3-lgpio"
    if sys.prefix != sys.base_prefix:
        line += f" && python3 -m venv --system-site-packages {shlex.quote(sys.prefix)}"
    return line


def _why(error: Exception) -> str:
    from gpiozero.exc import BadPinFactory, GPIOPinInUse, PinInvalidPin

    match error:
        case BadPinFactory():
            return f"this machine has no pins (it is no Raspberry Pi, or lacks a library: {_library()})"
        case PinInvalidPin():
            return "there is no such pin (write the GPIO number, such as 17)"
        case GPIOPinInUse():
            return "something else uses this pin"
    return f"this pin cannot be read ({error})"
