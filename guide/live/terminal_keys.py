"""What terminals send for the keys: VT100 and VT220, xterm, rxvt, tmux and screen, and the Linux console.

Sources: ECMA-48 (how a sequence is built), xterm's control sequences, and the terminal descriptions of ncurses, which
the tests are held against.
"""

import re

from guide.live.keys import bytes_of, key_of_character, with_held

#: Last letters of sequences; F1 to F4 as xterm sends them.
_LETTERS = {"A": "up", "B": "down", "C": "right", "D": "left", "F": "end", "H": "home"} | dict(
    zip("PQRS", ("f1", "f2", "f3", "f4"), strict=True)
)

#: The keypad of a VT100, which rxvt uses too.
_KEYPAD = {"M": "enter", "I": "tab", " ": "space", "X": "="} | dict(
    zip("jklmnopqrstuvwxy", "*+,-./0123456789", strict=True)
)

#: Numbers before a tilde: VT220, with 7 and 8 as rxvt has them.
_NUMBERS = {1: "home", 2: "insert", 3: "delete", 4: "end", 5: "page up", 6: "page down", 7: "home", 8: "end"} | dict(
    zip(
        (11, 12, 13, 14, 15, 17, 18, 19, 20, 21, 23, 24, 25, 26, 28, 29, 31, 32, 33, 34),
        (f"f{number}" for number in range(1, 21)),
        strict=True,
    )
)

#: What rxvt writes in place of the tilde: with shift, with control, with both.
_TILDES = {"~": 0, "$": 1, "^": 4, "@": 5}

_SEQUENCE = re.compile(
    r"\x1b\[\[[A-E]"  # F1 to F5 of the Linux console.
    r"|\x1b\[[0-9]+\$"  # rxvt, with shift; by the standard it would not end here.
    r"|\x1b\[[0-?]*[ -/]*[@-~]"
    r"|\x1bO[0-9;]*[ -~]"
    r"|.",
    re.DOTALL,
)

#: The beginning of a sequence whose end has not been read yet.
_UNFINISHED = re.compile(r"\x1b(\[\[|\[[0-?]*[ -/]*|O[0-9;]*)?\Z")


def keys_in(raw: str) -> tuple[str, ...]:
    """The names of all keys in what a terminal sent at once."""
    return tuple(key_of_sequence(found[0]) for found in _SEQUENCE.finditer(raw))


class KeyStream:
    """Cuts what comes from a terminal, read by read, into keys; a sequence may be spread over two reads."""

    def __init__(self) -> None:
        self._begun = ""

    def keys(self, raw: str) -> tuple[str, ...]:
        """The names of the keys that are complete. To read nothing for a while ends what was begun: Esc alone."""
        text, self._begun = self._begun + raw, ""
        unfinished = _UNFINISHED.search(text)
        if raw and unfinished is not None:
            text, self._begun = text[: unfinished.start()], unfinished[0]
        return keys_in(text)


def key_of_sequence(raw: str) -> str:
    """The name of one key as a terminal sends it; `bytes 1b 5b 39` for one without a name."""
    if len(raw) == 1:
        return key_of_character(raw)
    if re.fullmatch(r"\x1b\[\[[A-E]", raw):
        return f"f{'ABCDE'.index(raw[-1]) + 1}"
    return _of_ss3(raw) or _of_csi(raw) or bytes_of(raw)


def _of_ss3(raw: str) -> str:
    found = re.fullmatch(r"\x1bO(?:1;)?([0-9]*)(.)", raw)
    if found is None:
        return ""
    if found[2] in "abcd":  # rxvt, with control.
        return with_held(4, _LETTERS[found[2].upper()])
    key = _LETTERS.get(found[2]) or _KEYPAD.get(found[2], "")
    return with_held(int(found[1] or 1) - 1, key) if key else ""


def _of_csi(raw: str) -> str:
    found = re.fullmatch(r"\x1b\[([0-9;]*)(.)", raw)
    if found is None:
        return ""
    last = found[2]
    if last == "Z":
        return "shift tab"
    if last in "abcd" and not found[1]:  # rxvt, with shift.
        return with_held(1, _LETTERS[last.upper()])
    numbers = [int(number or 1) for number in found[1].split(";")]
    held = numbers[1] - 1 if len(numbers) > 1 else _TILDES.get(last, 0)
    key = _key(numbers, last)
    return with_held(held, key) if key else ""


def _key(numbers: list[int], last: str) -> str:
    """The key of a sequence's numbers and last character, whatever is held with it."""
    if last == "u":
        return _of_code(numbers[0])
    if last == "~" and numbers[0] == 27 and len(numbers) == 3:
        return _of_code(numbers[2])
    if last in _TILDES:
        return _NUMBERS.get(numbers[0], "")
    return _LETTERS.get(last, "")


def _of_code(code: int) -> str:
    """The key of a character's number, as terminals send it that were asked for more than the usual."""
    key = key_of_character(chr(code)) if code < 0xD800 else ""
    return "" if key.startswith("bytes") else key
