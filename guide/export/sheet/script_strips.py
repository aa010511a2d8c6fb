"""Every word that is said as strips of a column: when, what is done, and the words."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from guide.export.sheet.boxes import SheetInk, TextBox, TextRole
from guide.export.sheet.content import SaidStep, SectionScript
from guide.export.sheet.scales import SheetScale
from guide.export.sheet.strips import Strip, bottom_mm

#: More lines than this go on in a strip of their own, which may stand in the next column.
_MOST_LINES = 8

_CLOCKS = "0:00:00 "


def script_strips(scripts: Sequence[SectionScript], scale: SheetScale, wide_mm: float) -> list[Strip]:
    """The words of all sections, each title with the first words below it."""
    made: list[Strip] = []
    for script in scripts:
        first, *rest = [strip for step in script.steps for strip in _step(step, scale, wide_mm)]
        made += [_headed(script.title, first, scale, wide_mm), *rest]
    return made


def _headed(title: str, first: Strip, scale: SheetScale, wide_mm: float) -> Strip:
    if not title:
        return first
    head = TextBox(0, 0, scale.heading.lines(title, wide_mm), scale.heading, role=TextRole.HEADING)
    boxes = (head, *(box.moved(0, head.high_mm + 1) for box in first.boxes))
    return Strip(boxes, bottom_mm(boxes), 2 * scale.script.line_mm)


def _step(step: SaidStep, scale: SheetScale, wide_mm: float) -> Iterator[Strip]:
    """The words of a step, a strip for each cue; the first says when and what."""
    script, small = scale.script, scale.small
    x_mm = small.wide_mm(_CLOCKS)
    bold = replace(script, bold=True)
    name = bold.lines(step.name, wide_mm - x_mm) if step.name else ()
    clock = TextBox(0, script.base_mm - small.base_mm, (step.clock,), small, SheetInk.GREY)
    titled = (TextBox(x_mm, 0, name, bold),) if name else ()
    before = (clock, *titled)
    y_mm, gap_mm = bottom_mm(titled), 0.5 * script.line_mm
    for words in step.words:
        lines = script.lines(words, wide_mm - x_mm)
        for at in range(0, len(lines), _MOST_LINES):
            boxes = (*before, TextBox(x_mm, y_mm, lines[at : at + _MOST_LINES], script))
            yield Strip(boxes, bottom_mm(boxes), gap_mm)
            before, y_mm, gap_mm = (), 0.0, 0.0
        gap_mm = 0.15 * script.line_mm
