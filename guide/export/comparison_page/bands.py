"""Where everything lies in the picture: the blocks of both bands, what joins them, sections and names."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from guide.drawing.text_size import fitting, width_px
from guide.export.comparison_page.callouts import called_out
from guide.export.comparison_page.picture_parts import Bands, Group, Join, Label, StepBox
from guide.export.time_axis import Axis, ticks
from guide.review import report_phrases
from guide.review.comparison import Comparison, StepTaken
from guide.sequence.steps import StepKind

WIDE_PX, LEFT_PX, RIGHT_PX = 940.0, 84.0, 28.0
BAND_PX, LETTERS_PX = 112.0, 11.5

#: Blocks as narrow as this have no edges, between which nothing would be left.
THIN_PX = 3.0

#: Words stand upright in a block that is as wide as this and too narrow for them otherwise.
UPRIGHT_PX = 15.0

#: Shorter times without a step are not shown, since starts are not known any better.
LEAST_GAP_MS = 2000

#: The axis of a class that lasts no time at all.
LEAST_AXIS_MS = 1000


def bands(comparison: Comparison) -> Bands:
    """Both bands over one axis that begins with the class; the first known step begins in both at the same place."""
    moved_ms = _moved_ms(comparison)
    axis = _axis(comparison, moved_ms)
    planned = tuple(_planned(comparison, step, axis) for step in comparison.steps)
    real = tuple(_real(comparison, axis, moved_ms))
    found = {block.step: block for block in real if block.step is not None}
    over = () if comparison.is_another else report_phrases.most_over(comparison)
    return Bands(
        axis=axis,
        ticks=ticks(axis),
        groups=tuple(_groups(comparison, axis)),
        planned=planned,
        real=real,
        joins=tuple(Join(block, found[block.step]) for block in planned if block.step in found),
        callouts=called_out([(found[step.number].middle_px, step) for step in over if step.number in found], axis),
        slot_px=None if comparison.slot_ms is None else axis.at_px(comparison.slot_ms),
    )


def _began_ms(comparison: Comparison, step: StepTaken) -> int:
    """When a step was to begin, from the start of the class."""
    return step.planned_start_ms - comparison.steps[0].planned_start_ms


def _moved_ms(comparison: Comparison) -> int:
    """What makes a real moment one from the start of the class."""
    for step in comparison.steps:
        if step.real_start_ms is not None:
            return _began_ms(comparison, step) - step.real_start_ms
    return 0


def _axis(comparison: Comparison, moved_ms: int) -> Axis:
    known = [step for step in comparison.steps if step.real_start_ms is not None]
    starts_ms = [(step.real_start_ms or 0) + moved_ms for step in known]
    ends_ms = [start_ms + _drawn_ms(step) for start_ms, step in zip(starts_ms, known, strict=True)]
    planned_ms = [_began_ms(comparison, step) + step.planned_ms for step in comparison.steps]
    first_ms = min([0, *starts_ms])
    last_ms = max([*ends_ms, *planned_ms, comparison.slot_ms or 0, first_ms + LEAST_AXIS_MS])
    return Axis(first_ms, last_ms, LEFT_PX, WIDE_PX - LEFT_PX - RIGHT_PX)


def _drawn_ms(step: StepTaken) -> int:
    """How long a step is drawn: as planned, where its end is not known."""
    return step.planned_ms if step.real_ms is None else step.real_ms


def _planned(comparison: Comparison, step: StepTaken, axis: Axis) -> StepBox:
    start_ms = _began_ms(comparison, step)
    x_px, wide_px = _laid(axis, start_ms, start_ms + step.planned_ms)
    looks = "gone" if step.real_start_ms is None and report_phrases.is_known(comparison) else _kind(step)
    label = _label((report_phrases.named(step), report_phrases.title_of(step)), wide_px)
    return StepBox(step.number, x_px, wide_px, _thin(looks, wide_px), _tip(comparison, step), label)


def _real(comparison: Comparison, axis: Axis, moved_ms: int) -> Iterator[StepBox]:
    """The block of each step that is known, and of each time between two that belongs to none."""
    known = [step for step in comparison.steps if step.real_start_ms is not None]
    starts_ms = [(step.real_start_ms or 0) + moved_ms for step in known]
    after_ms = [*starts_ms, axis.last_ms][1:]
    for step, start_ms, next_ms in zip(known, starts_ms, after_ms, strict=True):
        end_ms = start_ms + _drawn_ms(step)
        if step.real_ms is None and start_ms < next_ms:
            end_ms = min(end_ms, next_ms)
        x_px, wide_px = _laid(axis, start_ms, end_ms)
        label = _label((report_phrases.over_words(step),), wide_px) if _differs(step) else None
        yield StepBox(step.number, x_px, wide_px, _thin(_looks(step), wide_px), _tip(comparison, step), label)
        if step is not known[-1] and step.real_ms is not None and next_ms - end_ms >= LEAST_GAP_MS:
            x_px, wide_px = _laid(axis, end_ms, next_ms)
            yield StepBox(
                None, x_px, wide_px, "gap", f"{report_phrases.length(next_ms - end_ms)} that belong to no step"
            )


def _laid(axis: Axis, start_ms: int, end_ms: int) -> tuple[float, float]:
    x_px = axis.at_px(start_ms)
    return x_px, round(axis.at_px(end_ms) - x_px, 2)


def _kind(step: StepTaken) -> str:
    return "move" if step.kind is StepKind.MOVE else "held"


def _differs(step: StepTaken) -> bool:
    return abs(report_phrases.over_ms(step)) >= report_phrases.ALIKE_MS


def _looks(step: StepTaken) -> str:
    if step.real_ms is None:
        looks = "open"
    elif _differs(step):
        looks = "over" if report_phrases.over_ms(step) > 0 else "under"
    else:
        looks = _kind(step)
    return f"{looks} unsure" if step.sure < report_phrases.SURE else looks


def _thin(looks: str, wide_px: float) -> str:
    return f"{looks} thin" if wide_px < THIN_PX else looks


def _label(choices: Sequence[str], wide_px: float) -> Label | None:
    """The first of `choices` along the block if it fits, else upright the first that does, or as much of the last."""
    if width_px(choices[0], LETTERS_PX) <= wide_px - 6:
        return Label(choices[0], is_upright=False)
    if wide_px < UPRIGHT_PX:
        return None
    room_px = BAND_PX - 8
    upright = next((words for words in choices if width_px(words, LETTERS_PX) <= room_px), None)
    upright = upright or fitting(choices[-1], room_px, LETTERS_PX, 3)
    return Label(upright, is_upright=True) if upright else None


def _tip(comparison: Comparison, step: StepTaken) -> str:
    planned = f"{report_phrases.named(step)}: planned {report_phrases.length(step.planned_ms)}"
    if step.real_start_ms is None:
        return f"{planned}, {report_phrases.rests_on(comparison, step)}"
    sure = f"{round(100 * step.sure)} % sure"
    if step.real_ms is None:
        return f"{planned}, its end is not known, {sure}"
    took = f"took {report_phrases.length(step.real_ms)} ({report_phrases.more(step.planned_ms, step.real_ms)})"
    return f"{planned}, {took}, {sure}"


def _groups(comparison: Comparison, axis: Axis) -> Iterator[Group]:
    """Each run of steps of one section."""
    for section, run in groupby(comparison.steps, key=lambda step: step.section):
        steps = list(run)
        if section is None:
            continue
        first_ms, last_ms = _began_ms(comparison, steps[0]), _began_ms(comparison, steps[-1]) + steps[-1].planned_ms
        x_px, wide_px = _laid(axis, first_ms, last_ms)
        title = report_phrases.plain(comparison.sections[section])
        yield Group(x_px, wide_px, fitting(title, wide_px - 8, LETTERS_PX, 3), title)
