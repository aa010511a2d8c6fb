"""A hall to play into: a PulseAudio of our own with a null sink, which can be recorded, taken away and given back.

The null sink takes sound at the speed of a sound card and its monitor holds every sample of it, so that what a
recording says about time is said by the sink's own clock. Nothing of the machine's own sound is touched.

    with opened_hall() as hall, hall.recording(path):
        subprocess.run([...], env=hall.environment)
    sound = heard(path)
"""

import os
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

RATE_HZ = 48_000

#: What has to be there, and the line that brings it.
PROGRAMS = ("pulseaudio", "pactl", "paplay", "parec")
MEND = "sudo apt install pulseaudio pulseaudio-utils libasound2-plugins"

#: Nothing waits longer than this, however slow and busy the machine is: a guard against what hangs, and no promise.
PATIENCE_S = 120.0

_NAME = "hall"
_SINK = ("module-null-sink", f"sink_name={_NAME}", f"rate={RATE_HZ}", "channels=2")
_RAW = ("--raw", "--format=s16le", f"--rate={RATE_HZ}", "--channels=2")


@dataclass(slots=True)
class Hall:
    """A sound server of our own, its files in `folder`. `environment` is for every process that shall play into it."""

    folder: Path
    _server: "subprocess.Popen[bytes] | None" = field(default=None, repr=False)

    @property
    def environment(self) -> dict[str, str]:
        """The environment of this process, with this hall for its sound."""
        run = str(self.folder / "run")
        own = {"PULSE_SERVER": f"unix:{run}/sock", "PULSE_STATE_PATH": run, "PULSE_RUNTIME_PATH": run}
        return {**os.environ, **own, "XDG_RUNTIME_DIR": run}

    def start_server(self) -> None:
        """Start the sound server and its sink; it returns when both take sound."""
        (self.folder / "run").mkdir(mode=0o700, exist_ok=True)
        unix = f"module-native-protocol-unix socket={self.folder}/run/sock auth-anonymous=1"
        command = ["pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1", "-L", unix, "-L", " ".join(_SINK)]
        own = {**self.environment, "HOME": str(self.folder)}
        with (self.folder / "server.log").open("ab") as log:
            self._server = subprocess.Popen(command, env=own, stdin=subprocess.DEVNULL, stdout=log, stderr=log)
        until(lambda: self._asked("info").returncode == 0, "the sound server answers")
        self.warm()

    def stop_server(self) -> None:
        """Take the sound server away, sink and all, as a crash of it would."""
        if self._server is not None:
            self._server.send_signal(signal.SIGKILL)
            self._server.wait()
            self._server = None
        # What a crash leaves behind keeps the next one from starting.
        for left in ("sock", "pid"):
            (self.folder / "run" / left).unlink(missing_ok=True)

    @contextmanager
    def stuck(self) -> Iterator[None]:
        """The server there and not answering, for as long as the block lasts."""
        assert self._server is not None
        self._server.send_signal(signal.SIGSTOP)
        try:
            yield
        finally:
            self._server.send_signal(signal.SIGCONT)

    def unload_sink(self) -> None:
        """Take the sink away while the server goes on: the loudspeaker is unplugged."""
        self._done("unload-module", _SINK[0])

    def load_sink(self) -> None:
        """Give the sink back; it returns when the sink takes sound, about 2 s later (see `warm`)."""
        self._done("load-module", *_SINK)
        self.warm()

    def warm(self) -> None:
        """Play a little silence to its end: a new null sink takes nothing for 2 s, which no loudspeaker does."""
        silence = bytes(RATE_HZ // 5 * 4)
        subprocess.run(["paplay", *_RAW], input=silence, env=self.environment, check=True, timeout=PATIENCE_S)

    def player_s(self) -> float:
        """How long this machine takes just now to start a player and have a little silence played, in seconds."""
        began_s = time.monotonic()
        self.warm()
        return time.monotonic() - began_s

    def streams(self) -> int:
        """How many streams play into the sink just now."""
        return len(self._asked("list", "short", "sink-inputs").stdout.splitlines())

    def clients(self) -> int:
        """How many programs have a connection to the server just now, the one that asks left out."""
        listed = self._asked("list", "short", "clients").stdout.splitlines()
        return len([line for line in listed if "pactl" not in line])

    def rescue_streams(self) -> None:
        """From now on do as on a desktop: without a sink make up one, and move to it what is left without."""
        self._done("load-module", "module-rescue-streams")
        self._done("load-module", "module-always-sink")

    def load_another_sink(self, name: str) -> None:
        """Give it one more sink, which is not the usual one."""
        self._done("load-module", "module-null-sink", f"sink_name={name}", f"sink_properties=device.description={name}")

    def sinks_played_into(self) -> set[str]:
        """The names of the sinks that a stream plays into just now."""
        streams = self._asked("list", "short", "sink-inputs").stdout.splitlines()
        names = dict(line.split("\t")[:2] for line in self._asked("list", "short", "sinks").stdout.splitlines())
        return {names[stream.split("\t")[1]] for stream in streams}

    @contextmanager
    def recording(self, path: Path) -> Iterator[None]:
        """Record what the sink plays into `path` (see `heard`), from before this returns until the block ends.

        It ends by itself with the sink; a sink given back needs a recording of its own.
        """
        command = ["parec", "-d", f"{_NAME}.monitor", "--latency-msec=20", *_RAW]
        with path.open("wb") as file:
            recorder = subprocess.Popen(command, stdout=file, stderr=subprocess.DEVNULL, env=self.environment)
            try:
                until(lambda: path.stat().st_size > 0, "the recording begins")
                yield
                # What was played last is still on its way to the file.
                grown = path.stat().st_size + RATE_HZ // 5 * 4
                until(lambda: path.stat().st_size >= grown or recorder.poll() is not None, "the recording goes on")
            finally:
                recorder.terminate()
                recorder.wait()

    def _asked(self, *arguments: str) -> "subprocess.CompletedProcess[str]":
        return subprocess.run(
            ["pactl", *arguments],
            env={**self.environment, "LC_ALL": "C"},
            capture_output=True,
            text=True,
            check=False,
            timeout=PATIENCE_S,
        )

    def _done(self, *arguments: str) -> None:
        asked = self._asked(*arguments)
        assert asked.returncode == 0, f"pactl {' '.join(arguments)}: {asked.stderr}"


@contextmanager
def opened_hall() -> Iterator[Hall]:
    """A hall, warmed, for as long as the block lasts. Skips the test where there is no PulseAudio, but in CI fails."""
    need(*PROGRAMS, mend=MEND)
    # A folder of the system's own: the path of a socket may have 107 characters and no more.
    with tempfile.TemporaryDirectory(prefix="hall") as folder:
        hall = Hall(Path(folder))
        try:
            hall.start_server()
            yield hall
        finally:
            hall.stop_server()


def need(*programs: str, mend: str) -> None:
    """Skip the test where a program is missing, saying what brings it; in CI, where nothing may be missing, fail."""
    missing = [program for program in programs if shutil.which(program) is None]
    if not missing:
        return
    told = f"{', '.join(missing)} not here: {mend}"
    if os.environ.get("CI"):
        pytest.fail(told)
    pytest.skip(told)


def until(holds: Callable[[], bool], what: str, patience_s: float = PATIENCE_S) -> float:
    """Wait until something holds; gives how long that took, in seconds. Fails, naming it, when it takes too long."""
    began_s = time.monotonic()
    while not holds():
        assert time.monotonic() - began_s < patience_s, f"not within {patience_s:g} s: {what}"
        time.sleep(0.01)
    return time.monotonic() - began_s


def heard(path: Path) -> NDArray[np.float32]:
    """A recording: shape (frames, 2), from -1 to 1, at 48 kHz by the sink's clock."""
    raw = path.read_bytes()
    whole = np.frombuffer(raw[: len(raw) // 4 * 4], "<i2").astype(np.float32) / 32768
    return whole.reshape(-1, 2)


def onsets(sound: NDArray[np.float32], level: float = 0.1, apart_ms: int = 100) -> NDArray[np.int64]:
    """The frames at which something louder than `level` begins after `apart_ms` of less."""
    loud = np.flatnonzero(np.abs(sound).max(axis=1) > level)
    if not loud.size:
        return loud
    first = np.diff(loud, prepend=-RATE_HZ) > apart_ms * RATE_HZ // 1000
    return loud[first]
