"""`guide doctor` in a hall: the bells that it says it rings are heard, and a server that is stuck does not hold it."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hall import PATIENCE_S, RATE_HZ, heard, onsets, opened_hall

from guide.cli.doctor import BELLS

pytestmark = pytest.mark.real


def doctor(environment: dict[str, str]) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-m", "guide", "doctor"],
        env=environment,
        capture_output=True,
        text=True,
        timeout=5 * PATIENCE_S,
        check=False,
    )


# With nothing beside it: the doctor gives every way to a loudspeaker a few seconds, and no more, to take its bell.
@pytest.mark.alone
def test_the_doctor_rings_a_soft_bell_through_every_way(tmp_path: Path) -> None:
    path = tmp_path / "heard.raw"
    with opened_hall() as hall, hall.recording(path):
        done = doctor(hall.environment)
    print(f"\n{done.stdout}")
    assert (done.returncode, done.stderr) == (0, "")
    for name in BELLS:
        assert f"ok     {f'sound by {name}':<24}  plays (soft bell)\n" in done.stdout
    sound = heard(path)
    bells = onsets(sound, level=0.01, apart_ms=500)
    assert len(bells) == len(BELLS)
    # 16 bits and a sound server's own rounding: within a tenth of a decibel of what is promised.
    for begin in bells:
        peak = np.abs(sound[begin : begin + RATE_HZ]).max()
        assert 20 * np.log10(peak) == pytest.approx(-30, abs=0.1)


@pytest.mark.paced
def test_a_sound_server_that_is_stuck_does_not_hold_the_doctor() -> None:
    with opened_hall() as hall, hall.stuck():
        done = doctor(hall.environment)
    print(f"\n{done.stdout}")
    assert (done.returncode, done.stderr) == (0, "")
    assert "plays (soft bell)" not in done.stdout
    assert done.stdout.count("extra  sound by") == len(BELLS)
