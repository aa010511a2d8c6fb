"""Makes the helpers of this folder importable, and gives a device of the test's own."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from live_device import Device

from guide.live import steady_clock
from guide.live.speakers import reconnecting as sounding_module


@pytest.fixture
def device(monkeypatch: pytest.MonkeyPatch) -> Device:
    """A device, and a clock that stands still unless the test moves it: a slow machine is no stall, and no sleep."""
    made = Device()
    monkeypatch.setattr(sounding_module, "opened", made.open)
    monkeypatch.setattr(sounding_module, "time", made.clock)
    monkeypatch.setattr(sounding_module.DeviceTiming, "is_too_fast", False)
    monkeypatch.setattr(steady_clock, "now_s", made.clock.now_s)
    return made
