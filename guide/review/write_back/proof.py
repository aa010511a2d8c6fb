"""The proof that a class is the same as before but for the lengths that were meant to change."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path

from guide.problem import Place
from guide.sequence.expand import unroll
from guide.sequence.model import BreathingEntry, ClassFile, HoldEntry, WrittenHold
from guide.sequence.reader import look

Holds = Mapping[Place, WrittenHold]


def is_proved(before: ClassFile, after: bytes, name: str, folder: Path, holds: Holds) -> bool:
    """Whether the bytes `after` are a class without a problem, and the same but for `holds`, by their places before."""
    made = look(after, name, folder)
    if made.problems or made.class_file is None or unroll(made.class_file).problems:
        return False
    return _without_places(before, holds) == _without_places(made.class_file, {})


def _without_places(value: object, holds: Holds) -> object:
    """A value with all that is in it but its places, with the holds put in."""
    if isinstance(value, Place):
        return None
    if is_dataclass(value) and not isinstance(value, type):
        told = {field.name: getattr(value, field.name) for field in fields(value)}
        if isinstance(value, HoldEntry | BreathingEntry) and value.place in holds:
            told["hold" if isinstance(value, HoldEntry) else "lasts"] = holds[value.place]
        return type(value), tuple((name, _without_places(one, holds)) for name, one in told.items())
    if isinstance(value, tuple):
        return tuple(_without_places(one, holds) for one in value)
    if isinstance(value, Mapping):
        return {key: _without_places(one, holds) for key, one in value.items()}
    return value
