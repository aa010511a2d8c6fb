"""What a sound server of Linux (PulseAudio or PipeWire) says of its loudspeakers, asked by its own `pactl`."""

import os
import re
import subprocess
from dataclasses import dataclass

#: What the server makes up when there is no loudspeaker, lest programs stop. Source: module-always-sink of PulseAudio;
#: PipeWire's fallback sink bears the same name.
DUMMY = "auto_null"

#: A server that has not answered by then is stuck.
ANSWERS_S = 2.0


@dataclass(frozen=True, slots=True)
class ServerSink:
    """A loudspeaker as the server has it: its name there, and what people call it."""

    name: str
    called: str

    @property
    def is_dummy(self) -> bool:
        """Whether nothing can be heard there."""
        return self.name == DUMMY


def sinks() -> tuple[ServerSink, ...]:
    """All loudspeakers of the server; none where there is no server, or nothing to ask it with."""
    return tuple(_sink(sink) for sink in _listed("sinks"))


def has_bluetooth() -> bool:
    """Whether a loudspeaker of the server is a Bluetooth one, many of which fall asleep in silence.

    Source: the names that module-bluez5-device of PulseAudio (`bluez_sink.…`) and PipeWire (`bluez_output.…`) give.
    """
    return any(sink.name.startswith("bluez_") for sink in sinks())


def sink_of(process: int) -> ServerSink | None:
    """Where the sound of a process is played; None where that cannot be told."""
    streams = [stream for stream in _listed("sink-inputs") if stream.get("application.process.id") == str(process)]
    if not streams:
        return None
    return next((_sink(sink) for sink in _listed("sinks") if sink["#"] == streams[-1].get("Sink")), None)


def _sink(sink: dict[str, str]) -> ServerSink:
    name = sink.get("Name", "")
    return ServerSink(name, sink.get("Description") or name)


def _listed(what: str) -> list[dict[str, str]]:
    """What `pactl list` says: each thing by its number as `#`, and by whatever else is said of it."""
    command, english = ["pactl", "list", what], {**os.environ, "LC_ALL": "C.UTF-8"}
    try:
        done = subprocess.run(
            command, env=english, stdin=subprocess.DEVNULL, capture_output=True, check=True, timeout=ANSWERS_S
        )
    except (OSError, subprocess.SubprocessError):
        return []
    found: list[dict[str, str]] = []
    for line in done.stdout.decode(errors="replace").splitlines():
        if head := re.fullmatch(r"\S.* #(\d+)", line):
            found.append({"#": head[1]})
        elif found and (fact := re.fullmatch(r'\t+([\w.-]+)(?:: | = ")(.*?)"?', line)):
            found[-1].setdefault(fact[1], fact[2])
    return found
