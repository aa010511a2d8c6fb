"""Still promise 0: in every section plays what the class asks for, at no time more, and far enough below the words."""

from collections.abc import Iterator

from guide.plan.checks.breach import Breach, moment
from guide.plan.checks.evidence import Evidence
from guide.sequence.steps import Music, StepKind

#: WCAG 2.2, SC 1.4.7: what is behind speech is at least so much lower.
LEAST_BELOW_DB = 20

#: Where one music becomes another, both sound for so long at most, half of it on each side.
MOST_CROSS_MS = 4000


def check(evidence: Evidence) -> Iterator[Breach]:
    length_ms, before_ms = evidence.timeline.length_ms, 0
    for span in evidence.timeline.music:
        is_in = before_ms <= span.start_ms < span.end_ms <= length_ms
        if not is_in or min(span.fade_in_ms, span.fade_out_ms, span.from_ms) < 0:
            yield Breach(0, None, f"the music at {moment(span.start_ms)} is out of order or leaves the class")
        if span.fade_in_ms + span.fade_out_ms > span.end_ms - span.start_ms:
            yield Breach(0, None, f"the music at {moment(span.start_ms)} is shorter than its fades")
        if span.below_db < LEAST_BELOW_DB:
            yield Breach(0, None, f"the music at {moment(span.start_ms)} is only {span.below_db:g} dB under the words")
        before_ms = span.start_ms
    for start_ms, end_ms, asked in _asked(evidence):
        edge_ms = min(MOST_CROSS_MS // 2, (end_ms - start_ms) // 2)
        for at_ms in (start_ms + edge_ms, (start_ms + end_ms) // 2, end_ms - edge_ms - 1):
            heard = {span.source for span in evidence.timeline.music if span.start_ms <= at_ms < span.end_ms}
            if start_ms <= at_ms and heard != ({asked} if asked else set()):
                yield Breach(0, None, f"at {moment(at_ms)} the music is not what the class asks for")


def _asked(evidence: Evidence) -> Iterator[tuple[int, int, str]]:
    """What each stretch of the class between two sections asks for, cut where the last rest begins."""
    timeline = evidence.timeline
    rests_ms = [each.start_ms for each in timeline.spans if each.kind is StepKind.REST or each.pose == "final rest"]
    rest_ms = rests_ms[-1] if rests_ms else timeline.length_ms
    music, since_ms, from_ms = evidence.steps.music, 0, 0
    numbers = sorted({span.section for span in timeline.spans if span.section is not None})
    starts_ms = [chapter.start_ms for chapter in timeline.chapters]
    for number, start_ms in [*zip(numbers, starts_ms, strict=False), (-1, timeline.length_ms)]:
        yield from _cut(from_ms, start_ms, music, rest_ms if since_ms < rest_ms else timeline.length_ms)
        from_ms = start_ms
        asked = next((one.music for one in reversed(evidence.steps.sections[: number + 1]) if one.music), music)
        if asked != music:
            music, since_ms = asked, start_ms


def _cut(start_ms: int, end_ms: int, music: Music | None, rest_ms: int) -> Iterator[tuple[int, int, str]]:
    source = "" if music is None else music.source
    last_ms = end_ms if music is None or not music.until_rest else max(start_ms, min(end_ms, rest_ms))
    yield from (
        (a_ms, b_ms, what) for a_ms, b_ms, what in ((start_ms, last_ms, source), (last_ms, end_ms, "")) if a_ms < b_ms
    )
