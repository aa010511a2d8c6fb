"""When which music plays: from section to section, faded in and out, one fading into the other where it changes."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from guide.plan.timeline import MusicSpan, Note, Span
from guide.sequence.steps import Music, StepKind, Steps

#: How long music takes to come, to go, and to become another (common practice, no source).
FADE_IN_MS, FADE_OUT_MS, CROSS_MS = 3000, 6000, 4000

#: How long it takes to go before the last rest.
REST_FADE_MS = 10_000

#: The pose that is a rest however it is written.
FINAL_REST = "final rest"


def music_spans(steps: Steps, spans: Sequence[Span], starts_ms: Iterable[int], length_ms: int) -> tuple[MusicSpan, ...]:
    """The music of a class whose sections start at these moments."""
    laid: list[tuple[int, int, Music]] = []
    rest_ms = last_rest_ms(spans)
    for start_ms, end_ms, music in _stretches(steps, spans, starts_ms, length_ms):
        if music.until_rest and rest_ms is not None and start_ms < rest_ms:
            end_ms = min(end_ms, rest_ms)
        if music.source and start_ms < end_ms:
            laid.append((start_ms, end_ms, music))
    return tuple(_faded(laid, rest_ms))


def last_rest_ms(spans: Sequence[Span]) -> int | None:
    """When the last rest begins, with its words; None where there is none."""
    rests = [span.start_ms for span in spans if span.kind is StepKind.REST or span.pose == FINAL_REST]
    return rests[-1] if rests else None


def music_notes(steps: Steps, spans: Sequence[Span]) -> Iterator[Note]:
    """A note where music is to go before a rest that there is not."""
    if last_rest_ms(spans) is None:
        for music in steps.music_named():
            if music.until_rest:
                yield Note(music.place, "the music plays on to the end, because there is no rest to go before")


def _stretches(
    steps: Steps, spans: Sequence[Span], starts_ms: Iterable[int], length_ms: int
) -> Iterator[tuple[int, int, Music]]:
    """From when to when which music is asked for, silence too; what a section asks for again goes on."""
    changes: list[tuple[int, Music]] = [] if steps.music is None else [(0, steps.music)]
    # A section without a step has no time, but what it asks for holds after it.
    with_steps = dict.fromkeys(span.section for span in spans if span.section is not None)
    for number, start_ms in zip(with_steps, starts_ms, strict=True):
        said = [section.music for section in steps.sections[: number + 1] if section.music is not None]
        if said and (not changes or changes[-1][1] != said[-1]):
            changes.append((start_ms, said[-1]))
    ends_ms = [start_ms for start_ms, _ in changes[1:]] + [length_ms]
    for (start_ms, music), end_ms in zip(changes, ends_ms, strict=False):
        yield start_ms, end_ms, music


def _faded(laid: Sequence[tuple[int, int, Music]], rest_ms: int | None) -> Iterator[MusicSpan]:
    """The stretches as spans; where one follows another at once, both sound while one becomes the other."""
    crosses_ms = [0, *(_cross_ms(one, other) for one, other in pairwise(laid)), 0]
    for number, (start_ms, end_ms, music) in enumerate(laid):
        before_ms, after_ms = crosses_ms[number], crosses_ms[number + 1]
        start_ms, end_ms = start_ms - before_ms // 2, end_ms + after_ms // 2
        usual_ms = REST_FADE_MS if end_ms == rest_ms else FADE_OUT_MS
        half_ms = (end_ms - start_ms) // 2
        fade_in_ms, fade_out_ms = min(before_ms or FADE_IN_MS, half_ms), min(after_ms or usual_ms, half_ms)
        yield MusicSpan(start_ms, end_ms, music.source, music.below_db, fade_in_ms, fade_out_ms)


def _cross_ms(one: tuple[int, int, Music], other: tuple[int, int, Music]) -> int:
    """How long the one takes to become the other: an even number; 0 where there is silence between them."""
    if one[1] != other[0]:
        return 0
    return min(CROSS_MS, *((end_ms - start_ms) // 2 for start_ms, end_ms, _ in (one, other))) // 2 * 2
