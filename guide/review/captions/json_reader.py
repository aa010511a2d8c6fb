"""Captions in JSON, as recognisers, players and podcasts write them.

Wherever a list of things with a start and words stands, that is what was said. Source: the names that are in use (the
podcast namespace's transcripts, the captions of video sites, what recognisers write); there is no one standard.
"""

import json
import re
from typing import Any

from guide.review.captions.base import Piece, ShownCaption, bare, over_by
from guide.review.captions.number_times import unit_ms
from guide.review.captions.webvtt_reader import time_ms

Thing = dict[str, Any]

#: How a start, an end and a length may be called, without what parts the words of a name. Those that end in `ms` are
#: thousandths.
_STARTS = ("starttime", "startms", "startsec", "start", "begin", "from", "tstartms", "timestamp", "time")
_ENDS = ("endtime", "endms", "endsec", "end", "to", "until")
_LENGTHS = ("duration", "durationms", "ddurationms", "dur", "length")
_WORDS = ("text", "body", "utf8", "caption", "transcript", "content", "punctuatedword", "word")
_PARTS = ("words", "segs")
_LATER = "toffsetms"

_STAMP = re.compile(r"(?:(\d{1,6}):)?(\d{1,3}):(\d{1,2})(?:[.,](\d{1,9}))?", re.ASCII)
_NUMBER = re.compile(r"(\d{1,12}(?:\.\d{1,9})?) ?s?", re.ASCII)

#: No class is longer.
_MOST = 1e10


def is_json(text: str) -> bool:
    """Whether `text` begins as JSON does that holds things with names."""
    return re.match(r"\s*(?:\{\s*\"|\[\s*\{\s*\")", text) is not None


def read_json(text: str) -> list[ShownCaption]:
    """What was said, in the file's order; what has no start or no words is left out."""
    try:
        found = list(_things(json.loads(text)))
    except (ValueError, RecursionError):
        return []
    unit = _unit_ms(found)
    return [caption for thing in found if (caption := _caption(thing, unit))]


def _things(value: Any) -> list[Thing]:
    """Everything that has a start and words, or parts with words; of an object's values, those that say most.

    Recognisers tell the same twice beside each other: word by word, and in sentences.
    """
    if isinstance(value, list):
        return [thing for each in value for thing in _things(each)]
    if not isinstance(value, dict):
        return []
    thing = _plainly_named(value)
    if _start(thing) is not None and (_said(thing) or _parts(thing)):
        return [thing]
    return max(map(_things, value.values()), key=_letters, default=[])


def _letters(things: list[Thing]) -> int:
    """How much is said; of as much, what is cut into fewer parts."""
    return sum(len("".join(_words_of(thing).split())) for thing in things) * len(things[:1])


def _plainly_named(thing: Thing) -> Thing:
    return {re.sub(r"[^a-z0-9]", "", key.casefold()): value for key, value in thing.items()}


def _unit_ms(things: list[Thing]) -> int:
    """How many ms a number without a unit in its name is."""
    times = [found for thing in things for found in (_start(thing), _end(thing)) if found]
    numbers = [_as_number(value) for name, value in times if not _has_unit(name, value)]
    return unit_ms(numbers, " ".join(map(_words_of, things))) if numbers else 1


def _words_of(thing: Thing) -> str:
    return _said(thing) or " ".join(map(_said, _parts(thing)))


def _caption(thing: Thing, unit: int) -> ShownCaption | None:
    start_ms = _ms(_start(thing), unit)
    if start_ms is None:
        return None
    end_ms, length_ms = _ms(_end(thing), unit), _ms(_named(thing, _LENGTHS), unit)
    pieces = [piece for part in _parts(thing) if (piece := _piece(part, start_ms, unit))]
    pieces = pieces or [Piece(start_ms, _said(thing))]
    if end_ms is None:
        end_ms = start_ms + length_ms if length_ms else over_by(pieces[-1].start_ms, bare(pieces[-1].text))
    return ShownCaption(start_ms, end_ms, tuple(pieces))


def _piece(part: Thing, start_ms: int, unit: int) -> Piece | None:
    """A word with its time, or with how much later than its caption it begins."""
    if not _said(part):
        return None
    if found := _start(part):
        return Piece(max(_ms(found, unit) or 0, start_ms), _said(part))
    later = part.get(_LATER, 0)
    return Piece(start_ms + (int(later) if _is_number(later) else 0), _said(part))


def _parts(thing: Thing) -> list[Thing]:
    listed: list[Any] = next((thing[name] for name in _PARTS if isinstance(thing.get(name), list)), [])
    return [_plainly_named(part) for part in listed if isinstance(part, dict)]


def _said(thing: Thing) -> str:
    return next((thing[name] for name in _WORDS if isinstance(thing.get(name), str)), "")


def _start(thing: Thing) -> tuple[str, Any] | None:
    return _named(thing, _STARTS) or _inside(thing, ("from", "start"))


def _end(thing: Thing) -> tuple[str, Any] | None:
    """The end, also where it is the second in a pair of times, as in `"timestamp": [0.0, 2.5]`."""
    pair = thing.get("timestamp")
    if isinstance(pair, list) and len(pair) == 2 and _is_number(pair[1]):
        return "timestamp", pair[1]
    return _named(thing, _ENDS) or _inside(thing, ("to", "end"))


def _inside(thing: Thing, names: tuple[str, ...]) -> tuple[str, Any] | None:
    """A time in an object of its own, as in `"timestamps": {"from": "00:00:01,000", "to": …}`."""
    times = thing.get("timestamps")
    return _named(times, names) if isinstance(times, dict) else None


def _named(thing: Thing, names: tuple[str, ...]) -> tuple[str, Any] | None:
    """The first of these names that has a time, with it."""
    for name in names:
        value = thing.get(name)
        if isinstance(value, list) and value:
            value = value[0]
        if _is_number(value) or (isinstance(value, str) and (_STAMP.fullmatch(value) or _NUMBER.fullmatch(value))):
            return name, value
    return None


def _has_unit(name: str, value: Any) -> bool:
    return name.endswith("ms") or (isinstance(value, str) and not _NUMBER.fullmatch(value))


def _ms(found: tuple[str, Any] | None, unit: int) -> int | None:
    if found is None:
        return None
    name, value = found
    if isinstance(value, str) and (stamp := _STAMP.fullmatch(value)):
        return time_ms(*stamp.groups())
    return round(_as_number(value) * (1 if name.endswith("ms") else unit))


def _as_number(value: Any) -> float:
    return float(value.rstrip("s ")) if isinstance(value, str) else float(value)


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and 0 <= value < _MOST
