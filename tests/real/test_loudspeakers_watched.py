"""A loudspeaker that is kept going, in a sound server of our own: gone for long, made up, chosen by name, without pace.

Each way plays in a process of its own, which looks after it as a class does and says what there is to tell.
"""

import json
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest
from hall import PATIENCE_S, RATE_HZ, Hall, heard, opened_hall, until
from numpy.typing import NDArray

pytestmark = [pytest.mark.real, pytest.mark.paced]

OUTPUTS = ("miniaudio", "pipe", "sounddevice", "simpleaudio")

#: The sink is away for so long: in the full check for less than the minute that was measured by hand with each way.
GONE_S = float(os.environ.get("SINK_GONE_S", "4"))

#: What a device takes at once when it is back, before that is said.
MOST_S = 1.0

#: A machine that is busy, as a player sees it: so often the program stands still for so long, in sound and in silence.
STANDS_S, EVERY_S = 0.12, 0.77

#: A child that keeps one output going, with half a second of sound in each second of the class, and says whenever it is
#: lost, or there is something to tell: a line of JSON with how much was asked for.
KEPT = """
import json, sys, threading, time
import numpy as np
from guide.live.speakers.base import Wanted
from guide.live.speakers.reconnecting import ReconnectingSpeaker

pulled = 0

def pull(frames):
    global pulled
    sound = np.zeros((frames, 2), np.float32)
    sound[np.arange(pulled, pulled + frames) % 48000 < 24000] = 0.2
    pulled += frames
    return sound

over = threading.Event()
threading.Thread(target=lambda: (sys.stdin.readline(), over.set()), daemon=True).start()
speaker = ReconnectingSpeaker(Wanted(sys.argv[1], sys.argv[2], int(sys.argv[3])))
speaker.open()
speaker.source, lost, ends_s = pull, None, time.monotonic() + float(sys.argv[4])
while not over.wait(0.05) and time.monotonic() < ends_s:
    told = speaker.keep()
    if told or speaker.is_lost != lost:
        lost = speaker.is_lost
        print(json.dumps({"lost": lost, "told": told, "pulled": pulled}), flush=True)
speaker.stop()
"""

#: A child that tries to open an output again and again, says how often it did not, and stays.
FAILING = """
import sys
import numpy as np
from guide.live.speakers import opened
from guide.live.speakers.base import Wanted
from guide.problem import MachineTrouble

failed = 0
for _ in range(int(sys.argv[2])):
    try:
        opened(lambda frames: np.zeros((frames, 2), np.float32), Wanted(sys.argv[1])).stop()
    except MachineTrouble:
        failed += 1
print(failed, flush=True)
sys.stdin.readline()
"""


@pytest.fixture
def hall() -> Iterator[Hall]:
    with opened_hall() as opened:
        yield opened


@contextmanager
def child(code: str, hall: Hall, *arguments: str) -> Iterator["subprocess.Popen[str]"]:
    """A process that says lines until the block ends; it must end well and silently."""
    process = subprocess.Popen(
        [sys.executable, "-c", code, *arguments, str(PATIENCE_S + GONE_S)],
        env=hall.environment,
        text=True,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    try:
        yield process
        _, noise = process.communicate("stop\n", timeout=PATIENCE_S)
        assert (process.returncode, noise) == (0, "")
    finally:
        process.kill()
        process.wait()


def said(process: "subprocess.Popen[str]", is_lost: bool) -> dict[str, object]:
    """The next line in which the sound is lost, or is not."""
    assert process.stdout is not None
    while (line := json.loads(process.stdout.readline()))["lost"] is not is_lost:
        pass
    return dict(line)


def went_by_s(lost: dict[str, object], back: dict[str, object]) -> float:
    """How much of the class was asked for between two lines."""
    return (int(str(back["pulled"])) - int(str(lost["pulled"]))) / RATE_HZ


@pytest.mark.parametrize("name", OUTPUTS)
def test_a_sink_that_was_gone_for_long_is_played_into_again(name: str, hall: Hall) -> None:
    with child(KEPT, hall, name, "", "50") as process:
        said(process, is_lost=False)
        until(lambda: hall.streams() == 1, "it plays into the sink")
        before = hall.clients()
        hall.unload_sink()
        lost = said(process, is_lost=True)
        time.sleep(GONE_S)
        assert hall.clients() <= before + 1, "no connection is left behind by what did not open"
        hall.load_sink()
        back = said(process, is_lost=False)
    assert went_by_s(lost, back) < MOST_S


@pytest.mark.parametrize("name", OUTPUTS)
def test_a_loudspeaker_whose_sound_the_server_moves_to_none_is_gone_until_it_is_back(name: str, hall: Hall) -> None:
    hall.rescue_streams()
    with child(KEPT, hall, name, "", "50") as process:
        until(lambda: hall.streams() == 1, "it plays into the sink")
        said(process, is_lost=False)
        # Its place has to have been asked for once.
        time.sleep(1)
        hall.unload_sink()
        lost = said(process, is_lost=True)
        assert lost["told"] == "the loudspeaker is gone"
        time.sleep(GONE_S)
        hall.load_sink()
        back = said(process, is_lost=False)
        until(lambda: hall.sinks_played_into() == {"hall"}, "it plays into the sink again")
    assert went_by_s(lost, back) < MOST_S


@pytest.mark.parametrize(("name", "tries"), [("miniaudio", 70), ("pipe", 3), ("sounddevice", 5), ("simpleaudio", 5)])
def test_a_device_that_does_not_open_leaves_no_connection_behind(name: str, tries: int, hall: Hall) -> None:
    """PulseAudio has 64 of them, for all programs together."""
    before = hall.clients()
    hall.unload_sink()
    with child(FAILING, hall, name, str(tries)) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == f"{tries}\n"
        assert hall.clients() <= before + 1


def test_a_device_of_miniaudio_that_is_closed_leaves_no_connection_behind(hall: Hall) -> None:
    before = hall.clients()
    with child(FAILING, hall, "miniaudio", "5") as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "0\n"
        assert hall.clients() == before


@contextmanager
def standing_still(process: "subprocess.Popen[str]") -> Iterator[None]:
    """The program stands still again and again, while others go on, for as long as the block lasts."""
    over = threading.Event()

    def run() -> None:
        while not over.wait(EVERY_S - STANDS_S):
            process.send_signal(signal.SIGSTOP)
            over.wait(STANDS_S)
            process.send_signal(signal.SIGCONT)

    thread = threading.Thread(target=run)
    thread.start()
    try:
        yield
    finally:
        over.set()
        thread.join()


def breaks(sound: NDArray[np.float32]) -> int:
    """How often the sound breaks off and goes on before the half second of silence that belongs there is over."""
    loud = np.abs(sound).max(axis=1) > 0.1
    changes = np.flatnonzero(np.diff(loud.astype(np.int8)))
    silences = np.diff(changes)[~loud[changes[:-1] + 1]]
    return int(np.count_nonzero(silences < 0.45 * RATE_HZ))


@pytest.mark.parametrize("name", ["miniaudio", "pipe", "sounddevice"])
def test_a_wide_buffer_is_heard_through_where_a_narrow_one_runs_dry(name: str, hall: Hall, tmp_path: Path) -> None:
    heard_at: dict[str, int] = {}
    for width in ("50", "400"):
        path = tmp_path / f"{width}.raw"
        with child(KEPT, hall, name, "", width) as process:
            said(process, is_lost=False)
            with hall.recording(path), standing_still(process):
                begun = path.stat().st_size
                # Too short for it to be noticed, which takes two windows.
                until(lambda path=path, begun=begun: path.stat().st_size - begun > 5.5 * RATE_HZ * 4, "5 s are heard")
        heard_at[width] = breaks(heard(path))
    print(f"\n{name}: the sound breaks off {heard_at} times")
    assert heard_at["50"] >= 2
    assert heard_at["400"] == 0


@pytest.mark.parametrize("name", ["miniaudio", "pipe"])
def test_a_device_that_runs_dry_is_given_more_and_says_so(name: str, hall: Hall) -> None:
    with child(KEPT, hall, name, "", "50") as process:
        said(process, is_lost=False)
        with standing_still(process):
            while not (told := said(process, is_lost=False)["told"]):
                pass
    assert told == "the sound broke off: 150 ms are kept ahead from now on (--buffer 150)"


@pytest.mark.parametrize("name", ["miniaudio", "pipe"])
def test_a_loudspeaker_is_chosen_by_part_of_its_name(name: str, hall: Hall) -> None:
    hall.load_another_sink("Garden")
    with child(KEPT, hall, name, "gard", "50"):
        until(lambda: hall.streams() == 1, "it plays")
        assert hall.sinks_played_into() == {"Garden"}


def test_sounddevice_chooses_among_the_devices_of_alsa(hall: Hall) -> None:
    with child(KEPT, hall, "sounddevice", "pulse", "50"):
        until(lambda: hall.sinks_played_into() == {"hall"}, "it plays")


def test_a_loudspeaker_that_there_is_not_is_told_with_those_there_are(hall: Hall, tmp_path: Path) -> None:
    assert refused(tmp_path, hall.environment, "miniaudio", "--device", "cellar") == (
        "no sound: miniaudio finds no device with `cellar` in its name (there are `Null Output`); "
        "to go without a loudspeaker: --output silent\n"
    )


def test_a_class_is_not_led_over_a_device_that_takes_everything_at_once(hall: Hall, tmp_path: Path) -> None:
    conf = tmp_path / "null.conf"
    conf.write_text("pcm.!default { type null }\n", encoding="utf-8")
    # The pipe's paplay finds no server, and it goes on to aplay.
    alone = {**hall.environment, "PULSE_SERVER": f"unix:{tmp_path}/none", "ALSA_CONFIG_PATH": str(conf)}
    assert refused(tmp_path, alone, "pipe") == (
        "no sound: the device of pipe takes sound faster than it can be heard (choose another); "
        "to go without a loudspeaker: --output silent\n"
    )


@pytest.mark.parametrize("output", ["miniaudio", "pipe", "sounddevice", "simpleaudio"])
def test_a_class_is_led_with_the_most_kept_ahead_that_can_be_asked_for(output: str, hall: Hall, tmp_path: Path) -> None:
    done = play(tmp_path, hall.environment, output, "--buffer", "500", hold="1 breath")
    assert (done.returncode, done.stderr) == (0, "")


def refused(tmp_path: Path, environment: dict[str, str], output: str, *options: str) -> str:
    """What `guide play` says to standard error of a small class that it does not lead."""
    done = play(tmp_path, environment, output, *options)
    assert (done.returncode, done.stdout) == (1, "")
    return done.stderr


def play(
    tmp_path: Path, environment: dict[str, str], output: str, *options: str, hold: str = "9 breaths"
) -> "subprocess.CompletedProcess[str]":
    """A small class, led with a line for each step."""
    (tmp_path / "still.yaml").write_text(
        f"title: Still\nbells: {{class: none}}\nclass:\n  - pose: mountain\n    hold: {hold}\n    say: none\n",
        encoding="utf-8",
    )
    own = {"XDG_STATE_HOME": str(tmp_path / "own")}
    return subprocess.run(
        [sys.executable, "-m", "guide", "play", "still.yaml", "--plain", "--output", output, *options],
        cwd=tmp_path,
        env={**environment, **own},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=PATIENCE_S,
        check=False,
    )
