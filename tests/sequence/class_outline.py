"""A class as text, so that a test can show everything that was read: every field that is not as usual."""

from collections.abc import Iterator, Mapping
from dataclasses import MISSING, fields, is_dataclass
from enum import Enum
from fractions import Fraction

from guide.problem import Place
from guide.sequence.model import Block, ClassFile


def outline(class_file: ClassFile) -> str:
    return "\n".join(_lines("class", class_file, 0)) + "\n"


def _lines(name: str, value: object, indent: int) -> Iterator[str]:
    pad = "  " * indent
    match value:
        case Mapping():
            for key, each in value.items():
                shown = key.value if isinstance(key, Enum) else key
                yield from _lines(f"{name} {shown!r}", each, indent)
        case tuple() if value and is_dataclass(value[0]):
            yield f"{pad}{name}:"
            for each in value:
                yield from _lines("-", each, indent + 1)
        case _ if is_dataclass(value) and not isinstance(value, Place):
            where = f" @{value.place.line}:{value.place.column}" if hasattr(value, "place") else ""
            if isinstance(value, Block):
                where = f" @{value.place}"
            every = [(field, getattr(value, field.name)) for field in fields(value)]
            told = [(field.name, each) for field, each in every if not _usual(field.default, each)]
            inner = [(each_name, each) for each_name, each in told if _is_deep(each)]
            flat = [f"{each_name} {_plain(each)}" for each_name, each in told if not _is_deep(each)]
            flat = [each for each in flat if not each.startswith("place ")]
            yield f"{pad}{name} {type(value).__name__}({', '.join(flat)}){where}"
            for each_name, each in inner:
                yield from _lines(each_name, each, indent + 1)
        case _:
            yield f"{pad}{name}: {_plain(value)}"


def _is_deep(value: object) -> bool:
    if isinstance(value, tuple):
        return bool(value) and is_dataclass(value[0])
    return isinstance(value, Mapping) or (is_dataclass(value) and not isinstance(value, Place))


def _usual(default: object, value: object) -> bool:
    return default is not MISSING and default == value


def _plain(value: object) -> str:
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, Fraction):
        return str(value)
    if isinstance(value, frozenset):
        return "{" + ", ".join(sorted(map(_plain, value))) + "}"
    return f"({', '.join(map(_plain, value))})" if isinstance(value, tuple) else repr(value)
