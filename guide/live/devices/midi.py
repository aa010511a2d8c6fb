"""Orders by MIDI: a foot controller, a keyboard or a pad, read through mido.

Source: MIDI 1.0 Detailed Specification, "Channel Voice Messages" (from memory): a note on with velocity 0 is a note
off; a switch controller (64 to 69) is on from 64.
"""

from typing import Any

from guide.live.devices.base import Press
from guide.problem import MachineTrouble

#: A controller counts as pressed from this value on.
ON = 64


class Midi:
    """The port with `wanted` in its name. A pad is `note 60`, a switch `control 64`, a patch button `program 3`."""

    def __init__(self, wanted: str) -> None:
        self.name = wanted
        self._port: Any = None
        self._down: set[int] = set()

    def start(self, press: Press) -> None:
        try:
            import mido

            names = list(dict.fromkeys(mido.get_input_names()))
        except ImportError as error:
            missing = "mido or python-rtmidi is not installed (python -m pip install 'practice-guide[midi]')"
            raise MachineTrouble(missing) from error
        except Exception as error:  # The library for the ports has errors of its own for a system without MIDI.
            raise MachineTrouble(f"this machine has no MIDI ({error})") from error
        found = [name for name in names if self.name.casefold() in name.casefold()]
        if len(found) != 1:
            there = ", ".join(found or names) or "none"
            what = f"more than one MIDI port has `{self.name}` in its name" if found else f"no MIDI port `{self.name}`"
            raise MachineTrouble(f"{what} (there are {there})")
        try:
            self._port = mido.open_input(found[0], callback=lambda message: self._came(message, press))
        except Exception as error:
            raise MachineTrouble(f"{found[0]}: this MIDI port cannot be opened ({error})") from error

    def stop(self) -> None:
        if self._port is not None:
            self._port.close()
        self._port = None

    def _came(self, message: Any, press: Press) -> None:
        match message.type:
            case "note_on" if message.velocity:
                press(f"note {message.note}")
            case "program_change":
                press(f"program {message.program}")
            case "control_change":
                # A pedal sends many values on its way down.
                is_on, was_on = message.value >= ON, message.control in self._down
                (self._down.add if is_on else self._down.discard)(message.control)
                if is_on and not was_on:
                    press(f"control {message.control}")
