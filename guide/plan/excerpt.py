"""A part of a class as a class of its own: some of its steps, with the bells around them, from zero on."""

from dataclasses import replace

from guide.plan.music_spans import FADE_IN_MS, FADE_OUT_MS
from guide.plan.timeline import Chapter, Cue, Dip, MusicSpan, Ring, Timeline


def excerpt(timeline: Timeline, first: int, last: int) -> Timeline:
    """The steps from one number up to another and with it; both count from 0.

    A step that opens its section brings the section's bell, one that closes it the bell at its end, and the outermost
    steps those of the class. What is said ahead of the first step comes with it; what would be said ahead of the step
    after the last does not. All that rings may ring out.
    """
    start_ms, end_ms = _start_ms(timeline, first), _end_ms(timeline, last)
    cues = tuple(_cue(cue, first, start_ms) for cue in timeline.cues if first <= cue.step <= last)
    rings = tuple(
        _ring(ring, first, start_ms) for ring in timeline.rings if _rings(ring, first, last, start_ms, end_ms)
    )
    chapters = [
        number for number, one in enumerate(timeline.chapters) if one.start_ms < end_ms and start_ms < one.end_ms
    ]
    spans = tuple(
        replace(
            span,
            section=None if span.section is None else span.section - chapters[0],
            **{name: getattr(span, name) - start_ms for name in ("start_ms", "hold_ms", "held_ms", "end_ms")},
        )
        for span in timeline.spans[first : last + 1]
    )
    length_ms = max([end_ms - start_ms, *(ring.end_ms for ring in rings)])
    return replace(
        timeline,
        length_ms=length_ms,
        spans=spans,
        cues=cues,
        rings=rings,
        dips=tuple(_dips(timeline, start_ms, end_ms)),
        chapters=tuple(_chapter(timeline.chapters[number], start_ms, length_ms) for number in chapters),
        music=tuple(_music(one, start_ms, length_ms) for one in timeline.music if _plays(one, start_ms, length_ms)),
        dropped=tuple(replace(one, step=one.step - first) for one in timeline.dropped if first <= one.step <= last),
    )


def _start_ms(timeline: Timeline, first: int) -> int:
    span = timeline.spans[first]
    opens = first == 0 or timeline.spans[first - 1].section != span.section
    if opens and span.section is not None:
        return timeline.chapters[span.section].start_ms
    if first == 0:
        return 0
    return min([span.start_ms, *(cue.start_ms for cue in timeline.cues if cue.step == first)])


def _end_ms(timeline: Timeline, last: int) -> int:
    span = timeline.spans[last]
    if last + 1 == len(timeline.spans):
        return timeline.length_ms
    closes = timeline.spans[last + 1].section != span.section
    return timeline.chapters[span.section].end_ms if closes and span.section is not None else span.end_ms


def _cue(cue: Cue, first: int, start_ms: int) -> Cue:
    return replace(cue, start_ms=cue.start_ms - start_ms, step=cue.step - first)


def _ring(ring: Ring, first: int, start_ms: int) -> Ring:
    return replace(ring, start_ms=ring.start_ms - start_ms, step=None if ring.step is None else ring.step - first)


def _rings(ring: Ring, first: int, last: int, start_ms: int, end_ms: int) -> bool:
    return start_ms <= ring.start_ms < end_ms if ring.step is None else first <= ring.step <= last


def _dips(timeline: Timeline, start_ms: int, end_ms: int) -> list[Dip]:
    """The times of the voice, cut where the excerpt begins and ends."""
    kept = ((max(dip.start_ms, start_ms), min(dip.end_ms, end_ms)) for dip in timeline.dips)
    return [Dip(start - start_ms, end - start_ms) for start, end in kept if start < end]


def _chapter(chapter: Chapter, start_ms: int, length_ms: int) -> Chapter:
    return replace(
        chapter, start_ms=max(0, chapter.start_ms - start_ms), end_ms=min(length_ms, chapter.end_ms - start_ms)
    )


def _plays(span: MusicSpan, start_ms: int, length_ms: int) -> bool:
    return span.start_ms < start_ms + length_ms and start_ms < span.end_ms


def _music(span: MusicSpan, start_ms: int, length_ms: int) -> MusicSpan:
    """The music as it is at that time of the class; where it is cut, it fades."""
    begins_ms, ends_ms = max(0, span.start_ms - start_ms), min(length_ms, span.end_ms - start_ms)
    fade_in_ms = span.fade_in_ms if span.start_ms >= start_ms else FADE_IN_MS
    fade_out_ms = span.fade_out_ms if span.end_ms <= start_ms + length_ms else FADE_OUT_MS
    half_ms = (ends_ms - begins_ms) // 2
    return replace(
        span,
        start_ms=begins_ms,
        end_ms=ends_ms,
        fade_in_ms=min(fade_in_ms, half_ms),
        fade_out_ms=min(fade_out_ms, half_ms),
        from_ms=span.from_ms + max(0, start_ms - span.start_ms),
    )
