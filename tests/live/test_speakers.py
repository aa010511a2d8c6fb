"""The ways to a loudspeaker without one: what is tried, what is said when there is nothing, and what is kept unsaid."""

import importlib
import os
import subprocess
import sys
import threading
from pathlib import Path

import numpy as np
import pytest
from pressing import LONGEST_S

from guide.live.device_errors import NoDevice
from guide.live.quiet_stderr import quiet_stderr
from guide.live.speakers import SPEAKERS, TRIED, opened, pipe_speaker, simpleaudio_speaker
from guide.live.speakers.base import SWALLOWED_FRAMES, Pull, Wanted, after_silence
from guide.live.speakers.pipe_speaker import PipeSpeaker, as_16_bit
from guide.live.speakers.silent_speaker import PIECE_FRAMES, SilentSpeaker
from guide.live.speakers.simpleaudio_speaker import AHEAD_FRAMES, SimpleaudioSpeaker
from guide.live.speakers.sound_server import ServerSink
from guide.problem import MachineTrouble, UnusableChoice


def silence(frames: int) -> np.ndarray:
    return np.zeros((frames, 2), np.float32)


def test_every_output_goes_by_its_name_and_silence_is_only_had_by_asking() -> None:
    assert all(made().name == name for name, made in SPEAKERS.items())
    assert TRIED == ("miniaudio", "pipe", "sounddevice", "simpleaudio")
    assert set(TRIED) == set(SPEAKERS) - {"silent"}


def test_an_unknown_output_is_told_with_those_there_are() -> None:
    names = "miniaudio, pipe, sounddevice, simpleaudio, silent"
    with pytest.raises(UnusableChoice, match=rf"there is no output `loud` \(there are {names}\)"):
        opened(silence, Wanted("loud"))


def test_no_sound_at_all_is_told_with_every_way_tried_and_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in TRIED:

        def none(self: object, pull: object, wanted: object, name: str = name) -> None:
            raise NoDevice(f"{name} is not there", f"get {name}")

        monkeypatch.setattr(SPEAKERS[name], "start", none)
    with pytest.raises(MachineTrouble) as caught:
        opened(silence)
    assert str(caught.value) == (
        "no sound: no way to a loudspeaker opens\n"
        "  miniaudio is not there (get miniaudio)\n"
        "  pipe is not there (get pipe)\n"
        "  sounddevice is not there (get sounddevice)\n"
        "  simpleaudio is not there (get simpleaudio)\n"
        "  to go without a loudspeaker: --output silent"
    )
    with pytest.raises(MachineTrouble) as caught:
        opened(silence, Wanted("pipe"))
    assert str(caught.value) == ("no sound: pipe is not there (get pipe); to go without a loudspeaker: --output silent")


def test_the_first_that_opens_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    def none(self: object, pull: object, wanted: object) -> None:
        raise NoDevice("none", "get one")

    tried = []
    for name in ("miniaudio", "pipe"):
        monkeypatch.setattr(SPEAKERS[name], "start", none)
    for name in ("sounddevice", "simpleaudio"):
        monkeypatch.setattr(SPEAKERS[name], "start", lambda self, pull, wanted: tried.append(self.name))
    assert opened(silence).name == "sounddevice"
    assert tried == ["sounddevice"]


class Taking:
    """A device that takes so many frames in a piece, without waiting for any of it, and plays at a place."""

    name = "sounddevice"
    latency_ms, widens, alive = 0, False, True

    def __init__(self, pieces: int, place: ServerSink | None = None) -> None:
        self._pieces, self._place = pieces, place
        self.heard: list[np.ndarray] = []
        self.is_stopped = False

    def start(self, pull: Pull, wanted: Wanted) -> None:
        self.pull = pull
        self.heard = [pull(4800) for _ in range(self._pieces)]

    def devices(self) -> tuple[str, ...]:
        return ()

    def sink(self) -> ServerSink | None:
        return self._place

    def stop(self) -> None:
        self.is_stopped = True


def ones(frames: int) -> np.ndarray:
    return np.ones((frames, 2), np.float32)


def by(output: Taking, monkeypatch: pytest.MonkeyPatch) -> Wanted:
    """What asks for that output, and for no other."""
    monkeypatch.setattr("guide.live.speakers.SPEAKERS", {**SPEAKERS, output.name: lambda: output})
    return Wanted(output.name)


def test_a_device_that_keeps_no_time_is_refused_before_it_takes_any_of_the_class(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    output = Taking(16)
    with pytest.raises(MachineTrouble) as caught:
        opened(ones, by(output, monkeypatch))
    assert str(caught.value) == (
        "no sound: the device of sounddevice takes sound faster than it can be heard (choose another); "
        "to go without a loudspeaker: --output silent"
    )
    assert output.is_stopped and not np.concatenate(output.heard).any()


def test_a_device_that_keeps_no_time_is_refused_however_slowly_it_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    output = Taking(0)
    over = threading.Event()

    def take() -> None:
        # Half a second of sound in a tenth of one, as on a machine that hardly lets it run.
        while not over.wait(0.1):
            output.heard.append(output.pull(24_000))

    def start(pull: Pull, wanted: Wanted) -> None:
        output.pull = pull
        threading.Thread(target=take, daemon=True).start()

    monkeypatch.setattr(output, "start", start)
    monkeypatch.setattr(output, "stop", over.set)
    with pytest.raises(MachineTrouble, match="takes sound faster than it can be heard"):
        opened(ones, by(output, monkeypatch))
    assert not np.concatenate(output.heard).any()


def test_a_server_that_has_only_made_up_a_loudspeaker_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    output = Taking(3, ServerSink("auto_null", "Dummy Output"))
    with pytest.raises(MachineTrouble, match="sounddevice finds a sound server that has no loudspeaker"):
        opened(ones, by(output, monkeypatch))
    assert output.is_stopped and not np.concatenate(output.heard).any()


def test_a_device_that_is_heard_takes_the_class_from_then_on(monkeypatch: pytest.MonkeyPatch) -> None:
    output = Taking(3, ServerSink("usb", "USB Audio"))
    assert opened(ones, by(output, monkeypatch)) is output
    assert not np.concatenate(output.heard).any()
    assert output.pull(3).all() and not output.is_stopped


def test_simpleaudio_says_that_it_cannot_choose() -> None:
    with pytest.raises(NoDevice, match=r"simpleaudio cannot choose a device \(take another --output"):
        SimpleaudioSpeaker().start(silence, Wanted(device="usb"))


def test_a_system_without_a_player_is_told_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pipe_speaker.shutil, "which", lambda program: None)
    with pytest.raises(NoDevice, match=r"none of paplay, pw-cat, aplay is here \(sudo apt install"):
        PipeSpeaker().start(silence)


@pytest.fixture
def players(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of players that stand in for the system's; `sh` is in it too."""
    shell = next(folder for folder in os.environ["PATH"].split(os.pathsep) if (Path(folder) / "cat").exists())
    monkeypatch.setenv("PATH", f"{tmp_path}{os.pathsep}{shell}")
    return tmp_path


def player(folder: Path, name: str, script: str) -> None:
    (folder / name).write_text(f"#!/bin/sh\n{script}\n", encoding="utf-8")
    (folder / name).chmod(0o755)


def test_a_player_that_takes_nothing_is_passed_over(players: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pipe_speaker, "PATIENCE_S", 0.3)
    for name in pipe_speaker.PLAYERS:
        player(players, name, "exec sleep 600")
    with pytest.raises(NoDevice):
        PipeSpeaker().start(silence)


def test_a_player_that_ends_is_passed_over(players: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pipe_speaker, "PATIENCE_S", LONGEST_S)
    player(players, "paplay", "echo Connection refused >&2; exit 1")
    player(players, "pw-cat", "exit 1")
    player(players, "aplay", f"exec cat > {players}/played")
    pulled = threading.Event()
    ones = iter(range(1, 100_000))

    def pull(frames: int) -> np.ndarray:
        if next(ones) > 20:
            pulled.set()
        return np.full((frames, 2), 1.0, np.float32)

    output = PipeSpeaker()
    output.start(pull)
    assert pulled.wait(LONGEST_S) and output.alive
    output.stop()
    assert not output.alive
    played = np.frombuffer((players / "played").read_bytes(), "<i2")
    first = int(np.flatnonzero(played)[0])
    assert first * 2 == pipe_speaker.PROOF_PIPES * pipe_speaker.PIPE_BYTES
    assert (played[first:] == 32767).all()


def test_players_that_all_end_are_told_by_their_names(players: Path) -> None:
    for name in pipe_speaker.PLAYERS:
        player(players, name, "exit 1")
    with pytest.raises(NoDevice) as caught:
        PipeSpeaker().start(silence)
    assert str(caught.value) == (
        "the system's player (paplay, pw-cat, aplay) finds no device (connect a loudspeaker and switch it on)"
    )


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("miniaudio", "miniaudio is not installed (python -m pip install miniaudio)"),
        ("sounddevice", "sounddevice is not installed (python -m pip install 'practice-guide[sounddevice]')"),
        (
            "simpleaudio",
            "simpleaudio is not installed "
            "(sudo apt install gcc libasound2-dev && python -m pip install 'practice-guide[play]')",
        ),
    ],
)
def test_a_library_that_is_missing_is_told_with_the_line_that_brings_it(
    name: str, sentence: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(simpleaudio_speaker, "LAST_PYTHON", sys.version_info[:2])
    monkeypatch.setitem(sys.modules, name, None)
    with pytest.raises(NoDevice) as caught:
        SPEAKERS[name]().start(silence)
    assert str(caught.value) == sentence


def test_sounddevice_without_portaudio_is_told_what_to_install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # What the library itself raises there.
    (tmp_path / "sounddevice.py").write_text("raise OSError('PortAudio library not found')\n", encoding="utf-8")
    monkeypatch.syspath_prepend(tmp_path)
    monkeypatch.delitem(sys.modules, "sounddevice", raising=False)
    importlib.invalidate_caches()
    with pytest.raises(NoDevice) as caught:
        SPEAKERS["sounddevice"]().start(silence)
    assert str(caught.value) == "sounddevice lacks PortAudio (sudo apt install libportaudio2)"


def test_simpleaudio_is_not_even_loaded_where_it_would_end_the_program(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(simpleaudio_speaker, "LAST_PYTHON", (3, 10))
    monkeypatch.delitem(sys.modules, "simpleaudio", raising=False)
    with pytest.raises(NoDevice) as caught:
        SimpleaudioSpeaker().start(silence)
    assert str(caught.value) == ("simpleaudio ends the program on this Python (it works with Python 3.10 and before)")
    assert "simpleaudio" not in sys.modules


class Playing:
    """A buffer under way, as simpleaudio has it."""

    def __init__(self) -> None:
        self.is_on = True

    def is_playing(self) -> bool:
        return self.is_on

    def stop(self) -> None:
        self.is_on = False


def reel(frames: int = 480_000, began_s: float = 0.0) -> simpleaudio_speaker._Reel:
    return simpleaudio_speaker._Reel(np.zeros((frames, 2), np.int16), Playing(), began_s)


def test_a_reel_is_written_ahead_of_where_it_is_read() -> None:
    here = reel()
    assert here.due(0.0) == here.written == AHEAD_FRAMES
    assert here.due(1.5) == AHEAD_FRAMES + 72_000


def test_after_a_while_of_nothing_a_reel_goes_on_later_and_jumps_over_nothing_else() -> None:
    here = reel()
    here.catch_up(0.25)
    assert here.written == AHEAD_FRAMES
    here.catch_up(1.0)
    assert here.written == here.due(1.0) - simpleaudio_speaker.PIECE_FRAMES


def test_a_reel_ends_when_it_is_full_or_in_a_silence_once_it_is_ripe(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(simpleaudio_speaker, "RIPE_FRAMES", 96_000)
    here = reel()
    here.write(silence(76_000))
    assert here.quiet == 76_000 and not here.is_ending
    here.write(silence(1000))
    assert here.is_ending
    here.write(np.full((100, 2), 0.5, np.float32))
    assert here.quiet == 0 and not here.is_ending
    here.write(np.full((480_000 - simpleaudio_speaker.LEFT_FRAMES - here.written, 2), 0.5, np.float32))
    assert not here.is_ending
    here.write(np.full((1, 2), 0.5, np.float32))
    assert here.is_ending


def test_one_reel_takes_over_from_another_at_the_same_moment_without_a_step(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(simpleaudio_speaker.time, "monotonic", lambda: 5.0)
    old, new = reel(began_s=1.0), reel(began_s=5.0 - 0.01)
    old.written = old.due(5.0) + 240
    simpleaudio_speaker._hand_over(old, new, np.full((480, 2), 0.5, np.float32))
    falling, rising = old.sound[old.written - 480 : old.written, 0], new.sound[new.written - 480 : new.written, 0]
    assert old.written == old.due(5.0) + 720 and new.written == new.due(5.0) + 720
    together = falling.astype(int) + rising
    assert together.min() >= 16_382 and together.max() <= 16_385
    assert falling[0] == rising[-1] == 16_384 and falling[-1] == rising[0] == 0


def test_the_silent_output_pulls_until_it_is_stopped() -> None:
    pulled = threading.Event()

    def pull(frames: int) -> np.ndarray:
        assert frames == PIECE_FRAMES
        pulled.set()
        return silence(frames)

    output = SilentSpeaker()
    output.start(pull)
    assert pulled.wait(LONGEST_S) and output.alive
    output.stop()
    assert not output.alive


def test_a_stream_begins_with_silence_so_that_no_sound_is_swallowed() -> None:
    numbers = np.arange(1, 20_001, dtype=np.float32)
    given = 0

    def pull(frames: int) -> np.ndarray:
        nonlocal given
        given += frames
        return np.repeat(numbers[given - frames : given], 2).reshape(-1, 2)

    begun = after_silence(pull)
    blocks = [begun(frames) for frames in (1000, 1000, 1000, 7, 1)]
    assert [len(block) for block in blocks] == [1000, 1000, 1000, 7, 1]
    sound = np.concatenate(blocks)
    assert sound.dtype == np.float32 and not sound[:SWALLOWED_FRAMES].any()
    assert np.array_equal(sound[SWALLOWED_FRAMES:, 0], numbers[:given])


def test_sound_becomes_numbers_of_sixteen_bits() -> None:
    assert as_16_bit(np.array([[0.0, 1.0], [-1.0, 2.0]], np.float32)).tolist() == [[0, 32767], [-32767, 32767]]


NOISE = """
import ctypes, os, subprocess, sys
from guide.live import quiet_stderr as module
if sys.argv[1] == "elsewhere":
    module._libraries_are_hushed = lambda: False

def lament():
    library = ctypes.CDLL(None)
    library.fputs(b"from a library\\n", ctypes.c_void_p.in_dll(library, "stderr"))

with module.quiet_stderr(), module.quiet_stderr():
    lament()
if sys.argv[1] == "gnu":
    lament()
print("from the program", file=sys.stderr)
subprocess.run(["sh", "-c", "echo from another program >&2"])
"""


@pytest.mark.skipif(not hasattr(os, "confstr"), reason="a system without the C library of GNU")
@pytest.mark.parametrize("system", ["gnu", "elsewhere"])
def test_what_a_library_says_by_itself_is_not_heard_and_all_else_is(
    system: str, capfd: pytest.CaptureFixture[str]
) -> None:
    subprocess.run([sys.executable, "-c", NOISE, system], check=True)
    assert capfd.readouterr().err == "from the program\nfrom another program\n"


def test_an_error_passes_through_what_keeps_the_noise_out() -> None:
    with pytest.raises(KeyError), quiet_stderr():
        raise KeyError
