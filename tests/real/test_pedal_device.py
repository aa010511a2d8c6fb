"""A pedal of the kernel's own: made with uinput, plugged in and out, and read as any other.

The tests are there only where the kernel offers /dev/uinput to this person; a container seldom does, and what they
would show beyond `tests/live/test_devices.py` (the names, the grab, a real unplugging) can be had nowhere else.
"""

import os
import queue
from pathlib import Path

import pytest

NAME = "Practice guide test pedal"

if os.access("/dev/uinput", os.W_OK) and Path("/dev/input").is_dir():
    from evdev import UInput, ecodes

    from guide.live.devices.pedals import Pedal

    KEYS = {ecodes.EV_KEY: [ecodes.KEY_PAGEDOWN, ecodes.KEY_B]}

    @pytest.mark.real
    def test_a_real_pedal_is_read_and_waited_for() -> None:
        pressed = queue.Queue[str]()
        made = UInput(KEYS, name=NAME)
        pedal = Pedal("guide test pedal", retry_s=0.05)
        pedal.start(pressed.put)
        try:
            tap(made, ecodes.KEY_PAGEDOWN)
            assert pressed.get(timeout=120) == "page down"
            made.close()
            made = UInput(KEYS, name=NAME)
            # Until the pedal is open again what is pressed is nobody's.
            assert "b" in (tapped(made, pressed) for _ in range(100))
        finally:
            pedal.stop()
            made.close()

    def tapped(device: UInput, pressed: queue.Queue[str]) -> str:
        tap(device, ecodes.KEY_B)
        try:
            return pressed.get(timeout=0.1)
        except queue.Empty:
            return ""

    def tap(device: UInput, code: int) -> None:
        for value in (1, 2, 0):
            device.write(ecodes.EV_KEY, code, value)
            device.syn()
