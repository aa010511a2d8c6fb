"""What counts in a hold around its words: chimes on its breaths and at an interval, and numbers said aloud."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from guide.plan.beats import Beat, HoldLength, beats, by_the_clock, is_counted_aloud
from guide.plan.fixed_lengths import GAP_MS, NUMBER_GAP_MS
from guide.plan.grid import Grid
from guide.plan.step_lengths import measured
from guide.plan.step_shape import StepShape, shapes
from guide.plan.timeline import Cue, CuePart, RingRole
from guide.sequence.steps import Breath, CueKind, InBreaths, SettledStep, Sounds, Step, StepKind, Steps
from guide.units import so_many

PART_ROLES = (RingRole.INHALE, RingRole.PAUSE, RingRole.EXHALE, RingRole.PAUSE)

Strike = tuple[int, str, RingRole]


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

    @property
    def length(self) -> HoldLength:
        """How long its hold is."""
        return HoldLength(Grid(self.step.pace), self.shape.held_ms, self.shape.breaths)


@dataclass(frozen=True, slots=True)
class Counted:
    """What is counted in a step: the numbers said, the chimes struck, and the numbers that found no room."""

    numbers: tuple[Cue, ...] = ()
    strikes: tuple[Strike, ...] = ()
    given_way: tuple[str, ...] = ()


def counted(
    steps: Steps, word_ms: Mapping[str, int], sound_ms: Mapping[str, int], more_breaths: int = 0
) -> tuple[str, ...]:
    """The numbers (and parts of a pattern) that the plan of this class counts aloud, so that they can be spoken first.

    With those of holds that have so many breaths more. `word_ms` and `sound_ms` are as for `plan`, without the numbers.
    """
    if not any(map(is_counted_aloud, steps.steps)):
        return ()
    texts: dict[str, None] = {}
    longer: dict[str, None] = {}
    made = shapes(measured(steps.steps, word_ms), sound_ms)
    for step, shape in zip(steps.steps, made, strict=True):
        if is_counted_aloud(step):
            grid = Grid(step.pace)
            length = HoldLength(grid, shape.held_ms, shape.breaths)
            texts.update((beat.text, None) for beat in beats(step, length))
            for more in range(1, more_breaths + 1):
                breaths = shape.breaths + more if shape.breaths else 0
                length = HoldLength(grid, shape.held_ms + grid.breath_ms(more), breaths)
                longer.update((beat.text, None) for beat in beats(step, length))
    return tuple(texts | longer)


def counts(held: CountedStep, said: Sequence[Cue], word_ms: Mapping[str, int]) -> Counted:
    """What is counted in a step around the cues of the file."""
    step = held.step
    numbers = _numbers(held, said, word_ms) if is_counted_aloud(step) else Counted()
    strikes = dict.fromkeys((*numbers.strikes, *_breath_strikes(held), *_interval_strikes(held)))
    return replace(numbers, strikes=tuple(strikes))


def _breath_strikes(held: CountedStep) -> Iterator[Strike]:
    if not held.step.count.chimes:
        return _half_breath(held) if is_counted_aloud(held.step) else iter(())
    if held.step.kind is StepKind.MOVE:
        return iter([_move_strike(held)])
    if isinstance(held.step.hold, InBreaths) and held.step.kind is not StepKind.SILENCE:
        return _chimes(held)
    return _time_strikes(held)


def _interval_strikes(held: CountedStep) -> Iterator[Strike]:
    """The chimes of an interval, which ring while the hold goes on; none at its end."""
    every_ms = held.step.chime_every_ms
    if every_ms is not None:
        for offset_ms in range(every_ms, held.shape.held_ms, every_ms):
            yield held.hold_ms + offset_ms, held.step.bell_sound, RingRole.INTERVAL


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
    """The chime of the inhale that comes after the whole breaths of a hold; no number is said for it.

    One that an earlier plan has struck in a shorter hold stays, whatever is counted there now.
    """
    step = held.step
    if isinstance(step.hold, InBreaths) and step.hold.and_a_half:
        is_alone = not step.count.chimes and step.kind is not StepKind.BREATHING
        struck_ms = step.laid.chimes if step.laid and is_alone else ()
        for offset_ms in sorted({*struck_ms, Grid(step.pace).breath_ms(held.shape.breaths)}):
            yield held.hold_ms + offset_ms, held.sounds.inhale, RingRole.INHALE


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


def _numbers(held: CountedStep, said: Sequence[Cue], word_ms: Mapping[str, int]) -> Counted:
    """The numbers, each in the first room that the words leave in its window; where there is none, its chime."""
    laid = held.step.laid
    until_ms = 0 if laid is None else laid.until_ms
    numbers = [] if laid is None else [_number(held, one.offset_ms, one.length_ms, one.text) for one in laid.counts]
    strikes: list[Strike] = []
    given_way: list[str] = []
    for beat in beats(held.step, held.length):
        if _is_over(beat, laid):
            strikes += _instead(held, beat)
            continue
        from_ms = max(beat.from_ms, until_ms, GAP_MS if held.step.entry else 0)
        start_ms = _free(held, replace(beat, from_ms=from_ms), word_ms[beat.text], (*said, *numbers[-1:]))
        if start_ms is None:
            strikes += _instead(held, beat)
            given_way.append(beat.text)
        else:
            numbers.append(_number(held, start_ms, word_ms[beat.text], beat.text))
    return Counted(tuple(numbers), tuple(strikes), tuple(given_way))


def _is_over(beat: Beat, laid: SettledStep | None) -> bool:
    """Whether what is counted here is settled: a number is said, its chime rings, or its time is over."""
    if laid is None:
        return False
    heard = any(min(beat.begins_ms, beat.from_ms) <= one.offset_ms < beat.until_ms for one in laid.counts)
    return heard or beat.begins_ms in laid.chimes or beat.until_ms <= laid.until_ms


def _instead(held: CountedStep, beat: Beat) -> Iterator[Strike]:
    """The chime of a part of a breath whose number is not said; what has begun in an earlier plan rings as it did."""
    laid = held.step.laid
    if beat.part is None or held.step.count.chimes:
        return
    if laid is None or beat.begins_ms >= laid.until_ms or beat.begins_ms in laid.chimes:
        yield held.hold_ms + beat.begins_ms, held.part_sounds[beat.part], PART_ROLES[beat.part]


def _free(held: CountedStep, beat: Beat, length_ms: int, cues: Sequence[Cue]) -> int | None:
    """The first offset in its window at which a number keeps its distance from all cues, sorted; None for none."""
    number_gap_ms = NUMBER_GAP_MS if by_the_clock(held.step) or held.step.kind is StepKind.BREATHING else GAP_MS
    start_ms = max(beat.from_ms, min(beat.begins_ms, beat.until_ms - length_ms))
    for cue in sorted(cues, key=lambda cue: cue.start_ms):
        gap_ms = number_gap_ms if cue.kind is CueKind.COUNT else GAP_MS
        if cue.end_ms + gap_ms > held.hold_ms + start_ms:
            if held.hold_ms + start_ms + length_ms + gap_ms <= cue.start_ms:
                break
            start_ms = cue.end_ms + gap_ms - held.hold_ms
    return start_ms if start_ms + length_ms <= beat.until_ms else None


def _number(held: CountedStep, offset_ms: int, length_ms: int, text: str) -> Cue:
    start_ms = held.hold_ms + offset_ms
    return Cue(start_ms, length_ms, text, CueKind.COUNT, CuePart.HOLD, held.step.place, held.number)


def given_way(title: str, numbers: Sequence[str]) -> str:
    """The note for numbers that found no room."""
    are = "is" if len(numbers) == 1 else "are"
    if not all(map(str.isdigit, numbers)):
        times = so_many(len(numbers), "time")
        return f"{in_short(numbers)} of “{title}” give way to its words, {times} in all, and chimes ring instead"
    return f"{in_short(numbers)} of “{title}” {are} not counted aloud, because the words of the hold need the time"


def in_short(numbers: Sequence[str]) -> str:
    """Numbers in the order in which they are counted: `2, 4 to 7 and 9`; parts of a pattern by their names."""
    runs: list[list[str]] = []
    for number in dict.fromkeys(numbers):
        if runs and _follows(runs[-1], number):
            runs[-1].append(number)
        else:
            runs.append([number])
    told = [part for run in runs for part in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else run)]
    return " and ".join(filter(None, (", ".join(told[:-1]), told[-1])))


def _follows(run: Sequence[str], number: str) -> bool:
    """Whether a number goes on with a run in its own direction."""
    if not (run[-1].isdigit() and number.isdigit()):
        return False
    step = int(number) - int(run[-1])
    return abs(step) == 1 and (len(run) == 1 or step == int(run[-1]) - int(run[-2]))
