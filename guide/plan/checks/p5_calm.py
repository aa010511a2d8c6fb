"""Promise 5: the cues of a hold begin on an exhale where there is room, one in a breath, the last breath is quiet."""

from collections.abc import Callable, Iterable, Iterator

from guide.plan.checks.breach import Breach, moment, quoted
from guide.plan.checks.evidence import Evidence, Seen, Settled
from guide.plan.checks.word_room import quiet_from_ms, word_room_of
from guide.plan.timeline import Cue
from guide.sequence.steps import AtBreath, AtTime, BeforeEnd, Words


def check(evidence: Evidence) -> Iterator[Breach]:
    for seen in evidence.seen:
        yield from _order(seen.step.entry, seen.entry)
        yield from _order(seen.step.words, seen.said)
        if not seen.is_held or not seen.said:
            continue
        yield from _last_breath(seen)
        yield from _before_end(evidence, seen)
        if seen.is_settled:
            continue
        if has_room(evidence, seen):
            yield from _calm(evidence, seen)
        else:
            yield from _close(evidence, seen)


def has_room(evidence: Evidence, seen: Seen) -> bool:
    """Whether the words that are said fit calmly into the hold as long as it is."""
    return word_room_of(seen, seen.length_ms).holds_calmly(evidence.wishes(seen, said_of(seen)))


def said_of(seen: Seen) -> list[Words]:
    """The words of a hold that are said, in the order of the file."""
    said = {(cue.place, cue.words) for cue in seen.said}
    return [words for words in seen.step.words if (words.place, words.text) in said]


def _order(written: Iterable[Words], said: list[Cue]) -> Iterator[Breach]:
    if len(said) < 2:
        return
    turn = {(words.place, words.text): number for number, words in enumerate(written)}
    last = -1
    for cue in said:
        number = turn.get((cue.place, cue.words), last)
        if number < last:
            yield Breach(5, cue.place, f"{quoted(cue.words)} at {moment(cue.start_ms)} is out of the order of the file")
        last = number


def _last_breath(seen: Seen) -> Iterator[Breach]:
    quiet_ms = quiet_from_ms(seen, seen.length_ms)
    if quiet_ms is None:
        return
    quiet_ms += seen.span.hold_ms
    ending = {(words.place, words.text) for words in seen.step.words if isinstance(words.at, BeforeEnd)}
    for cue in seen.said:
        if cue.end_ms > quiet_ms and (cue.place, cue.words) not in ending:
            what = f"{quoted(cue.words)} ends at {moment(cue.end_ms)}, in the last breath of “{seen.step.title}”"
            yield Breach(5, cue.place, f"{what}, which is quiet from {moment(quiet_ms)}")


def _before_end(evidence: Evidence, seen: Seen) -> Iterator[Breach]:
    """What the file places before the end of the hold begins there, or as much earlier as it needs, with a note."""
    said = [words for words in said_of(seen) if isinstance(words.at, BeforeEnd) and words not in seen.said_before]
    starts_ms = word_room_of(seen, seen.length_ms).ending_ms(evidence.wishes(seen, said))
    cues = {(cue.place, cue.words): cue for cue in seen.said}
    for words, into_ms in zip(said, starts_ms, strict=True):
        cue, start_ms = cues[words.place, words.text], seen.span.hold_ms + into_ms
        if cue.start_ms != start_ms:
            what = f"{quoted(cue.words)} at {moment(cue.start_ms)} has its place before the end"
            yield Breach(5, cue.place, f"{what} at {moment(start_ms)}")
        early = isinstance(words.at, BeforeEnd) and into_ms < seen.length_ms - words.at.ms
        if early and not evidence.has_note(seen.step.place, f"“{words.text}” begins"):
            yield Breach(5, cue.place, f"{quoted(cue.words)} begins earlier than asked, and no note says so")


def _calm(evidence: Evidence, seen: Seen) -> Iterator[Breach]:
    last_breath = -1
    for cue, at in _with_wishes(evidence, seen, seen.grid.last_exhale):
        into_ms = cue.start_ms - seen.span.hold_ms
        if isinstance(at, Settled):
            last_breath = seen.grid.breath_under_way(into_ms)
            continue
        if at is not None and into_ms == seen.grid.asked_ms(at):
            breath = seen.grid.breath_of(at)
        elif seen.grid.is_exhale(into_ms):
            breath = seen.grid.next_exhale(into_ms)[1]
        else:
            yield Breach(5, cue.place, f"{quoted(cue.words)} at {moment(cue.start_ms)} does not begin on an exhale")
            continue
        yield from _asked(seen, cue, at)
        if breath == last_breath:
            yield Breach(5, cue.place, f"{quoted(cue.words)} at {moment(cue.start_ms)} shares its breath with another")
        last_breath = breath


def _close(evidence: Evidence, seen: Seen) -> Iterator[Breach]:
    if not evidence.has_note(seen.step.place, "stand closer together than one thought a breath"):
        what = f"the words of “{seen.step.title}” have no room for one thought a breath, and no note says so"
        yield Breach(5, seen.step.place, what)
    for words in said_of(seen):
        if words.if_room and words not in seen.said_before:
            what = f"{quoted(words.text)} may be left out, and the words of “{seen.step.title}” have no room for it"
            yield Breach(5, words.place, what)
    for cue, at in _with_wishes(evidence, seen, seen.grid.last_half):
        into_ms = cue.start_ms - seen.span.hold_ms
        if isinstance(at, Settled):
            continue
        if not seen.grid.is_half(into_ms) and (at is None or into_ms != seen.grid.asked_ms(at)):
            what = f"{quoted(cue.words)} at {moment(cue.start_ms)} begins neither on an inhale nor on an exhale"
            yield Breach(5, cue.place, what)
        else:
            yield from _asked(seen, cue, at)


def _asked(seen: Seen, cue: Cue, at: AtBreath | AtTime | None) -> Iterator[Breach]:
    if at is not None and cue.start_ms < (asked_ms := seen.span.hold_ms + seen.grid.asked_ms(at)):
        what = f"{quoted(cue.words)} at {moment(cue.start_ms)} is said before the place that the file asks for"
        yield Breach(5, cue.place, f"{what} ({moment(asked_ms)})")


def _with_wishes(
    evidence: Evidence, seen: Seen, last: Callable[[int], int]
) -> Iterator[tuple[Cue, AtBreath | AtTime | Settled | None]]:
    """Each cue beside the place that the file asks for; `last` is as for `WordRoom.settled`."""
    whole = said_of(seen)
    room, wishes = word_room_of(seen, seen.length_ms).before_the_ending(evidence.wishes(seen, whole))
    said = [one for one in whole if not isinstance(one.at, BeforeEnd) or one in seen.said_before]
    placed = wishes if room is None else room.settled(wishes, last)
    asked = {(one.place, one.text): at for one, (at, _) in zip(said, placed, strict=True)}
    for cue in seen.said:
        at = asked.get((cue.place, cue.words))
        if (cue.place, cue.words) in asked or not _ends(seen, cue):
            yield cue, at


def _ends(seen: Seen, cue: Cue) -> bool:
    """Whether the file places a cue before the end of its hold."""
    return any(
        isinstance(words.at, BeforeEnd) and (words.place, words.text) == (cue.place, cue.words)
        for words in seen.step.words
    )
