"""What an order must not touch: all that has begun by its moment is settled, and laid into the new plan as it was."""

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from guide.plan.class_length import lead_ms
from guide.plan.fixed_lengths import GAP_MS
from guide.plan.moment import begins_ms
from guide.plan.timeline import Cue, CuePart, RingRole, Span, Timeline
from guide.sequence.steps import CueKind, SettledCount, SettledStep, SettledWords, Step, StepKind, Steps, Words

#: Lengths of words, and of sounds, in ms.
Lengths = tuple[Mapping[str, int], Mapping[str, int]]

#: The cues of a step, and the moments of its chimes in ms.
Heard = tuple[list[Cue], list[int]]

CHIMES = (RingRole.INHALE, RingRole.EXHALE, RingRole.PAUSE)


def settled(
    before: Timeline, steps: Sequence[Step], until_ms: int, open_number: int | None, lengths: Lengths
) -> list[Step]:
    """The first steps of a class with what is settled of them in an earlier plan.

    All of it, save for the step with `open_number`: of that, what begins before `until_ms`, while its hold goes on.
    """
    heard = _by_step(before)
    made = []
    for number, (step, span) in enumerate(zip(steps, before.spans, strict=False)):
        if number != open_number or (step.hold is not None and span.held_ms <= until_ms):
            made.append(replace(step, laid=_whole(step, span, heard[number], lengths)))
        elif step.kind is StepKind.MOVE and begins_ms(before, number) >= until_ms:
            made.append(step)
        else:
            made.append(replace(step, laid=_begun(step, span, heard[number], until_ms, lengths)))
    return made


def _by_step(timeline: Timeline) -> dict[int, Heard]:
    heard: dict[int, Heard] = defaultdict(lambda: ([], []))
    for cue in timeline.cues:
        heard[cue.step][0].append(cue)
    for ring in timeline.rings:
        if ring.step is not None and ring.role in CHIMES:
            heard[ring.step][1].append(ring.start_ms)
    return heard


def _whole(step: Step, span: Span, heard: Heard, lengths: Lengths) -> SettledStep:
    """A step that stays as it was planned."""
    held_ms = span.held_ms - span.hold_ms
    return replace(_begun(step, span, heard, span.end_ms, lengths), held_ms=held_ms)


def _begun(step: Step, span: Span, heard: Heard, until_ms: int, lengths: Lengths) -> SettledStep:
    """What begins before `until_ms`: words, and numbers whose breath begins by then; a move that has begun is whole."""
    (word_ms, sound_ms), (cues, chimes_ms) = lengths, heard
    entry = [cue for cue in cues if cue.part is CuePart.ENTRY]
    said = tuple(cue.length_ms for cue in entry if cue.start_ms < until_ms)
    bell_ms = lead_ms(step.bell_sound, sound_ms) if step.bell.at_start else 0
    entry_ms = span.hold_ms - span.start_ms - bell_ms
    entry_ms += sum(word_ms[cue.words] - cue.length_ms for cue in entry[len(said) :])
    held = [cue for cue in cues if cue.part is not CuePart.ENTRY and cue.kind is not CueKind.COUNT]
    counts = [cue for cue in cues if cue.kind is CueKind.COUNT and cue.start_ms - GAP_MS < until_ms]
    return SettledStep(
        until_ms=until_ms - span.start_ms - bell_ms - entry_ms,
        entry_ms=entry_ms,
        held_ms=span.held_ms - span.hold_ms if step.kind is StepKind.MOVE else None,
        entry=said,
        words=_said(step.words, [cue for cue in held if cue.start_ms < until_ms], span.hold_ms),
        counts=tuple(SettledCount(cue.words, cue.start_ms - span.hold_ms, cue.length_ms) for cue in counts),
        chimes=tuple(start_ms - span.hold_ms for start_ms in chimes_ms if start_ms < until_ms),
    )


def _said(words: Sequence[Words], cues: Sequence[Cue], hold_ms: int) -> tuple[SettledWords, ...]:
    """The cues with the number of their words; both stand in the order of the file."""
    said: list[SettledWords] = []
    number = 0
    for cue in cues:
        while (words[number].place, words[number].text) != (cue.place, cue.words):
            number += 1
        said.append(SettledWords(number, cue.start_ms - hold_ms, cue.length_ms))
        number += 1
    return tuple(said)


def unlike(steps: Steps) -> Steps:
    """The steps without the pairs whose sides orders have given holds or paces of their own."""
    return _without(
        steps, lambda numbers: len({(steps.steps[each].hold, steps.steps[each].pace) for each in numbers}) > 1
    )


def unequal(steps: Steps, timeline: Timeline) -> Steps:
    """The steps without the pairs of which one side is settled, and the other cannot last as long as that."""

    def differ(numbers: Sequence[int]) -> bool:
        if all(steps.steps[each].laid is None for each in numbers):
            return False
        spans = [timeline.spans[each] for each in numbers]
        return len({(one.hold_ms - one.start_ms, one.held_ms - one.hold_ms) for one in spans}) > 1

    return _without(steps, differ)


def _without(steps: Steps, differ: Callable[[Sequence[int]], bool]) -> Steps:
    """The steps without the pairs whose numbers differ; the same steps where there are none."""
    pairs: dict[str, list[int]] = defaultdict(list)
    for number, step in enumerate(steps.steps):
        if step.pair is not None:
            pairs[step.pair].append(number)
    apart = {pair for pair, numbers in pairs.items() if differ(numbers)}
    if not apart:
        return steps
    return replace(steps, steps=tuple(replace(one, pair=None) if one.pair in apart else one for one in steps.steps))
