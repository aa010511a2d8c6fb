"""The figures above the picture: which poses are shown, and where each stands."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from guide.export.picture.measures import PictureMeasures
from guide.export.picture.seen import ClassSeen, StepSeen
from guide.figures.drawing import Drawing, draw, small
from guide.figures.figure import Figure, mirrored
from guide.sequence.steps import Side, StepKind


@dataclass(frozen=True)
class Shown:
    """A figure whose middle is at `x_px`, of a step that is held around `at_px`."""

    step: StepSeen
    figure: Figure
    at_px: float
    x_px: float

    @cached_property
    def drawing(self) -> Drawing:
        """The body in its pose, on the side of the step."""
        return small(draw(mirrored(self.figure) if self.step.side is Side.LEFT else self.figure))

    def scale_px(self, size: PictureMeasures) -> float:
        """How many units of the picture one height of the body has, so that the figure fits its room."""
        left, bottom, right, top = self.drawing.box
        high_px = size.figure_high_px
        return min(0.94 * size.figure_wide_px / (right - left), high_px / (top - bottom), high_px)

    def high_px(self, size: PictureMeasures) -> float:
        """How high the figure is drawn."""
        _, bottom, _, top = self.drawing.box
        return self.scale_px(size) * (top - bottom)


def longest_held(klass: ClassSeen, most: int) -> list[StepSeen]:
    """Of the poses that have a figure, those that are held longest, each where it first is, in order of time.

    The longest of each section come first, so that all parts of a class are there.
    """
    held_ms: dict[str, int] = {}
    first: dict[str, StepSeen] = {}
    for step in klass.steps:
        if step.pose in klass.figures and step.pose is not None:
            # A move goes through a pose: it is shown where room is left.
            held = step.held_ms - step.hold_ms if step.kind is not StepKind.MOVE else 0
            held_ms[step.pose] = held_ms.get(step.pose, 0) + held
            if step.pose not in first or (held and first[step.pose].kind is StepKind.MOVE):
                first[step.pose] = step
    longest = sorted(first, key=lambda pose: (-held_ms[pose], first[pose].start_ms))
    in_section: dict[int, list[str]] = {}
    for pose in longest:
        in_section.setdefault(_section(klass, first[pose]), []).append(pose)
    ranks = {pose: rank for poses in in_section.values() for rank, pose in enumerate(poses)}
    chosen = sorted(longest, key=lambda pose: ranks[pose])[:most]
    return sorted((first[pose] for pose in chosen), key=lambda step: step.start_ms)


def _section(klass: ClassSeen, step: StepSeen) -> int:
    return sum(section.start_ms <= step.hold_ms for section in klass.sections)


def placed(at_px: Sequence[float], first_px: float, last_px: float, wide_px: float) -> list[float]:
    """Where figures stand, with their middles from `first_px` to `last_px` and `wide_px` apart.

    They are as near to their steps as can be; those that want the same room share it around the middle of what they
    want.
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
    return found
