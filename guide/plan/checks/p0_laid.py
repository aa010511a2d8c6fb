"""Still promise 0: what an earlier plan has settled stays where it was, and nothing new comes before its end."""

from collections.abc import Iterator

from guide.plan.checks.breach import Breach, moment, quoted
from guide.plan.checks.evidence import Evidence, Seen
from guide.plan.timeline import Cue
from guide.sequence.steps import SettledStep

#: Where a cue begins, its length and its words.
Given = tuple[int, int, str]


def check(evidence: Evidence) -> Iterator[Breach]:
    for seen in evidence.seen:
        if (laid := seen.step.laid) is not None:
            yield from _lengths(seen, laid)
            yield from _cues(seen, laid)


def is_laid(seen: Seen, cue: Cue) -> bool:
    """Whether a cue is one that an earlier plan has settled."""
    laid = seen.step.laid
    return laid is not None and _given(cue) in {*_entry(seen, laid), *_held(seen, laid)}


def _lengths(seen: Seen, laid: SettledStep) -> Iterator[Breach]:
    if laid.held_ms is not None and laid.held_ms != seen.length_ms:
        what = f"“{seen.step.title}” lasts {seen.length_ms} ms, an earlier plan has given it {laid.held_ms} ms"
        yield Breach(0, seen.step.place, what)


def _cues(seen: Seen, laid: SettledStep) -> Iterator[Breach]:
    settled = [*_entry(seen, laid), *_held(seen, laid)]
    cues = [*seen.entry, *seen.carried, *seen.said, *seen.counts]
    given = set(map(_given, cues))
    for one in settled:
        if one not in given:
            yield Breach(0, seen.step.place, f"{quoted(one[2])} was at {moment(one[0])} in an earlier plan")
    until_ms = seen.span.hold_ms + laid.until_ms
    for cue in cues:
        if cue.start_ms < until_ms and _given(cue) not in settled:
            what = f"{quoted(cue.words)} begins at {moment(cue.start_ms)}, where an earlier plan has nothing"
            yield Breach(0, cue.place, what)


def _given(cue: Cue) -> Given:
    return cue.start_ms, cue.length_ms, cue.words


def _entry(seen: Seen, laid: SettledStep) -> list[Given]:
    """The entry words that are settled: the first of those that end where the hold begins."""
    return [_given(cue) for cue, length_ms in zip(seen.entry, laid.entry, strict=False) if cue.length_ms == length_ms]


def _held(seen: Seen, laid: SettledStep) -> list[Given]:
    hold_ms, words = seen.span.hold_ms, seen.step.words
    said = [(hold_ms + one.offset_ms, one.length_ms, words[one.number].text) for one in laid.words]
    return said + [(hold_ms + one.offset_ms, one.length_ms, one.text) for one in laid.counts]
