"""Takes what is pressed on a device that is tested, and closes the device in the end."""

import errno
import os
import queue
from pathlib import Path
from typing import Any

from guide.live.devices.base import Device
from guide.live.devices.inputs import Input

#: How long a test waits for what has to come; it never has to.
LONGEST_S = 120


class Room:
    """Takes what is pressed, and opens the wires that it was given, one after the other."""

    def __init__(self, *wires: Any) -> None:
        self._wires = list(wires)
        self._pressed = queue.Queue[str]()
        self.opened: list[Path] = []
        self.device: Device | None = None

    def open(self, device: Input) -> Any:
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
