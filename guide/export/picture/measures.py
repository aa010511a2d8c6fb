"""How large everything in a picture is: the broad one for a page, and the square one for the cover of a track."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PictureMeasures:
    """Widths and heights in the units of the picture; what a picture leaves out is 0 high.

    - `title_px`, `letters_px` and `row_px` are sizes of letters, the last that of names of rows, `small_px` that of
      names under figures and of levels.
    - `edge_px` is the margin, `left_px` where the time begins; names of rows stand before it.
    - The title has `title_lines` lines at most.
    - A figure has `figure_wide_px` by `figure_high_px`; its name `figure_name_px` below it.
    - `lane_px` is how high a lane is at most, `lanes_px` how high all of them are together at most.
    """

    wide_px: float
    edge_px: float
    left_px: float
    title_px: float
    title_lines: int
    letters_px: float
    row_px: float
    small_px: float
    figure_wide_px: float
    figure_high_px: float
    figure_name_px: float
    leader_px: float
    lane_px: float
    lanes_px: float
    level_px: float
    breath_px: float
    said_px: float
    bells_px: float
    axis_px: float
    sections_px: float
    legend_px: float
    gap_px: float
    high_px: float = 0.0

    @property
    def right_px(self) -> float:
        """Where the time ends."""
        return self.wide_px - self.edge_px


BROAD = PictureMeasures(
    wide_px=1200,
    edge_px=28,
    left_px=152,
    title_px=28,
    title_lines=2,
    letters_px=12.5,
    row_px=12.5,
    small_px=10.5,
    figure_wide_px=84,
    figure_high_px=80,
    figure_name_px=30,
    leader_px=32,
    lane_px=34,
    lanes_px=240,
    level_px=14,
    breath_px=36,
    said_px=40,
    bells_px=18,
    axis_px=24,
    sections_px=24,
    legend_px=24,
    gap_px=16,
)

#: What is read on a telephone, as small as a stamp: few things, and those large.
COVER = PictureMeasures(
    wide_px=1000,
    edge_px=56,
    left_px=280,
    title_px=76,
    title_lines=2,
    letters_px=34,
    row_px=26,
    small_px=26,
    figure_wide_px=222,
    figure_high_px=230,
    figure_name_px=0,
    leader_px=40,
    lane_px=100,
    lanes_px=300,
    level_px=30,
    breath_px=0,
    said_px=0,
    bells_px=0,
    axis_px=50,
    sections_px=0,
    legend_px=0,
    gap_px=30,
    high_px=1000,
)
