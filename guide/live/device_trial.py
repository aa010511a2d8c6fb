"""A device tried in a process of its own, so that a library that ends or hangs the program ends or hangs nothing else.

The child is `python -m MODULE NAME`, with a module that has a `main`; it answers with one line of JSON.
"""

import json
import subprocess
import sys
from dataclasses import asdict, dataclass
from enum import Enum

#: A child that has not answered by then hangs: it is loaded, opens the device, waits, and plays or listens.
ANSWERS_S = 16.0


class Outcome(Enum):
    """What came of a trial."""

    WORKS = "works"
    IDLE = "idle"
    """It opens, and nothing comes of it."""
    ABSENT = "absent"
    BROKEN = "broken"


@dataclass(frozen=True, slots=True)
class Trial:
    """What a device did: the outcome, what there is to say of it, and the line that mends it, where there is one.

    `devices` are the names of those that it can choose between.
    """

    outcome: Outcome
    what: str
    mend: str = ""
    devices: tuple[str, ...] = ()


def tried_apart(command: tuple[str, ...]) -> Trial:
    """What the child answers, within a time limit."""
    try:
        done = subprocess.run(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            timeout=ANSWERS_S,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return Trial(Outcome.BROKEN, f"hangs (nothing for {ANSWERS_S:g} s)")
    try:
        said = json.loads(done.stdout)
        return Trial(Outcome(said["outcome"]), said["what"], said["mend"], tuple(said["devices"]))
    except (ValueError, KeyError, TypeError):
        return Trial(Outcome.BROKEN, f"ends the program that uses it (exit code {done.returncode})")


def child(module: str, name: str) -> tuple[str, ...]:
    """The command that tries a device of that name."""
    return (sys.executable, "-m", module, name)


def answer(trial: Trial) -> None:
    """What the child does at its end: one line of JSON on standard output."""
    print(json.dumps({**asdict(trial), "outcome": trial.outcome.value}))
