"""Every way to a loudspeaker, played into a sound server whose loudspeaker is recorded, taken away and given back.

Each output plays in a process of its own, as it would in a class. What is heard is measured by the sink's own clock.
"""

import fcntl
import os
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from hall import PATIENCE_S, RATE_HZ, Hall, heard, need, onsets, opened_hall, until
from numpy.typing import NDArray
from sleeper import sleeping

pytestmark = [pytest.mark.real, pytest.mark.paced]

OUTPUTS = ("miniaudio", "pipe", "sounddevice", "simpleaudio")

#: The distance between two clicks is off by less than this. Measured for each of them: 0.000 ms, where two cores have
#: no more to do than that; with a dozen programs fighting for them the pipe has gaps of up to 31 ms, and more.
SPACING_MS = 5.0

#: A loudspeaker that is there again is played into within so much, above what starting a player takes on this machine.
BACK_S = 2.0

#: Where one reel of simpleaudio takes over from another: both start within 20 ms of each other against the steady
#: clock. Measured: 1 ms in most runs.
REEL_SPACING_MS = 25.0

#: A child that plays a click a second through one output. It does as its standard input says: `stop` ends it, and it
#: tells when the sound is lost (by what the output says, or by no pull for 1 s) and when it is back.
CHILD = """
import sys, threading, time
import numpy as np
from guide.live.speakers import SPEAKERS, simpleaudio_speaker
from guide.problem import MachineTrouble

name, reel_s = sys.argv[1], float(sys.argv[2])
if reel_s:
    simpleaudio_speaker.REEL_FRAMES = int(reel_s * 48000)
pulled, pulled_s = 0, time.monotonic()

def pull(frames):
    global pulled, pulled_s
    sound = np.zeros((frames, 2), np.float32)
    sound[(-pulled) % 48000 :: 48000] = 0.5
    pulled, pulled_s = pulled + frames, time.monotonic()
    return sound

over = threading.Event()
threading.Thread(target=lambda: (sys.stdin.readline(), over.set()), daemon=True).start()
output = SPEAKERS[name]()
try:
    output.start(pull)
except MachineTrouble as trouble:
    print(trouble, flush=True)
    sys.exit(1)
print("playing", flush=True)
pulled_s = time.monotonic() + 3
while not over.wait(0.02):
    if not output.alive or time.monotonic() - pulled_s > 1:
        print("lost", flush=True)
        output.stop()
        while not over.wait(0.2):
            output, before = SPEAKERS[name](), pulled
            try:
                output.start(pull)
            except MachineTrouble:
                continue
            while pulled == before and not over.wait(0.02):
                pass
            print("back", flush=True)
            break
output.stop()
print(pulled, flush=True)
"""


@dataclass(slots=True)
class Child:
    """A process that plays; `pulled_frames` is how much its output took in all, once it has ended."""

    process: "subprocess.Popen[str]"
    pulled_frames: int = 0

    def said(self) -> str:
        """The next line that it says."""
        assert self.process.stdout is not None
        return self.process.stdout.readline().strip()


@pytest.fixture(scope="module")
def hall() -> Iterator[Hall]:
    with opened_hall() as opened:
        yield opened


@contextmanager
def playing(name: str, environment: dict[str, str], reel_s: float = 0) -> Iterator[Child]:
    """A child that plays clicks, from when its output is open until the block ends; it must end well and silently."""
    process = subprocess.Popen(
        [sys.executable, "-c", CHILD, name, str(reel_s)],
        env=environment,
        text=True,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    child = Child(process)
    try:
        assert child.said() == "playing"
        yield child
        rest, noise = process.communicate("stop\n", timeout=PATIENCE_S)
        assert (process.returncode, noise) == (0, "")
        child.pulled_frames = int(rest.split()[-1])
    finally:
        process.kill()
        process.wait()


def off_ms(clicks: NDArray[np.int64]) -> NDArray[np.float64]:
    """How far each distance between two clicks is from a second, in ms."""
    return np.abs(np.diff(clicks) - RATE_HZ) * 1000 / RATE_HZ


@pytest.mark.parametrize("name", OUTPUTS)
def test_every_click_is_heard_and_in_time(name: str, hall: Hall, tmp_path: Path) -> None:
    path = tmp_path / "heard.raw"
    with sleeping() as sleeper, hall.recording(path), playing(name, hall.environment) as child:
        begun = path.stat().st_size
        until(lambda: path.stat().st_size - begun > 12.5 * RATE_HZ * 4, "12 s are heard")
    sound = heard(path)
    clicks = onsets(sound)
    print(f"\n{name}: {len(clicks)} clicks, spacing off by {off_ms(clicks).max():.3f} ms at most")
    # The first frame pulled is a click, and one that was pulled in the last half second may not have been heard.
    pulled = -(-child.pulled_frames // RATE_HZ)
    assert pulled >= len(clicks) >= max(12, -(-(child.pulled_frames - RATE_HZ // 2) // RATE_HZ))
    assert off_ms(clicks).max() < sleeper.bound(SPACING_MS)
    assert np.count_nonzero(np.abs(sound[:, 0]) > 0.001) == len(clicks), "a click is one frame, as it was pulled"


def test_simpleaudio_goes_from_reel_to_reel_without_losing_a_click(hall: Hall, tmp_path: Path) -> None:
    path = tmp_path / "heard.raw"
    with sleeping() as sleeper, hall.recording(path), playing("simpleaudio", hall.environment, reel_s=5.4):
        begun = path.stat().st_size
        until(lambda: path.stat().st_size - begun > 20.5 * RATE_HZ * 4, "20 s are heard")
    clicks = onsets(heard(path))
    print(f"\nsimpleaudio, reels of 5.4 s: {len(clicks)} clicks, spacing off by {np.round(off_ms(clicks), 2)} ms")
    assert len(clicks) >= 20
    assert off_ms(clicks).max() < sleeper.bound(REEL_SPACING_MS)


@pytest.mark.parametrize("name", OUTPUTS)
def test_a_loudspeaker_that_goes_is_noticed_and_one_that_comes_back_is_played_into(
    name: str, hall: Hall, tmp_path: Path
) -> None:
    path = tmp_path / "heard.raw"
    with sleeping() as sleeper, playing(name, hall.environment) as child:
        until(lambda: hall.streams() == 1, "it plays into the sink")
        hall.unload_sink()
        try:
            assert child.said() == "lost"
        finally:
            hall.load_sink()
        began_s = time.monotonic()
        assert child.said() == "back"
        back_s = time.monotonic() - began_s
        with hall.recording(path):
            begun = path.stat().st_size
            until(lambda: path.stat().st_size - begun > 3.5 * RATE_HZ * 4, "3 s are heard")
    print(f"\n{name}: plays {back_s:.2f} s after the sink takes sound")
    assert back_s < BACK_S + hall.player_s()
    clicks = onsets(heard(path))
    assert len(clicks) >= 3
    assert off_ms(clicks).max() < sleeper.bound(SPACING_MS)


@pytest.mark.parametrize("name", OUTPUTS)
def test_a_sound_server_that_is_started_again_is_played_into(name: str, hall: Hall, tmp_path: Path) -> None:
    path = tmp_path / "heard.raw"
    with playing(name, hall.environment) as child:
        until(lambda: hall.streams() == 1, "it plays into the sink")
        hall.stop_server()
        try:
            assert child.said() == "lost"
        finally:
            hall.start_server()
        began_s = time.monotonic()
        assert child.said() == "back"
        back_s = time.monotonic() - began_s
        with hall.recording(path):
            begun = path.stat().st_size
            until(lambda: path.stat().st_size - begun > 2.5 * RATE_HZ * 4, "2 s are heard")
    print(f"\n{name}: plays {back_s:.2f} s after the server takes sound")
    assert back_s < BACK_S + hall.player_s()
    assert len(onsets(heard(path))) >= 2


def has_a_sound_card() -> bool:
    return any(Path("/dev/snd").glob("pcm*p"))


#: A child that finds no device, is told that there is one now, and plays.
EARLY = """
import sys, threading
import numpy as np
from guide.live.speakers import SPEAKERS
from guide.problem import MachineTrouble

pulled = threading.Event()

def pull(frames):
    pulled.set()
    return np.zeros((frames, 2), np.float32)

output = SPEAKERS[sys.argv[1]]()
try:
    output.start(pull)
except MachineTrouble as trouble:
    print(trouble, flush=True)
sys.stdin.readline()
output.start(pull)
print("plays" if pulled.wait(60) else "takes nothing", flush=True)
output.stop()
"""


@pytest.mark.parametrize("name", OUTPUTS)
def test_a_device_that_was_not_there_at_first_is_found_later(name: str, hall: Hall) -> None:
    """A library may keep the list of devices that it made when it was loaded."""
    if has_a_sound_card():
        pytest.skip("this machine has a sound card of its own")
    hall.stop_server()
    try:
        child = subprocess.Popen(
            [sys.executable, "-c", EARLY, name],
            env=hall.environment,
            text=True,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )
        assert child.stdout is not None
        assert "finds no device (connect a loudspeaker" in child.stdout.readline()
    finally:
        hall.start_server()
    assert child.communicate("now\n", timeout=PATIENCE_S) == ("plays\n", "")
    assert child.returncode == 0


@pytest.fixture
def nothing(tmp_path: Path) -> dict[str, str]:
    """The environment of a machine without a sound server; what ALSA finds there is a sound card, or nothing."""
    return {**os.environ, "PULSE_SERVER": f"unix:{tmp_path}/none"}


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("miniaudio", "miniaudio finds no device (connect a loudspeaker and switch it on)"),
        ("pipe", "the system's player (paplay, aplay) finds no device (connect a loudspeaker and switch it on)"),
        ("sounddevice", "sounddevice finds no device (connect a loudspeaker and switch it on)"),
        ("simpleaudio", "simpleaudio finds no device (connect a loudspeaker and switch it on)"),
    ],
)
def test_where_there_is_no_device_one_sentence_says_so_and_nothing_else_is_said(
    name: str, sentence: str, nothing: dict[str, str], tmp_path: Path
) -> None:
    if has_a_sound_card():
        pytest.skip("this machine has a sound card of its own")
    done = subprocess.run(
        [sys.executable, "-c", CHILD, name, "0"],
        env={**nothing, "PATH": str(players(tmp_path, "paplay", "aplay"))},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=PATIENCE_S,
        check=False,
    )
    assert (done.stdout, done.stderr) == (f"{sentence}\n", "")
    assert done.returncode == 1


def players(tmp_path: Path, *names: str) -> Path:
    """A folder that holds these players of the system and no others."""
    need(*names, mend="sudo apt install pulseaudio-utils alsa-utils")
    folder = tmp_path / "bin"
    folder.mkdir()
    for name in names:
        (folder / name).symlink_to(str(shutil.which(name)))
    return folder


#: ALSA's file device. By itself it has no pace; written into a narrow pipe that is read at the pace of sound, it has.
INTO_A_FILE = """
pcm.!default {{
    type file
    slave.pcm {{ type null }}
    format raw
    file "{path}"
}}
"""


@contextmanager
def paced_pipe(path: Path) -> Iterator[list[bytes]]:
    """A named pipe whose reader takes sound as fast as a sound card plays it; gives what it has taken."""
    os.mkfifo(path)
    reading = os.open(path, os.O_RDONLY | os.O_NONBLOCK)
    fcntl.fcntl(reading, fcntl.F_SETPIPE_SZ, 4096)
    taken: list[bytes] = []
    over = threading.Event()

    def take() -> None:
        size, began_s = 0, time.monotonic()
        while not over.wait(0.005):
            due = int((time.monotonic() - began_s) * RATE_HZ) * 4
            try:
                piece = os.read(reading, max(0, due - size))
            except BlockingIOError:
                piece = b""
            taken.append(piece)
            size += len(piece)
            if not piece:
                # Nobody writes, or not enough: a sound card does not make up for that.
                began_s = time.monotonic() - size / 4 / RATE_HZ

    reader = threading.Thread(target=take, daemon=True)
    reader.start()
    try:
        yield taken
    finally:
        over.set()
        reader.join()
        os.close(reading)


@pytest.mark.parametrize("name", ["pipe", "simpleaudio"])
def test_alsa_by_itself_is_played_into(name: str, nothing: dict[str, str], tmp_path: Path) -> None:
    """Without a sound server: the pipe's paplay finds none, and it goes on to aplay."""
    fifo, path, conf = tmp_path / "device", tmp_path / "heard.raw", tmp_path / "file.conf"
    conf.write_text(INTO_A_FILE.format(path=fifo), encoding="utf-8")
    only = {"ALSA_CONFIG_PATH": str(conf), "PATH": str(players(tmp_path, "paplay", "aplay"))}
    with sleeping() as sleeper, paced_pipe(fifo) as taken, playing(name, {**nothing, **only}):
        until(lambda: sum(map(len, taken)) > 5.2 * RATE_HZ * 4, "5 s are heard")
    path.write_bytes(b"".join(taken))
    clicks = onsets(heard(path))
    print(f"\n{name} on ALSA alone: {len(clicks)} clicks, spacing off by {off_ms(clicks).max():.3f} ms at most")
    assert len(clicks) >= 5
    assert off_ms(clicks).max() < sleeper.bound(SPACING_MS)


@pytest.mark.parametrize("name", ["pipe", "simpleaudio"])
def test_a_device_that_takes_everything_at_once_opens(name: str, nothing: dict[str, str], tmp_path: Path) -> None:
    """ALSA's null device, which has no pace: enough to see that it is found, opened and closed."""
    conf = tmp_path / "null.conf"
    conf.write_text("pcm.!default { type null }\n", encoding="utf-8")
    only = {"ALSA_CONFIG_PATH": str(conf), "PATH": str(players(tmp_path, "paplay", "aplay"))}
    with playing(name, {**nothing, **only}):
        pass
