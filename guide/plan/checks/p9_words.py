"""Promise 9, the words: every cue of the file is in the plan once, or dropped as the file allows; none is made up."""

from collections import Counter
from collections.abc import Iterable, Iterator

from guide.plan.checks.breach import Breach, moment, quoted
from guide.plan.checks.evidence import Evidence, Seen
from guide.plan.checks.slots import makes_room, number_room
from guide.plan.checks.word_room import word_room_of
from guide.plan.timeline import Cue, Dropped
from guide.problem import Place
from guide.sequence.steps import StepKind, Words


def check(evidence: Evidence) -> Iterator[Breach]:
    for seen in evidence.seen:
        said = seen.carried if seen.step.kind is StepKind.MOVE else seen.said
        written = seen.step.words
        if seen.dropped:
            left_out = Counter((dropped.place, dropped.words) for dropped in seen.dropped)
            written = tuple(words for words in written if not _taken(left_out, words))
            yield from _forbidden(left_out)
            yield from _dropped(evidence, seen)
        yield from _both(seen, seen.step.entry, seen.entry)
        yield from _both(seen, written, said)


def _taken(left_out: Counter[tuple[Place, str]], words: Words) -> bool:
    """Whether these words were left out, and might be; takes them off the list."""
    key = (words.place, words.text)
    if not words.if_room or left_out[key] < 1:
        return False
    left_out[key] -= 1
    return True


def _both(seen: Seen, written: Iterable[Words], said: Iterable[Cue]) -> Iterator[Breach]:
    wanted = [(words.place, words.text, words.kind) for words in written]
    given = [(cue.place, cue.words, cue.kind) for cue in said]
    if wanted == given:
        return
    for place, text, kind in (Counter(wanted) - Counter(given)).elements():
        yield Breach(9, place, f"the {kind.value} cue {quoted(text)} is missing from “{seen.step.title}”")
    for place, text, kind in (Counter(given) - Counter(wanted)).elements():
        what = f"“{seen.step.title}” at {moment(seen.span.start_ms)} has one {kind.value} cue too many: {quoted(text)}"
        yield Breach(9, place, what)


def _forbidden(left_out: Counter[tuple[Place, str]]) -> Iterator[Breach]:
    for place, text in left_out.elements():
        yield Breach(9, place, f"{quoted(text)} is listed as dropped, which the file does not allow")


def _dropped(evidence: Evidence, seen: Seen) -> Iterator[Breach]:
    """What was left out is told to the teacher, and had no room."""
    for dropped in seen.dropped:
        if not evidence.has_note(dropped.place, f"“{dropped.words}”"):
            yield Breach(9, dropped.place, f"{quoted(dropped.words)} was dropped, and no note says so")
    passed = {(words.place, words.text) for words in seen.passed}
    to_come = [dropped for dropped in seen.dropped if (dropped.place, dropped.words) not in passed]
    if not to_come:
        return
    first = min(to_come, key=lambda dropped: _turn(seen, dropped))
    left_out = {(dropped.place, dropped.words) for dropped in seen.dropped if dropped != first}
    kept = [words for words in seen.step.words if (words.place, words.text) not in left_out]
    room = number_room(evidence, seen) if makes_room(evidence, seen) else word_room_of(seen, seen.length_ms)
    if room.holds_calmly(evidence.wishes(seen, kept)):
        yield Breach(9, first.place, f"{quoted(first.words)} was dropped though there is room for it")


def _turn(seen: Seen, dropped: Dropped) -> int:
    named = (dropped.place, dropped.words)
    return next((n for n, words in enumerate(seen.step.words) if (words.place, words.text) == named), -1)
