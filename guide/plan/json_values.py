"""Values of ours as JSON can hold them: dataclasses as mappings, enumerations by their words, tuples as lists,
fractions as numbers."""

from dataclasses import fields, is_dataclass
from enum import Enum
from fractions import Fraction
from typing import Any


def plain_fields(value: Any) -> dict[str, Any]:
    """The fields of a dataclass by their names."""
    return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}


def _plain(value: Any) -> Any:
    if is_dataclass(value):
        return plain_fields(value)
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, Fraction):
        return int(value) if value.denominator == 1 else float(value)
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return value
