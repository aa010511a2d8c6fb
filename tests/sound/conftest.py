"""Classes made for the ear of a test: timelines, clips and bells with nothing real in them."""

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from sound_samples import palette_of_shipped

from guide.sound.palette import Palette


@pytest.fixture(scope="session")
def shipped_palette() -> Palette:
    return palette_of_shipped()


@pytest.fixture
def own_sound(tmp_path: Path) -> Callable[..., Path]:
    """Writes a second of a dying tone with half a second of silence around it as a file."""
    import numpy as np
    import soundfile

    def write(name: str, rate_hz: int = 44_100, seconds: float = 1.0, channels: int = 2) -> Path:
        at_s = np.arange(int(seconds * rate_hz)) / rate_hz
        tone = 0.3 * np.sin(2 * np.pi * 500 * at_s) * 10 ** (-1.5 * at_s / seconds)
        silence = np.zeros(rate_hz // 2)
        whole = np.concatenate([silence, tone, silence])
        soundfile.write(tmp_path / name, np.stack([whole] * channels, axis=1), rate_hz)
        return tmp_path / name

    return write
