"""Tables of which a row is not a test."""

import functools
import inspect
import traceback
from collections.abc import Callable, Iterable
from typing import Any

import pytest

Check = Callable[..., None]


def each_row(names: str, table: Iterable[Any] | Callable[[], Iterable[Any]]) -> Callable[[Check], Check]:
    """As `parametrize`, but the whole table is one test, which shows every row that fails and what failed in it.

    A table that takes time to read is given as the function that reads it, which is called when the test is run.
    Fixtures are the same for all rows. A test with two of these is tried with each row of one in each of the other.
    """
    wanted = [name.strip() for name in names.split(",")]
    given = list(table) if isinstance(table, Iterable) else table

    def fold(check: Check) -> Check:
        @functools.wraps(check)
        def all_rows(**fixtures: Any) -> None:
            found = given if isinstance(given, list) else given()
            rows = [dict(zip(wanted, row if len(wanted) > 1 else (row,), strict=True)) for row in found]
            assert rows, f"the table of {names} has no rows"
            told = [fault for row in rows if (fault := _fault(check, row, fixtures))]
            if told:
                pytest.fail("\n".join([f"{len(told)} of {len(rows)} rows fail", *told]), pytrace=False)

        asked = inspect.signature(check)
        of_fixtures = [asked.parameters[name] for name in asked.parameters if name not in wanted]
        all_rows.__signature__ = asked.replace(parameters=of_fixtures)
        return all_rows

    return fold


def _fault(check: Check, row: dict[str, Any], fixtures: dict[str, Any]) -> str:
    """The row and where it fails, with what was expected and what was there; nothing if it passes."""
    try:
        check(**fixtures, **row)
    except (Exception, pytest.fail.Exception) as fault:
        given = ", ".join(f"{name}={_short(repr(value))}" for name, value in row.items())
        told = traceback.format_exception(type(fault), fault, fault.__traceback__ and fault.__traceback__.tb_next)
        return f"--- {given}\n{''.join(told)}"
    return ""


def _short(text: str) -> str:
    return text if len(text) <= 400 else f"{text[:300]} … {text[-100:]}"
