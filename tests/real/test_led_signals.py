"""A class that is disturbed: asked to end, left by its terminal, killed and gone on with, stopped and woken."""

import json
import signal
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from hall import RATE_HZ, Hall, heard, opened_hall, until
from led_class import SHORT, Led, led, own_state

from guide.live.player import LAST_FADE_FRAMES
from guide.live.record import Began, Ended

pytestmark = [pytest.mark.real, pytest.mark.paced]

#: A loudspeaker that is there again is played into within so much, above what starting a player takes on this machine.
BACK_S = 2.0


@pytest.fixture(scope="module")
def hall() -> Iterator[Hall]:
    with opened_hall() as opened:
        yield opened


@pytest.fixture
def file(tmp_path: Path) -> Path:
    made = tmp_path / "tiny.yaml"
    made.write_text(SHORT)
    return made


def begun(made: Led) -> list[tuple[str, str | None]]:
    return [(event.title, event.side) for event in made.events() if isinstance(event, Began)]


def loudness(sound: np.ndarray, ms: int = 20) -> np.ndarray:
    """The level of each `ms` of a recording."""
    size = RATE_HZ * ms // 1000
    whole = sound[: len(sound) // size * size, 0].reshape(-1, size)
    return np.sqrt(np.mean(whole**2, axis=1))


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT], ids=["terminate", "control-c"])
def test_asked_to_end_it_asks_nothing_and_fades(number: int, hall: Hall, file: Path, tmp_path: Path) -> None:
    recording = tmp_path / "hall.raw"
    environment = own_state(tmp_path, hall.environment)
    with hall.recording(recording), led(file, environment=environment, log=tmp_path / "log.jsonl") as made:
        made.wait_for("mountain")
        # The bell of the class rings.
        time.sleep(1.5)
        made.signal(number)
        assert made.ended() == 0
    assert made.lines[-1].endswith("(ended; its place is kept, for --resume)")
    assert isinstance(made.events()[-1], Ended)
    sound = heard(recording)
    levels = loudness(sound)
    last = int(np.flatnonzero(levels > 1e-4)[-1])
    fade = LAST_FADE_FRAMES // (RATE_HZ // 50)
    before, in_fade = levels[last - fade - 10 : last - fade].mean(), levels[last - fade // 4 : last].mean()
    assert before > 0.005, "nothing rang when the class was ended"
    assert in_fade < before / 2
    # No step: the bell itself moves by no more from one frame to the next.
    steps = np.abs(np.diff(sound[:, 0]))
    end = last * RATE_HZ // 50
    assert steps[end - LAST_FADE_FRAMES :].max() <= 1.5 * steps[: end - LAST_FADE_FRAMES].max()


def test_when_its_terminal_goes_the_class_goes_on_to_its_end(hall: Hall, file: Path, tmp_path: Path) -> None:
    environment = own_state(tmp_path, hall.environment)
    with led(file, environment=environment, log=tmp_path / "log.jsonl") as made:
        made.wait_for("mountain")
        made.signal(signal.SIGHUP)
        assert made.ended() == 0
    assert begun(made) == [("mountain", None), ("tree", "right"), ("tree", "left"), ("rest", None)]


def test_killed_it_goes_on_at_the_start_of_the_step_when_asked_to(hall: Hall, file: Path, tmp_path: Path) -> None:
    environment = own_state(tmp_path, hall.environment)
    with led(file, environment=environment, log=tmp_path / "log.jsonl") as made:
        made.wait_for("tree, right")
        folder = tmp_path / "state" / "practice-guide" / "under-way"
        # It is written at most once a second.
        until(
            lambda: any(json.loads(place.read_text())["step"] == 1 for place in folder.glob("*.json")),
            "the place is kept",
        )
        made.signal(signal.SIGKILL)
        assert made.ended() == -signal.SIGKILL
    with led(file, "--resume", environment=environment, log=tmp_path / "again.jsonl") as again:
        assert again.ended() == 0
    assert begun(again) == [("tree", "right"), ("tree", "left"), ("rest", None)]
    with led(file, "--resume", environment=environment, log=tmp_path / "third.jsonl") as third:
        assert third.ended() == 2
    assert "this class was not broken off" in third.lines[-1]


def test_stopped_for_as_long_as_a_sleep_it_wakes_paused(hall: Hall, file: Path, tmp_path: Path) -> None:
    environment = own_state(tmp_path, hall.environment)
    with led(file, environment=environment, log=tmp_path / "log.jsonl") as made:
        made.wait_for("mountain")
        made.signal(signal.SIGSTOP)
        time.sleep(6)
        made.signal(signal.SIGCONT)
        made.wait_for("the machine was asleep: paused")
        made.type(" ")
        made.wait_for("going on")
        assert made.ended() == 0
    assert begun(made) == [("mountain", None), ("tree", "right"), ("tree", "left"), ("rest", None)]


@pytest.mark.parametrize("output", ["miniaudio", "pipe", "sounddevice"])
def test_an_unplugged_loudspeaker_is_waited_for_and_the_class_goes_on_where_it_was(
    output: str, hall: Hall, file: Path, tmp_path: Path
) -> None:
    environment = own_state(tmp_path, hall.environment)
    with led(file, "--output", output, environment=environment, log=tmp_path / "log.jsonl") as made:
        made.wait_for("tree, right")
        hall.unload_sink()
        made.wait_for("the sound is gone; the class waits for it")
        time.sleep(3)
        hall.load_sink()
        # Since the sink takes sound.
        took_s = until(lambda: any("the sound is back" in line for line in made.lines), "the sound is back")
        assert took_s < BACK_S + hall.player_s()
        assert made.ended() == 0
    assert begun(made) == [("mountain", None), ("tree", "right"), ("tree", "left"), ("rest", None)]
    right, left = (event for event in made.events() if isinstance(event, Began) and event.title == "tree")
    late_ms = (left.real_ms - left.planned_ms) - (right.real_ms - right.planned_ms)
    assert late_ms > 3000, "the class did not wait"


def test_with_no_loudspeaker_at_all_it_says_so_before_anybody_stands_on_a_mat(file: Path, tmp_path: Path) -> None:
    nowhere = {"PULSE_SERVER": "unix:/nowhere", "PATH": "/usr/bin:/bin"}
    environment = own_state(tmp_path, nowhere)
    with led(file, environment=environment, log=tmp_path / "log.jsonl") as made:
        assert made.ended() == 1
    assert made.lines[0] == "no sound: no way to a loudspeaker opens"
    assert [line.split()[0] for line in made.lines[1:-1]] == ["miniaudio", "the", "sounddevice", "simpleaudio"]
    assert made.lines[-1] == "  to go without a loudspeaker: --output silent"
