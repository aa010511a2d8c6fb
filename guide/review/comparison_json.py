"""A comparison as JSON, for other programs.

The keys are the names that the comparison uses. The schema `comparison.schema.json` beside this module says what each
means. A new key may come; none goes or changes its meaning without a new `version`.
"""

import json
from importlib.resources import files
from typing import Any

from guide.plan.json_values import plain_fields
from guide.review.comparison import Comparison
from guide.review.speech import Speech
from guide.visible import json_text

VERSION = 1


def document(comparison: Comparison) -> dict[str, Any]:
    """The comparison as mappings, lists, texts and numbers."""
    made = {"version": VERSION, **plain_fields(comparison)}
    made["would_take_ms"] = comparison.would_take_ms
    if comparison.speech is not None:
        made["speech"] |= _shares(comparison.speech)
    return made


def _shares(speech: Speech) -> dict[str, Any]:
    rates = {"words_a_minute": speech.words_a_minute, "words_a_minute_in_all": speech.words_a_minute_in_all}
    rounded = {name: None if rate is None else round(rate, 1) for name, rate in rates.items()}
    return {"share": round(speech.share, 3), **rounded}


def comparison_as_json(comparison: Comparison) -> str:
    """The comparison as JSON text."""
    return json_text(document(comparison), indent=2) + "\n"


def comparison_schema() -> dict[str, Any]:
    """The JSON Schema of the document."""
    text = files("guide.review").joinpath("comparison.schema.json").read_text(encoding="utf-8")
    loaded: dict[str, Any] = json.loads(text)
    return loaded
