"""What the picture is made of, as numbers in its own units, of which a screen shows one as about one pixel."""

from dataclasses import dataclass

from guide.export.time_axis import Axis, Tick


@dataclass(frozen=True, slots=True)
class Label:
    """Words in the middle of a block; upright ones are read from below."""

    words: str
    is_upright: bool


@dataclass(frozen=True, slots=True)
class StepBox:
    """A step in a band, or a time without one. `looks` names how it is drawn, `tip` says all about it."""

    step: int | None
    x_px: float
    wide_px: float
    looks: str
    tip: str
    label: Label | None = None

    @property
    def middle_px(self) -> float:
        """Its middle, from the left."""
        return round(self.x_px + self.wide_px / 2, 2)

    @property
    def end_px(self) -> float:
        """Its right end, from the left."""
        return round(self.x_px + self.wide_px, 2)


@dataclass(frozen=True, slots=True)
class Join:
    """A step as planned, above, and as it was, below."""

    above: StepBox
    below: StepBox


@dataclass(frozen=True, slots=True)
class Group:
    """A section above the planned band; `words` are as much of its title as there is room for."""

    x_px: float
    wide_px: float
    words: str
    title: str


@dataclass(frozen=True, slots=True)
class Callout:
    """Words below the real band, in row `row` from above, with a line up to `at_px`."""

    at_px: float
    x_px: float
    row: int
    more: str
    name: str


@dataclass(frozen=True, slots=True)
class Bands:
    """The two bands over their axis; `slot_px` is where the slot is over."""

    axis: Axis
    ticks: tuple[Tick, ...]
    groups: tuple[Group, ...]
    planned: tuple[StepBox, ...]
    real: tuple[StepBox, ...]
    joins: tuple[Join, ...]
    callouts: tuple[Callout, ...]
    slot_px: float | None
