"""The input devices that the Linux kernel has, by name, and whether they may be read. Nothing is opened to find out."""

import os
import re
from dataclasses import dataclass
from pathlib import Path

from guide.problem import MachineTrouble

#: Where the kernel has its input devices, and where it tells about them. Source: Documentation/input of the kernel.
DEVICES = Path("/dev/input")
CLASSES = Path("/sys/class/input")

#: What lets a person read them, from the next log-in on.
MEND = "sudo usermod -aG input $USER"


@dataclass(frozen=True, slots=True)
class Input:
    """An input device: where it is, what it is called, whether it has keys, and whether this person may read it."""

    path: Path
    name: str
    has_keys: bool
    readable: bool


def inputs(devices: Path = DEVICES, classes: Path = CLASSES) -> tuple[Input, ...]:
    """Every input device, in the order of their numbers."""
    found = [path for path in devices.glob("event*") if re.fullmatch("event[0-9]+", path.name)]
    return tuple(_input(path, classes / path.name / "device") for path in sorted(found, key=_number))


def _number(path: Path) -> int:
    return int(path.name.removeprefix("event"))


def _input(path: Path, told: Path) -> Input:
    keys = _line(told / "capabilities" / "key")
    name = _line(told / "name") or path.name
    # What the kernel does not tell is taken to have keys; it tells them as bits, in words of hexadecimal digits.
    return Input(path, name, keys.replace("0", "").strip() != "" or not keys, os.access(path, os.R_OK))


def _line(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8", errors="replace").strip()
    except OSError:
        return ""


def chosen(wanted: str, among: tuple[Input, ...]) -> Input:
    """The device of a path, of a name, or of a part of one; case does not matter.

    Raises:
        MachineTrouble: there is none or more than one, or it may not be read.
    """
    if wanted.startswith("/"):
        # Links such as those in /dev/input/by-id stay the same when the numbers change.
        path = Path(wanted).resolve()
        there = [each for each in among if each.path.resolve() == path]
    else:
        named = [each for each in among if each.name.lower() == wanted.lower()]
        parts = [each for each in among if wanted.lower() in each.name.lower()]
        there = [each for each in named or parts if each.has_keys]
    if len(there) != 1:
        raise MachineTrouble(_unclear(wanted, there, among))
    if not there[0].readable:
        raise MachineTrouble(f"{there[0].name}: this device may not be read ({MEND}, then log in again)")
    return there[0]


def _unclear(wanted: str, there: list[Input], among: tuple[Input, ...]) -> str:
    if there:
        paths = ", ".join(f"{each.path} {each.name}" for each in there)
        return f"more than one device is called `{wanted}` (write the path of one: {paths})"
    with_keys = [each for each in among if each.has_keys]
    if not with_keys:
        return f"there is no device `{wanted}`: none is plugged in here (guide keys --devices)"
    names = ", ".join(dict.fromkeys(each.name for each in with_keys))
    return f"there is no device `{wanted}` (there are {names})"
