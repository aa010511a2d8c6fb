"""What was told as several things and was one: a breath called twice, a pose that was spoken of anew while kept, and
talk in which nothing was found."""

from collections.abc import Iterable
from dataclasses import replace

from guide.draft.events import Event, Kind

#: The same half of a breath is not called again so soon: the other half lies between, and takes two seconds at least
#: (a quick breath; common practice, no source).
ONE_BREATH_MS = 3_500


def joined(events: Iterable[Event]) -> list[Event]:
    """The events with those made one that were one; every phrase stays, in order."""
    made: list[Event] = []
    for event in events:
        if made and _is_same(made[-1], event):
            made[-1] = _one(made[-1], event)
        else:
            made.append(event)
    return made


def _is_same(before: Event, event: Event) -> bool:
    if event.kind is Kind.MOVE:
        called_again = before.breath is event.breath and before.pose in (event.pose, None)
        return called_again and event.start_ms - before.start_ms < ONE_BREATH_MS
    if event.kind is Kind.TALK:
        return before.kind is Kind.TALK and event.maybe is None and before.salutation is event.salutation
    return before.kind is Kind.HOLD is event.kind and before.pose == event.pose and event.side in (before.side, None)


def _one(before: Event, event: Event) -> Event:
    """Both as one, as sure as the surer of them."""
    return replace(
        before,
        phrases=(*before.phrases, *event.phrases),
        end_ms=event.end_ms,
        pose=before.pose or event.pose,
        sure=max(before.sure, event.sure),
    )
