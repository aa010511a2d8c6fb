"""The figures above the picture: which poses are shown, and where each stands."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import cache

from guide.export.picture.measures import Measures
from guide.export.picture.seen import ClassSeen, StepSeen
from guide.figures.drawing import Drawing, draw
from guide.figures.figure import mirrored
from guide.figures.shipped_figures import shipped_figures
from guide.sequence.steps import Side, StepKind


@dataclass(frozen=True, slots=True)
class Shown:
    """A figure whose middle is at `x_px`, of a step that is held around `at_px`."""

    step: StepSeen
    at_px: float
    x_px: float

    @property
    def drawing(self) -> Drawing:
        """The body in its pose, on the side of the step."""
        return _drawing(self.step.pose or "", self.step.side is Side.LEFT)

    def scale_px(self, size: Measures) -> float:
        """How many units of the picture one height of the body has, so that the figure fits its room."""
        left, bottom, right, top = self.drawing.box
        high_px = size.figure_high_px
        return min(0.94 * size.figure_wide_px / (right - left), high_px / (top - bottom), high_px)

    def high_px(self, size: Measures) -> float:
        """How high the figure is drawn."""
        _, bottom, _, top = self.drawing.box
        return self.scale_px(size) * (top - bottom)


@cache
def _drawing(pose: str, on_left: bool) -> Drawing:
    figure = shipped_figures()[pose]
    return draw(mirrored(figure) if on_left else figure)


def longest_held(klass: ClassSeen, having: Collection[str], most: int) -> list[StepSeen]:
    """Of the poses that have a figure, those that are held longest, each where it first is, in order of time."""
    held_ms: dict[str, int] = {}
    first: dict[str, StepSeen] = {}
    for step in klass.steps:
        if step.pose in having and step.pose is not None:
            # A move goes through a pose: it is shown where room is left.
            held = step.held_ms - step.hold_ms if step.kind is not StepKind.MOVE else 0
            held_ms[step.pose] = held_ms.get(step.pose, 0) + held
            if step.pose not in first or (held and first[step.pose].kind is StepKind.MOVE):
                first[step.pose] = step
    chosen = sorted(first, key=lambda pose: (-held_ms[pose], first[pose].start_ms))[:most]
    return sorted((first[pose] for pose in chosen), key=lambda step: step.start_ms)


def placed(
    steps: Sequence[StepSeen], at_px: Sequence[float], first_px: float, last_px: float, wide_px: float
) -> list[Shown]:
    """The figures as near to their steps as can be, `wide_px` apart, with their middles from `first_px` to `last_px`.

    Those that want the same room share it evenly around the middle of what they want.
    """
    groups: list[tuple[float, int]] = []
    for wanted_px in at_px:
        # A group is where its first would be if all of it stood as near as can be, and how many there are.
        groups.append((wanted_px, 1))
        while len(groups) > 1 and groups[-2][0] + groups[-2][1] * wide_px > groups[-1][0]:
            (second_px, seconds), (one_px, ones) = groups.pop(), groups.pop()
            mean_px = (one_px * ones + (second_px - ones * wide_px) * seconds) / (ones + seconds)
            groups.append((mean_px, ones + seconds))
    wanted = [start_px + number * wide_px for start_px, count in groups for number in range(count)]
    found: list[float] = []
    for number, x_px in enumerate(wanted):
        least_px = found[-1] + wide_px if found else first_px
        most_px = last_px - (len(wanted) - 1 - number) * wide_px
        found.append(min(max(x_px, least_px), most_px))
    return [Shown(step, at, x_px) for step, at, x_px in zip(steps, at_px, found, strict=True)]
