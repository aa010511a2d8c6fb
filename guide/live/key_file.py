"""The file of learned keys: its lines, each with its place in the text, and all that is wrong in it.

It has a line for each key, `page down: next`, where `nothing` takes a key out of use.
"""

import difflib
import json
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from guide.live.key_names import KERNEL
from guide.live.keys import KEYS, key_as_written
from guide.live.orders import Order
from guide.problem import FaultyFile, MachineTrouble, Place, Problem
from guide.whole_file import write_whole

#: What a key asks for that is out of use.
NOTHING = "nothing"

#: Every value of the file, as it is written.
ORDERS = {order.value: order for order in Order} | {NOTHING: None}

#: Longer than any file of keys, and short enough to be read at once.
MOST_BYTES = 64 * 1024

BEGINNING = f"# What keys ask for, over the usual: a line for each, `key: order`, or `key: {NOTHING}`.\n"

#: The names that people write most; what is nearly one of these and is no other key's is a slip.
_USUAL = {"esc", "tab", "home", "end", "insert", "delete", "backspace", *KEYS, *(f"f{n}" for n in range(1, 25))}

#: Names of keys that there are, some of which are nearly another's.
_KNOWN = frozenset(_USUAL) | frozenset(KERNEL.values()) | {"paste", "player", "pad gear down"}

#: Names of keys of which there is any number.
_OF_MANY = re.compile("button [0-9]+( long)?|bytes( [0-9a-f]{2})+|(ctrl|alt|shift|super) .+")


@dataclass(frozen=True, slots=True)
class KeyLine:
    """A line of the file: what it says, and where it, its value and the end of that stand in the text."""

    key: str
    order: Order | None
    start: int
    value: int
    end: int


def read(path: Path) -> str:
    """The text of the file, with its line ends as they are; empty where there is no file.

    Raises:
        MachineTrouble: it cannot be read.
        FaultyFile: it is too long, or no UTF-8.
    """
    try:
        with path.open("rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except (FileNotFoundError, NotADirectoryError):
        return ""
    except OSError as error:
        raise MachineTrouble(f"{path}: the learned keys cannot be read ({error.strerror})") from error
    if len(raw) > MOST_BYTES:
        raise FaultyFile([Problem(Place(str(path), 1, 1), "this is too long for a file of keys", "move it away")])
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        column = error.start - raw.rfind(b"\n", 0, error.start)
        problem = Problem(Place(str(path), line, column), "this is not UTF-8", "save the file as UTF-8")
        raise FaultyFile([problem]) from error


def replace(path: Path, text: str) -> None:
    """Put the file there whole, so that it is the old one or the new.

    Raises:
        MachineTrouble: it cannot be written.
    """
    path = path.resolve()  # Where a link leads is where it is put.
    try:
        write_whole(path, text.encode())
    except OSError as error:
        raise MachineTrouble(f"{path}: the learned keys cannot be written ({error.strerror})") from error


def entries(text: str, name: str) -> tuple[KeyLine, ...]:
    """The lines of the file called `name`.

    Raises:
        FaultyFile: with all that is wrong.
    """
    root = _root(text, name)
    if root is None:
        return ()
    if root.id != "mapping" or root.flow_style:
        fix = "write one such as `page down: next`"
        raise FaultyFile([_problem(text, name, root.start_mark, "keys stand in lines of `key: order`", fix)])
    found: dict[str, KeyLine] = {}
    problems = []
    for key, value in root.value:
        fault = _fault(key, value, found)
        if fault is not None:
            at, what, fix = fault
            problems.append(_problem(text, name, at.start_mark, what, fix))
            continue
        known = key_as_written(key.value)
        start, end = value.start_mark.index, value.end_mark.index
        found[known] = KeyLine(known, ORDERS[as_order(value.value)], key.start_mark.index, start, end)
    if problems:
        raise FaultyFile(problems)
    return tuple(found.values())


def _root(text: str, name: str) -> Any:
    if not text.strip():
        return None
    from ruamel.yaml import YAML
    from ruamel.yaml.error import StringMark, YAMLError

    try:
        return YAML(typ="safe", pure=True).compose(text)
    except YAMLError as error:
        # A key or a quote without its end is found where the next line is; what is wrong is where it began.
        began = (getattr(error, "context", None) or "").startswith("while scanning")
        mark = (began and getattr(error, "context_mark", None)) or getattr(error, "problem_mark", None)
        if mark is None:
            at = getattr(error, "position", 0)
            mark = StringMark(name, at, text.count("\n", 0, at), at - text.rfind("\n", 0, at) - 1, None, 0)
        fix = 'write `key: order`, a key that is a sign in quotes, as in `"*": rest`'
        raise FaultyFile([_problem(text, name, mark, "this line cannot be read", fix)]) from error


def _problem(text: str, name: str, mark: Any, what: str, fix: str) -> Problem:
    lines = text.split("\n")
    source = lines[mark.line].rstrip("\r") if mark.line < len(lines) else ""
    return Problem(Place(name, mark.line + 1, mark.column + 1), what, fix, source)


def _fault(key: Any, value: Any, before: Iterable[str]) -> tuple[Any, str, str] | None:
    """What is wrong with a line: at which of its parts, what, and what to write instead."""
    if key.id != "scalar":
        return key, "this is no name of a key", "write one such as `page down`"
    known = key_as_written(key.value)
    if known in before:
        return key, f"`{known}` stands here twice", "keep one of them"
    is_known = known in _KNOWN or _OF_MANY.fullmatch(known)
    near = "" if is_known else meant(known, [name for name in _USUAL if name[0] == known[:1]], 0.8)
    if near or not known:
        return key, f"there is no key `{key.value}`", near or "write one such as `page down`"
    if value.id != "scalar" or value.start_mark.index < key.end_mark.index or not value.value:
        return key, f"nothing says what `{known}` asks for", f"write an order after it, or `{NOTHING}`"
    name = as_order(value.value)
    if name not in ORDERS:
        return value, f"there is no order `{value.value}`", meant(name, ORDERS) or listed(ORDERS)
    why = refused(known, ORDERS[name])
    return (value, why, "give `quit` to another key") if why else None


def refused(key: str, order: Order | None) -> str:
    """Why a key may not ask for an order; nothing where it may."""
    if key == "esc" and order in (Order.QUIT, Order.END):
        return "Esc never ends a class, since presenter remotes send it by themselves"
    return ""


def as_order(text: str) -> str:
    """The name of an order, however its words are spaced and whatever their case."""
    return " ".join(text.lower().replace("_", " ").split())


def meant(word: str, known: Iterable[str], cutoff: float = 0.6) -> str:
    """`did you mean …?` for a word that is nearly a known one, else nothing."""
    near = difflib.get_close_matches(word, sorted(known), 1, cutoff)
    return f"did you mean `{near[0]}`?" if near else ""


def listed(names: Iterable[str]) -> str:
    """The names there are, for a message."""
    return f"there are {', '.join(names)}"


def line_end(text: str, place: int) -> int:
    """Where the line ends in which a place is, its line end included."""
    found = text.find("\n", place)
    return len(text) if found < 0 else found + 1


def quoted(key: str) -> str:
    """A key as YAML reads it back: in quotes, unless it is made of letters."""
    return key if re.fullmatch("[A-Za-z][A-Za-z0-9 ]*", key) else json.dumps(key, ensure_ascii=False)
