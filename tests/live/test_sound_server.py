"""What a sound server says of its loudspeakers, by a `pactl` that stands in for the system's."""

import shutil
from pathlib import Path

import numpy as np
import pytest
from pressing import LONGEST_S

from guide.live.device_errors import NoDevice
from guide.live.speakers import pipe_speaker
from guide.live.speakers.base import Wanted, chosen
from guide.live.speakers.pipe_speaker import PipeSpeaker
from guide.live.speakers.sound_server import ServerSink, sink_of, sinks

CAT = shutil.which("cat")

#: What pactl 16.1 says, shortened.
SINKS = """Sink #1
	State: RUNNING
	Name: alsa_output.usb
	Description: USB Audio für Übung
	Sample Specification: s16le 2ch 48000Hz
	Properties:
		device.description = "USB Audio für Übung"

Sink #7
	State: IDLE
	Name: auto_null
	Description: Dummy Output
"""
INPUTS = """Sink Input #18
	Driver: protocol-native.c
	Client: 22
	Sink: 1
	Properties:
		media.name = "a song"
		application.process.id = "4321"

Sink Input #19
	Driver: protocol-native.c
	Sink: 7
	Properties:
		application.process.id = "777"
"""


@pytest.fixture
def server(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of programs, the only one there is, with a `pactl` that says the above."""
    (tmp_path / "sinks").write_text(SINKS, encoding="utf-8")
    (tmp_path / "sink-inputs").write_text(INPUTS, encoding="utf-8")
    program(
        tmp_path, "pactl", f'while IFS= read -r line || [ "$line" ]; do printf "%s\\\\n" "$line"; done < {tmp_path}/$2'
    )
    monkeypatch.setenv("PATH", str(tmp_path))
    return tmp_path


def program(folder: Path, name: str, script: str) -> None:
    (folder / name).write_text(f"#!/bin/sh\n{script}\n", encoding="utf-8")
    (folder / name).chmod(0o755)


def test_the_loudspeakers_of_a_server_have_a_name_and_what_people_call_them(server: Path) -> None:
    assert sinks() == (ServerSink("alsa_output.usb", "USB Audio für Übung"), ServerSink("auto_null", "Dummy Output"))
    assert [place.is_dummy for place in sinks()] == [False, True]


def test_where_a_process_is_heard_is_told_by_its_streams(server: Path) -> None:
    heard, unheard = sink_of(4321), sink_of(777)
    assert heard is not None and heard.called == "USB Audio für Übung"
    assert unheard is not None and unheard.is_dummy
    assert sink_of(1) is None


def test_without_a_server_or_a_program_that_asks_it_nothing_is_known(server: Path) -> None:
    program(server, "pactl", "echo Connection failure >&2; exit 1")
    assert (sinks(), sink_of(4321)) == ((), None)
    (server / "pactl").unlink()
    assert (sinks(), sink_of(4321)) == ((), None)


def test_a_device_is_chosen_by_part_of_its_name_whatever_the_case() -> None:
    devices = ("hw:0", "plughw:0", "USB Audio")
    assert chosen("usb", devices, "it") == 2
    assert chosen("plug", devices, "it") == 1
    assert chosen("HW:0", devices, "it") == 0, "the whole name goes before part of another"


@pytest.mark.parametrize(
    ("part", "sentence"),
    [
        ("cellar", "it finds no device with `cellar` in its name (there are `hw:0`, `hw:1`)"),
        ("hw", "it finds more than one device with `hw` in its name (choose one of `hw:0`, `hw:1`)"),
    ],
)
def test_a_name_that_no_device_has_or_many_is_told_with_those_there_are(part: str, sentence: str) -> None:
    with pytest.raises(NoDevice) as caught:
        chosen(part, ("hw:0", "hw:1"), "it")
    assert str(caught.value) == sentence


def test_the_systems_player_is_told_the_device_and_how_much_is_kept_ahead(
    server: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    program(server, "paplay", f'echo "$@" > {server}/told; exec {CAT} > {server}/played')
    program(server, "aplay", "echo hw:CARD=Phones; echo '    what it is'; echo null")
    monkeypatch.setattr(pipe_speaker, "PATIENCE_S", LONGEST_S)
    output = PipeSpeaker()
    assert output.devices() == ("USB Audio für Übung", "Dummy Output", "hw:CARD=Phones")
    with pytest.raises(NoDevice, match="the system's player finds no device with `cellar` in its name"):
        output.start(lambda frames: None, Wanted(device="cellar"))
    output.start(lambda frames: np.zeros((frames, 2), np.float32), Wanted(device="usb", buffer_ms=150))
    output.stop()
    told = (server / "told").read_text(encoding="utf-8").split()
    assert told[0] == "--device=alsa_output.usb" and told[-1] == "--latency-msec=150"
