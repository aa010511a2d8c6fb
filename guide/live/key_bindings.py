"""What keys ask for: the usual, and over it what the teacher taught them, kept in a file that can be edited by hand.

A change touches only the line of its key, so that comments and order stay as they were.
"""

from pathlib import Path

from guide.live import key_file
from guide.live.key_file import BEGINNING, NOTHING, ORDERS
from guide.live.keys import KEYS, Bindings
from guide.live.orders import Order
from guide.problem import UnusableChoice


def keys_path() -> Path:
    """Where this person's keys are kept."""
    from platformdirs import user_config_path

    return user_config_path("practice-guide") / "keys.yaml"


def bindings(path: Path | None = None) -> Bindings:
    """What every key asks for.

    Raises:
        FaultyFile: the file of learned keys has to be mended.
        MachineTrouble: it cannot be read.
    """
    return {**KEYS, **learned(keys_path() if path is None else path)}


def learned(path: Path) -> Bindings:
    """What the teacher taught the keys; nothing where there is no file. Raises as `bindings` does."""
    return {entry.key: entry.order for entry in key_file.entries(key_file.read(path), str(path))}


def order_called(text: str) -> Order | None:
    """The order of a name, or None for `nothing`.

    Raises:
        UnusableChoice: there is no such order; it says which was meant.
    """
    name = key_file.as_order(text)
    if name not in ORDERS:
        fix = key_file.meant(name, ORDERS) or key_file.listed(ORDERS)
        raise UnusableChoice(f"there is no order `{text}` ({fix})")
    return ORDERS[name]


def learn(key: str, order: Order | None, path: Path | None = None) -> None:
    """Keep what a key is to ask for from now on.

    Raises:
        UnusableChoice: Esc may not end a class.
        FaultyFile: the file has to be mended first.
        MachineTrouble: it cannot be read or written.
    """
    why = key_file.refused(key, order)
    if why:
        raise UnusableChoice(f"{why} (give `quit` to another key)")
    path = keys_path() if path is None else path
    text = key_file.read(path)
    lines = key_file.entries(text, str(path))
    value = NOTHING if order is None else order.value
    there = next((line for line in lines if line.key == key), None)
    if there is not None:
        key_file.replace(path, text[: there.value] + value + text[there.end :])
    elif lines:
        key_file.replace(path, _with_line(text, lines[-1], f"{key_file.quoted(key)}: {value}"))
    else:
        before = text or BEGINNING
        gap = "" if before.endswith("\n") else "\n"
        key_file.replace(path, f"{before}{gap}{key_file.quoted(key)}: {value}\n")


def _with_line(text: str, last: key_file.KeyLine, line: str) -> str:
    """The text with a line more after the last one, which it is like in its spaces and its line end."""
    place = key_file.line_end(text, last.end)
    line_end = "\r\n" if "\r\n" in text else "\n"
    indent = " " * (last.start - text.rfind("\n", 0, last.start) - 1)
    gap = "" if text[:place].endswith("\n") else line_end
    return f"{text[:place]}{gap}{indent}{line}{line_end}{text[place:]}"


def forget(key: str, path: Path | None = None) -> None:
    """Let a key ask for the usual again.

    Raises:
        UnusableChoice: the key was taught nothing.
        FaultyFile, MachineTrouble: as `learn` does.
    """
    path = keys_path() if path is None else path
    text = key_file.read(path)
    lines = key_file.entries(text, str(path))
    there = next((line for line in lines if line.key == key), None)
    if there is None:
        known = [line.key for line in lines]
        fix = key_file.meant(key, known) or (key_file.listed(known) if known else "no key was taught anything")
        raise UnusableChoice(f"`{key}` was taught nothing ({fix})")
    start = text.rfind("\n", 0, there.start) + 1
    key_file.replace(path, text[:start] + text[key_file.line_end(text, there.end) :])
