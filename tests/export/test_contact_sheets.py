"""All figures on contact sheets: none is missing, none lies over another, and all on their pages."""

from itertools import combinations

from guide.export.sheet.boxes import FigureBox, TextBox
from guide.export.sheet.contact import HIGH_MM, MARGIN_MM, WIDE_MM, contact_sheets
from guide.figures.shipped_figures import shipped_figures
from guide.sequence.poses.shipped_library import shipped


def test_every_figure_is_there_once_with_its_name_and_none_lies_over_another() -> None:
    poses = [pose for number, pose in enumerate(shipped()) if number % 12 == 0]
    sheets = contact_sheets(poses, shipped_figures())
    boxes = [box for page in sheets.pages for box in page]
    drawn = [box.drawn for box in boxes if isinstance(box, FigureBox)]
    assert sorted(drawn) == sorted(pose.name for pose in poses if pose.name in shipped_figures())
    words = " ".join(line for box in boxes if isinstance(box, TextBox) for line in box.lines)
    assert all(" ".join(name.split()) in words for name in drawn)
    for page in sheets.pages:
        for box in page:
            assert box.x_mm >= MARGIN_MM - 0.01 and box.x_mm + box.wide_mm <= WIDE_MM - MARGIN_MM + 0.01
            assert box.y_mm >= MARGIN_MM - 0.01 and box.y_mm + box.high_mm <= HIGH_MM - MARGIN_MM + 0.01
        for one, two in combinations(page, 2):
            beside = one.x_mm + one.wide_mm <= two.x_mm + 0.01 or two.x_mm + two.wide_mm <= one.x_mm + 0.01
            below = one.y_mm + one.high_mm <= two.y_mm + 0.01 or two.y_mm + two.high_mm <= one.y_mm + 0.01
            assert beside or below, (one, two)
