"""Counting the breaths of a hold aloud: chimes on the breaths, or numbers where the words leave room for them."""

from collections.abc import Iterator, Mapping, Sequence

from guide.plan.grid import Grid
from guide.plan.rules import GAP_MS
from guide.plan.shape import Shape, shapes
from guide.plan.timeline import Cue, Part, RingRole
from guide.sequence.steps import Breath, Count, CueKind, InBreaths, Sounds, Step, StepKind, Steps

#: What is said at the parts of a breathing pattern that is counted by voice: inhale, full, exhale, empty.
PART_WORDS = ("In", "Hold", "Out", "Hold")

PART_ROLES = (RingRole.INHALE, RingRole.PAUSE, RingRole.EXHALE, RingRole.PAUSE)

Strike = tuple[int, str, RingRole]
Beat = tuple[int, str, Strike]


def counted(steps: Steps, word_ms: Mapping[str, int], sound_ms: Mapping[str, int]) -> tuple[str, ...]:
    """The numbers (and parts of a pattern) that the plan of this class will say, so that they can be spoken first.

    `word_ms` and `sound_ms` are as for `plan`, without the numbers.
    """
    by_voice = [step for step in steps.steps if _is_counted(step) and step.count is Count.VOICE]
    if not by_voice:
        return ()
    texts: dict[str, None] = {}
    made = shapes(steps.steps, word_ms, sound_ms)
    for step, shape in zip(steps.steps, made, strict=True):
        if _is_counted(step) and step.count is Count.VOICE:
            texts.update((text, None) for _, text, _ in _beats(step, shape, 0, steps.sounds))
    return tuple(texts)


def counts(
    number: int,
    step: Step,
    shape: Shape,
    hold_ms: int,
    said: Sequence[Cue],
    sounds: Sounds,
    word_ms: Mapping[str, int],
) -> tuple[list[Cue], list[Strike]]:
    """The numbers said in step `number` around the cues of the file, and the chimes struck in it."""
    if step.count is Count.NONE:
        return [], []
    if step.kind is StepKind.MOVE:
        return [], [_move_strike(step, hold_ms, sounds)] if step.count is Count.CHIME else []
    if not _is_counted(step):
        return [], _time_strikes(step, shape, hold_ms, sounds) if step.count is Count.CHIME else []
    if step.count is Count.CHIME:
        return [], list(_chimes(step, shape, hold_ms, sounds))
    return _numbers(number, step, shape, hold_ms, said, sounds, word_ms)


def _is_counted(step: Step) -> bool:
    return isinstance(step.hold, InBreaths) and step.kind is not StepKind.SILENCE


def _move_strike(step: Step, hold_ms: int, sounds: Sounds) -> Strike:
    if step.breath is Breath.INHALE:
        return hold_ms, sounds.inhale, RingRole.INHALE
    return hold_ms, sounds.exhale, RingRole.EXHALE


def _chimes(step: Step, shape: Shape, hold_ms: int, sounds: Sounds) -> Iterator[Strike]:
    """A chime at each inhale and exhale; in a breathing pattern at its pauses too."""
    grid = Grid(step.pace)
    names = (sounds.inhale, sounds.pause, sounds.exhale, sounds.pause)
    wanted = (0, 1, 2, 3) if step.kind is StepKind.BREATHING else (0, 2)
    parts = [part for part in wanted if grid.has_part(part)]
    for breath in range(shape.breaths):
        for part in parts:
            yield hold_ms + grid.part_ms(breath, part), names[part], PART_ROLES[part]


def _time_strikes(step: Step, shape: Shape, hold_ms: int, sounds: Sounds) -> list[Strike]:
    """The chimes of a hold by the clock whose file asks for them: those of its whole breaths."""
    if step.kind is StepKind.SILENCE:
        return []
    grid = Grid(step.pace)
    return [
        (hold_ms + offset, sound, role)
        for breath in range(grid.whole_breaths(shape.held_ms))
        for offset, sound, role in (
            (grid.breath_ms(breath), sounds.inhale, RingRole.INHALE),
            (grid.exhale_ms(breath), sounds.exhale, RingRole.EXHALE),
        )
    ]


def _beats(step: Step, shape: Shape, hold_ms: int, sounds: Sounds) -> Iterator[Beat]:
    """Each number (or part of a pattern) with its moment, and the chime that stands in for it."""
    grid = Grid(step.pace)
    names = (sounds.inhale, sounds.pause, sounds.exhale, sounds.pause)
    for breath in range(shape.breaths):
        if step.kind is not StepKind.BREATHING:
            start_ms = hold_ms + grid.breath_ms(breath)
            yield start_ms + GAP_MS, str(breath + 1), (start_ms, sounds.inhale, RingRole.INHALE)
            continue
        for part in range(4):
            if grid.has_part(part):
                start_ms = hold_ms + grid.part_ms(breath, part)
                yield start_ms + GAP_MS, PART_WORDS[part], (start_ms, names[part], PART_ROLES[part])


def _numbers(
    number: int,
    step: Step,
    shape: Shape,
    hold_ms: int,
    said: Sequence[Cue],
    sounds: Sounds,
    word_ms: Mapping[str, int],
) -> tuple[list[Cue], list[Strike]]:
    """The numbers, each where the words leave it room; where they do not, its chime."""
    numbers: list[Cue] = []
    strikes: list[Strike] = []
    last_ms = hold_ms + shape.held_ms - GAP_MS
    waiting = list(reversed(said))
    free_ms = 0
    for start_ms, text, strike in _beats(step, shape, hold_ms, sounds):
        end_ms = start_ms + word_ms[text]
        while waiting and waiting[-1].start_ms <= start_ms:
            free_ms = max(free_ms, waiting.pop().end_ms + GAP_MS)
        next_ms = min(last_ms, waiting[-1].start_ms - GAP_MS if waiting else last_ms)
        if start_ms >= free_ms and end_ms <= next_ms:
            numbers.append(Cue(start_ms, end_ms - start_ms, text, CueKind.COUNT, Part.HOLD, step.place, number))
            free_ms = end_ms + GAP_MS
        else:
            strikes.append(strike)
    return numbers, strikes
