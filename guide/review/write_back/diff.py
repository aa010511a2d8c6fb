"""What is to change in a class file, as a diff."""

import difflib


def diff(before: bytes, after: bytes, name: str) -> str:
    """The lines that change, as a unified diff; nothing where the bytes are the same.

    Line ends are shown as they are on this machine, whatever they are in the file.
    """
    lines = difflib.unified_diff(_lines(before), _lines(after), name, f"{name} (new)", lineterm="", n=1)
    return "".join(f"{line}\n" for line in lines)


def _lines(raw: bytes) -> list[str]:
    text = raw.decode("utf-8").removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    return text.removesuffix("\n").split("\n")
