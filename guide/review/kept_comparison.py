"""A comparison that was kept as JSON, read again beside the plan of its class as that is now.

Its steps are found again by what they are, in order, so that the file may have changed in other things since: lengths
that were written back, words, a step more or less.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import fields
from difflib import SequenceMatcher
from typing import Any

from guide.plan.timeline import Timeline
from guide.problem import UnusableChoice
from guide.review.comparison import Comparison, How, Known, Slip, beside
from guide.review.confidence import Basis
from guide.review.lead_of_words import LeadOfWords
from guide.review.said_often import Often
from guide.review.speech import QuietTime, Speech
from guide.sequence.steps import StepKind, Steps

#: With a smaller share of its poses and rests in the plan, or of the plan's in it, it is of another class.
LEAST_SAME_STEPS = 0.5

#: Steps of these kinds are called alike in every class.
ALIKE_ANYWHERE = frozenset((StepKind.MOVE.value, StepKind.TALK.value))

#: What a comparison has, and captions in JSON have not.
KEYS = {"version", "how", "steps", "would_take_ms", "recording"}


def kept_comparison(raw: bytes) -> Mapping[str, Any] | None:
    """What a kept comparison holds; None where a file holds anything else."""
    if not raw.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{"):
        return None
    try:
        found = json.loads(raw)
    except (ValueError, RecursionError):
        return None
    return found if isinstance(found, dict) and found.keys() >= KEYS else None


def compare_kept(steps: Steps, timeline: Timeline, name: str, kept: Mapping[str, Any]) -> Comparison:
    """The class that was compared before, beside its plan now; `name` is the file of the comparison.

    Raises:
        UnusableChoice: it is of another class, or was changed by hand so that it holds no comparison any more.
    """
    try:
        return _beside(steps, timeline, name, kept)
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        what = f"this comparison cannot be read ({type(error).__name__}: {error})"
        raise UnusableChoice(f"{name}: {what} (make it anew with `guide compare FILE RECORDING --json`)") from error


def _beside(steps: Steps, timeline: Timeline, name: str, kept: Mapping[str, Any]) -> Comparison:
    then = kept["steps"]
    now = _numbers_now(timeline, then)
    _check_same(timeline, name, then, now)
    known: list[Known | None] = [None] * len(timeline.spans)
    for number, step in enumerate(then):
        if number in now and step["real_start_ms"] is not None:
            known[now[number]] = _known(step)
    return beside(
        steps,
        timeline,
        name,
        known,
        how=How(kept["how"]),
        heard=_whole_or_none(kept["heard"]),
        is_another=bool(kept["is_another"]),
        speech=None if kept["speech"] is None else _speech(kept["speech"]),
        slips=[_slip(one, now, timeline) for one in kept["slips"] if int(one["step"]) in now],
        kept_out_ms=int(kept["kept_out_ms"]),
    )


def _check_same(timeline: Timeline, name: str, then: Sequence[Mapping[str, Any]], now: Mapping[int, int]) -> None:
    """Raise UnusableChoice where too few poses and rests are the same: moves and words are so in any class."""
    told = {number for number, step in enumerate(then) if step["kind"] not in ALIKE_ANYWHERE}
    here = sum(span.kind.value not in ALIKE_ANYWHERE for span in timeline.spans)
    if not (told or here):
        told, here = set(range(len(then))), len(timeline.spans)
    found = len(told & now.keys())
    if not found or found < LEAST_SAME_STEPS * max(len(told), here):
        what = f"{found} of its {len(told)} poses and rests are among the {here} of this class"
        raise UnusableChoice(f"{name}: {what} (name a comparison of this class)")


def _numbers_now(timeline: Timeline, then: Sequence[Mapping[str, Any]]) -> dict[int, int]:
    """The numbers in the plan of the steps that a comparison has, by their numbers in it."""
    before = [(step["kind"], step["title"].casefold(), step["side"]) for step in then]
    spans = [(one.kind.value, one.title.casefold(), one.side.value if one.side else None) for one in timeline.spans]
    blocks = SequenceMatcher(None, before, spans, autojunk=False).get_matching_blocks()
    return {block.a + nth: block.b + nth for block in blocks for nth in range(block.size)}


def _known(step: Mapping[str, Any]) -> Known:
    sure = float(step["sure"])
    if not 0 <= sure <= 1:
        raise ValueError(f"sure is {sure}")
    return Known(
        int(step["real_start_ms"]), _whole_or_none(step["real_ms"]), sure, Basis(step["rests_on"]), int(step["heard"])
    )


def _whole_or_none(value: object) -> int | None:
    if value is None:
        return None
    if not isinstance(value, int):
        raise TypeError(f"{value!r} is no whole number")
    return value


def _speech(kept: Mapping[str, Any]) -> Speech:
    quiet, lead = kept.get("longest_quiet"), kept.get("lead")
    return Speech(
        words=_whole_or_none(kept["words"]),
        spoken_ms=int(kept["spoken_ms"]),
        over_ms=int(kept["over_ms"]),
        is_measured=bool(kept["is_measured"]),
        fillers=tuple(Often(str(one["words"]), int(one["times"])) for one in kept.get("fillers", ())),
        phrases=tuple(Often(str(one["words"]), int(one["times"])) for one in kept.get("phrases", ())),
        longest_quiet=None if quiet is None else QuietTime(int(quiet["from_ms"]), int(quiet["to_ms"])),
        from_ms=int(kept.get("from_ms", 0)),
        lead=None
        if lead is None
        else LeadOfWords(**{field.name: int(lead[field.name]) for field in fields(LeadOfWords)}),
    )


def _slip(kept: Mapping[str, Any], now: Mapping[int, int], timeline: Timeline) -> Slip:
    number = now[int(kept["step"])]
    return Slip(number, int(kept["at_ms"]), timeline.spans[number].place, str(kept["planned"]), str(kept["heard"]))
