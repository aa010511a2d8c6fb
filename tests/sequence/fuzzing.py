"""Broken sequence files by the thousand: good ones with small accidents, files grown from the grammar, and noise."""

import json
import re
from collections.abc import Callable
from pathlib import Path
from random import Random

from guide.sequence.cues import CUE_KEYS
from guide.sequence.entries import ENTRY_KEYS, OPTIONS
from guide.sequence.poses.pose_reader import CONDITIONS, POSE_KEYS, WAY_KEYS
from guide.sequence.settings import CLASS_KEYS, FOR_KEYS
from guide.sequence.shipped_folder import shipped_folder

HERE = Path(__file__).parent
FOLDERS = (HERE / "valid", HERE / "invalid", shipped_folder())
GOOD = [path.read_bytes().decode("utf-8", "replace") for folder in FOLDERS for path in sorted(folder.rglob("*.yaml"))]

#: What slips into a file by accident, and what YAML reads in a way of its own.
SPLINTERS = (
    *"{}[]*&!%@`|>?-:,#\"'\\\t\n\r\0\x85\ufeff\u2028\u200b~=<>",
    *(" #", ": ", "- ", "  ", "\n  ", "---\n", "...\n", "%YAML 1.1\n"),
    *("<<: ", "*a", "&a ", "!!str ", "? ", "|\n", ">-\n"),
    *("<side>", "<sides>", "null", "yes", "5", "5 breaths", "1:30", "4-7-8"),
    *("🙏", "ṣ", "\ud83d", "\\x00", "\\ud800", "\\u00"),
)
VALUES = (
    *("mountain", "5 breaths", "4 to 6 breaths", "45 s", "1:30", "2 min", "box", "4-7-8", "1:2"),
    *("yes", "no", "none", "both", "chime", "voice", "right", "left", "last breath", "breath 3", "first side"),
    *("3", "108", "2", "sun salutation A", "wave", "{inhale: 4 s, exhale: 4 s}", "6 breaths a minute"),
    *("library", "no rest", "[no rest, wrists]", "pregnancy", "{avoid: [wrist]}", "standing", "strong", "twist"),
    *("6 to 7.5 breaths a minute", "{inhale: 4 to 5 s, exhale: 4 s}", "1 min in 10 min", "3 to 5 min", "4 to 6 s"),
    *("Lift the <side> arm.", "Option: bend", "a # b", "", "~", "- x", "[a, b]"),
)
KEYS = (
    *CLASS_KEYS,
    *OPTIONS,
    *sorted(ENTRY_KEYS),
    *CUE_KEYS,
    *POSE_KEYS,
    *WAY_KEYS,
    *FOR_KEYS,
    *CONDITIONS,
    "full",
    "rate",
    "xyz",
    "<<",
)


def fuzzed(seed: int) -> str | bytes:
    """The file of one number, always the same."""
    random = Random(seed)
    return random.choice(WAYS)(random)


def _entries(text: str) -> list[str]:
    """The entries of a class, each with the lines that belong to it."""
    _, _, below = text.partition("\nclass:\n")
    return [entry for entry in re.split(r"\n(?=  - )", below) if entry.startswith("  - ")]


#: What stands above the steps: mostly little, sometimes poses and what else a class says of itself.
HEADS = (
    *("title: Morning\n",) * 3,
    "title: Morning\npace: {inhale: 3.5 to 5 s, exhale: 6 s}\nfor: {avoid: [wrist, knee]}\nlet be: no rest\n",
    "title: Morning\nlibrary cues: no\npace: 6 to 7.5 breaths a minute\nposes:\n  mountain:\n    say: Stand tall.\n"
    "  reed in the wind:\n    base: standing\n    sides: yes\n    does: [twist, balance]\n    hold: 3 to 6 breaths\n"
    '    enter:\n      - Lean to the <side>.\n    easier: {say: "Stay upright.", pose: mountain}\n',
)
ENTRIES = [entry for text in GOOD for entry in _entries(text)]


def _piece(random: Random) -> str:
    """A part of a file, short enough to be read quickly: mostly whole entries, sometimes lines from anywhere."""
    if random.random() < 0.7:
        entries = [random.choice(ENTRIES) for _ in range(random.randint(1, 3))]
        return random.choice(HEADS) + "class:\n" + "\n".join(entries) + "\n"
    lines = random.choice(GOOD).split("\n")
    start = random.randint(0, max(0, len(lines) - 20))
    return "\n".join(lines[start : start + random.randint(3, 20)]) + "\n"


def _accident(random: Random, text: str) -> str:
    at = random.randint(0, len(text))
    end = min(len(text), at + random.choice((0, 0, 1, 1, 2, 8)))
    return text[:at] + random.choice(SPLINTERS) + text[end:]


def _accidents(random: Random) -> str:
    text = _piece(random)
    for _ in range(random.choice((1, 1, 2, 3, 8))):
        text = _accident(random, text)
    return text


def _lines_moved(random: Random) -> str:
    lines = _piece(random).split("\n")
    for _ in range(random.randint(1, 4)):
        at = random.randrange(len(lines))
        line = lines[at]
        lines[at] = random.choice((" " + line, line[1:], line.replace(" ", "", 1), "", random.choice(lines)))
    return "\n".join(lines)


def _bytes_changed(random: Random) -> bytes:
    raw = bytearray(_piece(random).encode("utf-8", "replace"))
    for _ in range(random.randint(1, 6)):
        raw[random.randrange(len(raw))] = random.randrange(256)
    return bytes(raw[: random.randint(1, len(raw))])


def _noise(random: Random) -> bytes:
    return random.randbytes(random.randint(0, 120))


def _splinters(random: Random) -> str:
    return "".join(random.choice((*SPLINTERS, *KEYS, *VALUES)) for _ in range(random.randint(1, 30)))


def _tree(random: Random, depth: int) -> object:
    kind = random.random()
    if depth > 4 or kind < 0.5:
        return random.choice((*VALUES, None, True, 3, 1.5, "x" * random.choice((1, 2001))))
    if kind < 0.75:
        return [_tree(random, depth + 1) for _ in range(random.randint(0, 3))]
    return {random.choice(KEYS): _tree(random, depth + 1) for _ in range(random.randint(0, 4))}


def _grown(random: Random) -> str:
    """A file in JSON, which is YAML, with the right keys in any place."""
    steps = [_tree(random, 1) for _ in range(3)]
    return json.dumps({"title": "T", "class": steps, random.choice(KEYS): _tree(random, 1)})


def _written(random: Random, depth: int = 0) -> str:
    """A file of lines with keys of the grammar, well or badly lined up."""
    lines = ["title: T", "class:"]
    indent = 2
    for _ in range(random.randint(1, 14)):
        indent = max(0, indent + random.choice((-2, 0, 0, 0, 2, 2, 1)))
        dash = random.choice(("- ", "- ", "", "", "-"))
        value = random.choice((f" {random.choice(VALUES)}", "", random.choice(VALUES)))
        lines.append(" " * indent + dash + random.choice(KEYS) + ":" + value)
    return "\n".join(lines) + "\n"


WAYS: tuple[Callable[[Random], str | bytes], ...] = (
    _accidents,
    _accidents,
    _lines_moved,
    _bytes_changed,
    _noise,
    _splinters,
    _grown,
    _written,
)
