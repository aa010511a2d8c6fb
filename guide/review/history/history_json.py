"""Several performances beside each other as JSON, for other programs.

The schema `history.schema.json` beside this module says what each key means. A new key may come; none goes or changes
its meaning without a new `version`.
"""

import json
from importlib.resources import files
from typing import Any

from guide.plan.json_values import plain_fields
from guide.review.history.performances import History, Lengths
from guide.visible import json_text

VERSION = 1

#: What is told of a step: that which is the same in every performance.
STEP_KEYS = ("number", "kind", "title", "side", "section", "place", "planned_start_ms")


def document(history: History) -> dict[str, Any]:
    """The history as mappings, lists, texts and numbers."""
    return {
        "version": VERSION,
        "title": history.title,
        "performances": [
            {"recording": one.comparison.recording, "how": one.comparison.how.value, "on": one.on or None}
            for one in history.performances
        ],
        "whole": _lengths(history.whole),
        "sections": [{"number": one.number, "title": one.title, **_lengths(one.lengths)} for one in history.sections],
        "steps": [{**_step(plain_fields(one.step)), **_lengths(one.lengths)} for one in history.steps],
        "left_aside": [plain_fields(one) for one in history.left_aside],
    }


def _step(fields: dict[str, Any]) -> dict[str, Any]:
    return {key: fields[key] for key in STEP_KEYS}


def _lengths(lengths: Lengths) -> dict[str, Any]:
    """Lengths with what comes of them; the sure ones alone count for it."""
    surely_ms = lengths.surely_ms
    return {
        **plain_fields(lengths),
        "surely": len(surely_ms),
        "usual_ms": lengths.usual_ms,
        "least_ms": min(surely_ms, default=None),
        "most_ms": max(surely_ms, default=None),
    }


def history_as_json(history: History) -> str:
    """The history as JSON text."""
    return json_text(document(history), indent=2) + "\n"


def history_schema() -> dict[str, Any]:
    """The JSON Schema of the document."""
    text = files("guide.review.history").joinpath("history.schema.json").read_text(encoding="utf-8")
    loaded: dict[str, Any] = json.loads(text)
    return loaded
