"""How long before a move its words began, as far as that can be known.

Only a key says when people move: captions and sound tell when words begin, and a comparison takes the move from those.
So it is told of a rehearsal that was listened to, of the moves that began with a key and whose words the plan has
begin in the breath before, where the voice began anew for them.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from guide.plan.timeline import CuePart, Timeline

#: Of fewer moves nothing is told.
LEAST_MOVES = 3

#: Words that ended so long before a key, or began so long after it, are other ones; and so are those that had gone on
#: for so long (a breath to lead into takes four or five seconds; common practice, no source).
AROUND_MS, LONGEST_MS = 1_500, 6_000


@dataclass(frozen=True, slots=True)
class LeadOfWords:
    """How long before moves their words began, and were planned to: medians of so many moves, in ms.

    Below nothing, they began after it. `least_ms` and `most_ms` are the ends of what was met.
    """

    moves: int
    median_ms: int
    least_ms: int
    most_ms: int
    planned_ms: int


def lead_of_words(timeline: Timeline, keys: Mapping[int, int], spoken: Sequence[tuple[int, int]]) -> LeadOfWords | None:
    """The lead in a rehearsal: `keys` are the starts of steps that were pressed, `spoken` is when a voice was heard.

    None where there are too few moves of which it can be known.
    """
    found = list(_leads_ms(_planned_leads_ms(timeline), keys, spoken))
    if len(found) < LEAST_MOVES:
        return None
    leads, planned = zip(*found, strict=True)
    return LeadOfWords(len(found), round(median(leads)), min(leads), max(leads), round(median(planned)))


def _planned_leads_ms(timeline: Timeline) -> Mapping[int, int]:
    """How long before its breath the words of each move begin that begin in the breath before."""
    found: dict[int, int] = {}
    for cue in timeline.cues:
        lead_ms = timeline.spans[cue.step].start_ms - cue.start_ms
        if cue.part is CuePart.MOVE and lead_ms > 0:
            found.setdefault(cue.step, lead_ms)
    return found


def _leads_ms(
    planned_ms: Mapping[int, int], keys: Mapping[int, int], spoken: Sequence[tuple[int, int]]
) -> Iterator[tuple[int, int]]:
    """For each move of which it can be known, the lead as it was and as it was planned."""
    before_ms = 0
    for step, key_ms in sorted(keys.items()):
        if step in planned_ms:
            began_ms = _began_ms(key_ms, spoken)
            if began_ms is not None and before_ms < began_ms:
                yield key_ms - began_ms, planned_ms[step]
        before_ms = key_ms


def _began_ms(key_ms: int, spoken: Sequence[tuple[int, int]]) -> int | None:
    """When the words began that go with a key: those under way at it or just over, or else the next; None if none."""
    heard = [from_ms for from_ms, to_ms in spoken if from_ms <= key_ms <= to_ms + AROUND_MS]
    after = [from_ms for from_ms, _ in spoken if key_ms < from_ms <= key_ms + AROUND_MS]
    began_ms = heard[-1] if heard else after[0] if after else None
    return None if began_ms is None or key_ms - began_ms > LONGEST_MS else began_ms
