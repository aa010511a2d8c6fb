"""A class being led by the program itself, in a process of its own, with a terminal that the test types into."""

import os
import pty
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from hall import PATIENCE_S, until

from guide.live.record import Event, read

#: A class of half a minute with few words.
SHORT = """title: Tiny
pace: {inhale: 2 s, exhale: 2 s}
bells: {class: start, section: none}
class:
  - pose: mountain
    hold: 1 breath
    say: none
  - both sides:
      - pose: tree
        hold: 1 to 2 breaths
        say: none
  - rest: 3 s
"""


def own_state(home: Path, environment: Mapping[str, str]) -> dict[str, str]:
    """The environment with a state and a configuration of its own, and the speech cache that this machine has."""
    from guide.voice.cache import cache_folder

    own = {"XDG_STATE_HOME": str(home / "state"), "XDG_CONFIG_HOME": str(home / "config"), "PYTHONUNBUFFERED": "1"}
    return {**environment, **own, "GUIDE_CACHE": str(cache_folder())}


@dataclass(slots=True)
class Led:
    """`guide play --plain`, or `rehearse`, under way: its process, the lines it has written, and its log."""

    process: "subprocess.Popen[bytes]"
    log: Path
    keyboard: int
    lines: list[str] = field(default_factory=list)

    def type(self, keys: str) -> None:
        os.write(self.keyboard, keys.encode())

    def end(self) -> None:
        """Ask for the end, and once more when that is asked back."""
        self.type("q")
        self.wait_for("once more to end")
        # Sooner, it would be one key that is held down.
        time.sleep(1)
        self.type("q")

    def wait_for(self, words: str, patience_s: float = PATIENCE_S) -> None:
        """Until a line with these words has been written."""
        until(lambda: any(words in line for line in self.lines), f"“{words}” in {self.lines}", patience_s)

    def signal(self, number: int) -> None:
        os.kill(self.process.pid, number)

    def ended(self, patience_s: float = PATIENCE_S) -> int:
        return self.process.wait(patience_s)

    def events(self) -> tuple[Event, ...]:
        return read(self.log)


@contextmanager
def led(file: Path, *options: str, environment: Mapping[str, str], log: Path, command: str = "play") -> Iterator[Led]:
    """The class in `file`, led (or rehearsed) from here on; it is killed at the end of the block when it still runs."""
    ours, theirs = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-m", "guide", command, str(file), "--plain", "--log", str(log), *options],
        env=dict(environment),
        stdin=theirs,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        start_new_session=True,
    )
    os.close(theirs)
    made = Led(process, log, ours)
    assert process.stdout is not None
    reader = threading.Thread(target=_read, args=(process.stdout, made.lines), daemon=True)
    reader.start()
    try:
        if command == "rehearse":
            until(
                lambda: any("begin: space" in line for line in made.lines) or process.poll() is not None, "a beginning"
            )
            made.type("\r")
        yield made
    finally:
        if process.poll() is None:
            process.send_signal(signal.SIGKILL)
        process.wait()
        reader.join(5)
        os.close(ours)


def _read(stream: object, lines: list[str]) -> None:
    lines.extend(line.decode().rstrip("\n") for line in stream)  # type: ignore[attr-defined]
