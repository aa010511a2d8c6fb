"""Counting the breaths of a hold aloud: chimes on the breaths, or numbers where the words leave room for them."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from guide.plan.fixed_lengths import GAP_MS
from guide.plan.grid import Grid
from guide.plan.step_lengths import measured
from guide.plan.step_shape import StepShape, shapes
from guide.plan.timeline import Cue, CuePart, RingRole
from guide.sequence.steps import Breath, Count, CueKind, InBreaths, Sounds, Step, StepKind, Steps

#: What is said at the parts of a breathing pattern that is counted by voice: inhale, full, exhale, empty.
PART_WORDS = ("In", "Hold", "Out", "Hold")

PART_ROLES = (RingRole.INHALE, RingRole.PAUSE, RingRole.EXHALE, RingRole.PAUSE)

Strike = tuple[int, str, RingRole]
Beat = tuple[int, str, Strike]


@dataclass(frozen=True, slots=True)
class CountedStep:
    """A step in time, to be counted: its index, its shape, when its hold (or move) begins, and the class's sounds."""

    number: int
    step: Step
    shape: StepShape
    hold_ms: int
    sounds: Sounds

    @property
    def part_sounds(self) -> tuple[str, str, str, str]:
        """The chimes of inhale, full, exhale and empty."""
        return self.sounds.inhale, self.sounds.pause, self.sounds.exhale, self.sounds.pause


def counted(steps: Steps, word_ms: Mapping[str, int], sound_ms: Mapping[str, int]) -> tuple[str, ...]:
    """The numbers (and parts of a pattern) that the plan of this class will say, so that they can be spoken first.

    `word_ms` and `sound_ms` are as for `plan`, without the numbers.
    """
    if not any(map(_is_counted_aloud, steps.steps)):
        return ()
    texts: dict[str, None] = {}
    made = shapes(measured(steps.steps, word_ms), sound_ms)
    for number, (step, shape) in enumerate(zip(steps.steps, made, strict=True)):
        if _is_counted_aloud(step):
            held = CountedStep(number, step, shape, 0, steps.sounds)
            texts.update((text, None) for _, text, _ in _beats(held))
    return tuple(texts)


def counts(held: CountedStep, said: Sequence[Cue], word_ms: Mapping[str, int]) -> tuple[list[Cue], list[Strike]]:
    """The numbers said in a step around the cues of the file, and the chimes struck in it."""
    step = held.step
    if _is_counted_aloud(step):
        numbers, strikes = _numbers(held, said, word_ms)
        return numbers, [*strikes, *_half_breath(held)]
    if step.count is not Count.CHIME:
        return [], []
    if step.kind is StepKind.MOVE:
        return [], [_move_strike(held)]
    return [], list(_chimes(held) if _is_counted(step) else _time_strikes(held))


def _is_counted(step: Step) -> bool:
    return isinstance(step.hold, InBreaths) and step.kind is not StepKind.SILENCE


def _is_counted_aloud(step: Step) -> bool:
    return _is_counted(step) and step.count is Count.VOICE


def _move_strike(held: CountedStep) -> Strike:
    if held.step.breath is Breath.INHALE:
        return held.hold_ms, held.sounds.inhale, RingRole.INHALE
    return held.hold_ms, held.sounds.exhale, RingRole.EXHALE


def _chimes(held: CountedStep) -> Iterator[Strike]:
    """A chime at each inhale and exhale; in a breathing pattern at its pauses too."""
    grid = Grid(held.step.pace)
    wanted = (0, 1, 2, 3) if held.step.kind is StepKind.BREATHING else (0, 2)
    parts = [part for part in wanted if grid.has_part(part)]
    for breath in range(held.shape.breaths):
        for part in parts:
            yield held.hold_ms + grid.part_ms(breath, part), held.part_sounds[part], PART_ROLES[part]
    yield from _half_breath(held)


def _half_breath(held: CountedStep) -> Iterator[Strike]:
    """The chime of the inhale that comes after the whole breaths of a hold; no number is said for it."""
    if isinstance(held.step.hold, InBreaths) and held.step.hold.and_a_half:
        start_ms = held.hold_ms + Grid(held.step.pace).breath_ms(held.shape.breaths)
        yield start_ms, held.sounds.inhale, RingRole.INHALE


def _time_strikes(held: CountedStep) -> Iterator[Strike]:
    """The chimes of a hold by the clock whose file asks for them: those of its whole breaths."""
    if held.step.kind is StepKind.SILENCE:
        return
    grid, laid = Grid(held.step.pace), held.step.laid
    whole = grid.whole_breaths(held.shape.held_ms)
    for breath in range(whole if laid is None else whole + 1):
        for offset_ms, sound, role in (
            (grid.breath_ms(breath), held.sounds.inhale, RingRole.INHALE),
            (grid.exhale_ms(breath), held.sounds.exhale, RingRole.EXHALE),
        ):
            if breath < whole if laid is None or offset_ms >= laid.until_ms else offset_ms in laid.chimes:
                yield held.hold_ms + offset_ms, sound, role


def _beats(held: CountedStep) -> Iterator[Beat]:
    """Each number (or part of a pattern) with its moment, and the chime that stands in for it."""
    grid = Grid(held.step.pace)
    in_parts = held.step.kind is StepKind.BREATHING
    for breath in range(held.shape.breaths):
        for part in (0, 1, 2, 3) if in_parts else (0,):
            if grid.has_part(part):
                start_ms = held.hold_ms + grid.part_ms(breath, part)
                text = PART_WORDS[part] if in_parts else str(breath + 1)
                yield start_ms + GAP_MS, text, (start_ms, held.part_sounds[part], PART_ROLES[part])


def _numbers(held: CountedStep, said: Sequence[Cue], word_ms: Mapping[str, int]) -> tuple[list[Cue], list[Strike]]:
    """The numbers, each where the words leave it room; where they do not, its chime."""
    numbers, strikes, beats = _settled(held)
    last_ms = held.hold_ms + held.shape.held_ms - GAP_MS
    waiting = list(reversed(said))
    free_ms = numbers[-1].end_ms + GAP_MS if numbers else 0
    for start_ms, text, strike in beats:
        length_ms = word_ms[text]
        while waiting and waiting[-1].start_ms <= start_ms:
            free_ms = max(free_ms, waiting.pop().end_ms + GAP_MS)
        next_ms = min(last_ms, waiting[-1].start_ms - GAP_MS if waiting else last_ms)
        if free_ms <= start_ms <= next_ms - length_ms:
            numbers.append(_number(held, start_ms, length_ms, text))
            free_ms = start_ms + length_ms + GAP_MS
        else:
            strikes.append(strike)
    return numbers, strikes


def _number(held: CountedStep, start_ms: int, length_ms: int, text: str) -> Cue:
    return Cue(start_ms, length_ms, text, CueKind.COUNT, CuePart.HOLD, held.step.place, held.number)


def _settled(held: CountedStep) -> tuple[list[Cue], list[Strike], list[Beat]]:
    """What an earlier plan has settled, numbers and chimes for beats without one, and the beats that are to come."""
    laid = held.step.laid
    if laid is None:
        return [], [], list(_beats(held))
    length_ms = {held.hold_ms + one.offset_ms: one.length_ms for one in laid.counts}
    numbers: list[Cue] = []
    strikes: list[Strike] = []
    to_come: list[Beat] = []
    for start_ms, text, strike in _beats(held):
        if strike[0] >= held.hold_ms + laid.until_ms:
            to_come.append((start_ms, text, strike))
        elif start_ms in length_ms:
            numbers.append(_number(held, start_ms, length_ms[start_ms], text))
        else:
            strikes.append(strike)
    return numbers, strikes, to_come
