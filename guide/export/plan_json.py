"""The whole plan as JSON, for other programs, and back.

The keys are the names that the timeline uses; all times are whole milliseconds from the start of the class. The schema
`plan.schema.json` beside this module says what each key means. A new key may come; none goes or changes its meaning
without a new `version`.
"""

import json
from collections.abc import Mapping
from fractions import Fraction
from importlib.resources import files
from typing import Any, TypeAlias

from guide.plan.json_values import plain_fields
from guide.plan.timeline import Chapter, Cue, CuePart, Dip, Dropped, MusicSpan, Note, Ring, RingRole, Span, Timeline
from guide.problem import Place, UnusableChoice
from guide.sequence.steps import Breath, CueKind, Pace, Side, StepKind
from guide.visible import json_text

VERSION = 1

#: The parts of a breath are numbers in JSON; as fractions they have no larger denominators.
MOST_DENOMINATOR = 100_000

Item: TypeAlias = Mapping[str, Any]


def plan_as_json(timeline: Timeline) -> str:
    """`timeline` as JSON text."""
    document = {"version": VERSION, **plain_fields(timeline)}
    return json_text(document, indent=2) + "\n"


def plan_from_json(text: str) -> Timeline:
    """The timeline that `plan_as_json` made `text` from.

    Raises: UnusableChoice for a text that is not such a plan.
    """
    try:
        document = json.loads(text)
        if document["version"] != VERSION:
            raise UnusableChoice(f"this plan has version {document['version']}, not {VERSION} (plan the class again)")
        return _timeline(document)
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise UnusableChoice(f"this is not a plan: {error} (make one with guide plan --json)") from error


def plan_schema() -> dict[str, Any]:
    """The JSON Schema of the document."""
    text = files("guide.export").joinpath("plan.schema.json").read_text(encoding="utf-8")
    loaded: dict[str, Any] = json.loads(text)
    return loaded


def _timeline(document: Item) -> Timeline:
    return Timeline(
        title=document["title"],
        length_ms=document["length_ms"],
        spans=tuple(_span(item) for item in document["spans"]),
        cues=tuple(_cue(item) for item in document["cues"]),
        rings=tuple(Ring(**{**item, "role": RingRole(item["role"])}) for item in document["rings"]),
        dips=tuple(Dip(**item) for item in document["dips"]),
        chapters=tuple(Chapter(**item) for item in document["chapters"]),
        notes=tuple(Note(**_placed(item)) for item in document["notes"]),
        dropped=tuple(_dropped(item) for item in document["dropped"]),
        ease=document.get("ease"),
        by=document.get("by", ""),
        left_out=tuple(_cue(item) for item in document.get("left_out", ())),
        music=tuple(MusicSpan(**item) for item in document.get("music", ())),
    )


def _span(item: Item) -> Span:
    side = None if item["side"] is None else Side(item["side"])
    breath = None if item.get("breath") is None else Breath(item["breath"])
    pace = None if item.get("pace") is None else _pace(item["pace"])
    told = {"kind": StepKind(item["kind"]), "side": side, "breath": breath, "pace": pace}
    return Span(**{**_placed(item), **told})


def _dropped(item: Item) -> Dropped:
    return Dropped(**{**_placed(item), "kind": CueKind(item.get("kind", CueKind.HOW))})


def _pace(item: Item) -> Pace:
    return Pace(**{part: Fraction(ms).limit_denominator(MOST_DENOMINATOR) for part, ms in item.items()})


def _cue(item: Item) -> Cue:
    return Cue(**{**_placed(item), "kind": CueKind(item["kind"]), "part": CuePart(item["part"])})


def _placed(item: Item) -> dict[str, Any]:
    return {**item, "place": Place(**item["place"])}
