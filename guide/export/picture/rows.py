"""The rows of the picture, each over the same axis: what carries people, how strong, the breath, the words, bells."""

from collections.abc import Iterator, Sequence

from guide.drawing.text_size import fitting, width_px
from guide.export.picture.measures import PictureMeasures
from guide.export.picture.seen import LEVELS, ClassSeen, Lane, StepSeen, runs
from guide.export.picture.shapes import Dot, Letters, Oblong, PictureShape, Stroke, rounded
from guide.export.time_axis import LEAST_PX, Axis, ticks
from guide.plan.timeline import Ring, RingRole
from guide.sequence.steps import Side, StepKind
from guide.units import clock, seconds_text, so_many

#: Steps as narrow as this have no gap between them, of which nothing would be left.
THIN_PX = 3.0

#: The gap between two steps, and between a step and the edge of its lane.
GAP_PX, INSET_PX = 0.8, 2.0

#: How wide the bars are that tell how much is said, at least.
SAID_PX = 6.0

#: Bold letters are so much wider than what `text_size` guesses. (Measured of DejaVu Sans.)
BOLD = 1.15

#: The letters that name a side, and the half of its lane that it has: seen from above, along the arrow of time.
SIDES = {Side.LEFT: ("L", 0.0), Side.RIGHT: ("R", 0.5)}

#: Half the size of a bell's mark.
MARK_PX = {RingRole.CLASS: 7.0, RingRole.SECTION: 5.0, RingRole.STEP: 4.5, RingRole.INTERVAL: 4.0}


def lanes_of(klass: ClassSeen) -> list[Lane]:
    """The lanes that a picture needs, from above."""
    used = {step.lane for step in klass.steps}
    return [lane for lane in Lane if lane in used]


def lane_high_px(klass: ClassSeen, size: PictureMeasures) -> float:
    """How high each lane is."""
    return min(size.lane_px, round(size.lanes_px / max(1, len(lanes_of(klass))), 2))


def carried(klass: ClassSeen, size: PictureMeasures, axis: Axis, top_px: float) -> Iterator[PictureShape]:
    """A lane for each thing that carries people, with their steps in it; across all of them where it is not told."""
    lanes, high_px = lanes_of(klass), lane_high_px(klass, size)
    tops = {lane: round(top_px + number * high_px, 2) for number, lane in enumerate(lanes)}
    for number, (lane, lane_top_px) in enumerate(tops.items()):
        look = "lane" if number % 2 == 0 else "lane even"
        yield Oblong(axis.left_px, lane_top_px, axis.wide_px, high_px, look)
        spent_ms = sum(step.end_ms - step.start_ms for step in klass.steps if step.lane is lane)
        yield from _row_name(size, lane_top_px + high_px / 2, lane.value, clock(spent_ms) if size.legend_px else "")
    for step in klass.steps:
        yield from _step(step, axis, tops, high_px, top_px, len(lanes))
    for (side, on), start_ms, end_ms in runs(klass.steps, lambda step: (step.side, step.lane)):
        if side is not None and on is not None:
            yield from _side_letter(side, axis, start_ms, end_ms, tops[on], high_px, size)


def _step(
    step: StepSeen, axis: Axis, tops: dict[Lane, float], high_px: float, top_px: float, count: int
) -> Iterator[PictureShape]:
    left_px, right_px = axis.at_px(step.start_ms), axis.at_px(step.end_ms)
    wide_px = right_px - left_px
    drawn_px = round(wide_px - (GAP_PX if wide_px >= THIN_PX else 0), 2)
    if step.lane is None:
        yield Oblong(left_px, top_px, round(wide_px, 2), round(max(1, count) * high_px, 2), "untold", _tip(step))
        return
    lane_top_px = tops[step.lane]
    kind = "move" if step.kind in (StepKind.MOVE, StepKind.TALK) else "hold"
    if step.side is None:
        y_px, box_px = lane_top_px + INSET_PX, high_px - 2 * INSET_PX
        yield Oblong(left_px, round(y_px, 2), drawn_px, round(box_px, 2), kind, _tip(step))
        return
    half_px = (high_px - 2 * INSET_PX) / 2
    y_px = lane_top_px + INSET_PX + SIDES[step.side][1] * 2 * half_px
    yield Oblong(left_px, round(y_px, 2), drawn_px, round(half_px, 2), f"{step.side.value} {kind}", _tip(step))


def _side_letter(
    side: Side, axis: Axis, start_ms: int, end_ms: int, lane_top_px: float, high_px: float, size: PictureMeasures
) -> Iterator[PictureShape]:
    letter, half = SIDES[side]
    letters_px = min(size.small_px + 1, high_px / 2 - INSET_PX - 1)
    left_px, right_px = axis.at_px(start_ms), axis.at_px(end_ms)
    if right_px - left_px < width_px(letter, letters_px) + 2:
        return
    middle_px = lane_top_px + high_px * (0.25 + half) + (INSET_PX / 2 if not half else -INSET_PX / 2)
    y_px = round(middle_px + 0.36 * letters_px, 2)
    yield Letters(round((left_px + right_px) / 2, 2), y_px, letter, letters_px, f"on-{side.value}", "middle")


def _tip(step: StepSeen) -> str:
    side = f", {step.side.value}" if step.side else ""
    return f"{step.title}{side}: {clock(step.start_ms)}, {seconds_text(step.end_ms - step.start_ms)}"


def _row_name(size: PictureMeasures, y_px: float, name: str, more: str) -> Iterator[PictureShape]:
    """The name of a row before it, with a word more below."""
    x_px = size.left_px - 12
    base_px = y_px if more else y_px + 0.36 * size.row_px
    yield Letters(x_px, round(base_px, 2), name, size.row_px, "ink", "end")
    if more:
        yield Letters(x_px, round(y_px + size.small_px + 2, 2), more, size.small_px, "quiet", "end")


def levels(klass: ClassSeen, size: PictureMeasures, axis: Axis, top_px: float) -> Iterator[PictureShape]:
    """How much is asked of people, as a line over the four levels; broken where it is not told."""
    floor_px = top_px + size.level_px * (len(LEVELS) - 1)

    def high(level: int) -> float:
        return round(floor_px - level * size.level_px, 2)

    for number, name in enumerate(LEVELS):
        yield Stroke(((axis.left_px, high(number)), (axis.right_px, high(number))), "grid")
        if size.legend_px:
            yield Letters(size.left_px - 12, high(number) + 3.5, name, size.small_px, "quiet", "end")
    if size.legend_px:
        yield Letters(size.edge_px, round((top_px + floor_px) / 2 + 4, 2), "strength", size.row_px, "ink")
    else:
        yield from _row_name(size, (top_px + floor_px) / 2, "strength", "")
    yield from _line(klass, axis, [None if step.level is None else high(step.level) for step in klass.steps], floor_px)


def _line(klass: ClassSeen, axis: Axis, heights_px: Sequence[float | None], floor_px: float) -> Iterator[PictureShape]:
    """A line in steps, with what lies under it filled; nothing where there is no height."""
    line: list[tuple[float, float]] = []
    for step, high_px in zip(klass.steps, heights_px, strict=True):
        if high_px is not None:
            line += [(axis.at_px(step.start_ms), high_px), (axis.at_px(step.end_ms), high_px)]
        elif line:
            yield from _filled(line, floor_px)
            line = []
    if line:
        yield from _filled(line, floor_px)


def _filled(line: list[tuple[float, float]], floor_px: float) -> Iterator[PictureShape]:
    corners = [point for number, point in enumerate(line) if not _lies_between(line, number)]
    floor = [(corners[-1][0], floor_px), (corners[0][0], floor_px)]
    yield Stroke(rounded([*corners, *floor]), "area", closed=True)
    yield Stroke(rounded(corners), "line")


def _lies_between(line: Sequence[tuple[float, float]], number: int) -> bool:
    """Whether a point of a line has points as high as itself on both sides."""
    return 0 < number < len(line) - 1 and line[number - 1][1] == line[number][1] == line[number + 1][1]


def breaths(klass: ClassSeen, size: PictureMeasures, axis: Axis, top_px: float) -> Iterator[PictureShape]:
    """How long one breath lasts, as a line, higher where it is slower, with its seconds where there is room."""
    told = [step.breath_ms for step in klass.steps if step.breath_ms is not None]
    yield from _row_name(size, top_px + size.breath_px / 2, "one breath", "" if told else "its own pace")
    floor_px = top_px + size.breath_px
    yield Stroke(((axis.left_px, floor_px), (axis.right_px, floor_px)), "grid")
    if not told:
        return
    # The slowest breath has room for its seconds above it.
    px_per_ms = (size.breath_px - size.small_px - 3) / max(told)

    def high(breath_ms: float | None) -> float | None:
        return None if breath_ms is None else round(floor_px - breath_ms * px_per_ms, 2)

    yield from _line(klass, axis, [high(step.breath_ms) for step in klass.steps], floor_px)
    last_px, last_words = axis.left_px, ""
    for breath_ms, start_ms, end_ms in runs(klass.steps, lambda step: step.breath_ms):
        if breath_ms is None:
            continue
        words = seconds_text(round(breath_ms))
        left_px = max(axis.at_px(start_ms), last_px)
        wide_px = width_px(words, size.small_px)
        if words != last_words and left_px + wide_px <= axis.right_px and axis.at_px(end_ms) - left_px >= 0.6 * wide_px:
            yield Letters(round(left_px + 1, 2), round((high(breath_ms) or 0) - 4, 2), words, size.small_px, "quiet")
            last_px, last_words = left_px + wide_px + 8, words


def said(klass: ClassSeen, size: PictureMeasures, axis: Axis, top_px: float) -> Iterator[PictureShape]:
    """How much is said, as bars: the share of each short time in which words are heard."""
    floor_px = top_px + size.said_px
    spoken_ms = sum(end_ms - start_ms for start_ms, end_ms in klass.said)
    share = round(100 * spoken_ms / max(1, klass.length_ms))
    yield from _row_name(size, top_px + size.said_px / 2, "words", f"{share} % of the time")
    yield Stroke(((axis.left_px, floor_px), (axis.right_px, floor_px)), "grid")
    yield Stroke(((axis.left_px, top_px), (axis.right_px, top_px)), "grid")
    count = int(axis.wide_px // SAID_PX)
    edges_ms = [round(number * klass.length_ms / count) for number in range(count + 1)]
    for number, share_said in enumerate(shares(klass.said, edges_ms)):
        left_px, right_px = axis.at_px(edges_ms[number]), axis.at_px(edges_ms[number + 1])
        high_px = round(share_said * size.said_px, 2)
        if high_px:
            yield Oblong(left_px, round(floor_px - high_px, 2), round(right_px - left_px - 1, 2), high_px, "said")


def shares(said_ms: Sequence[tuple[int, int]], edges_ms: Sequence[int]) -> list[float]:
    """Which share of each time between two edges is spoken; the times in which words are said are in order."""
    found, first = [], 0
    for number, start_ms in enumerate(edges_ms[:-1]):
        end_ms, spoken_ms = edges_ms[number + 1], 0
        while first < len(said_ms) and said_ms[first][1] <= start_ms:
            first += 1
        for from_ms, to_ms in said_ms[first:]:
            if from_ms >= end_ms:
                break
            spoken_ms += min(to_ms, end_ms) - max(from_ms, start_ms)
        found.append(spoken_ms / max(1, end_ms - start_ms))
    return found


def bells(klass: ClassSeen, size: PictureMeasures, axis: Axis, top_px: float) -> Iterator[PictureShape]:
    """A mark for each bell where it is struck, of another shape for each thing that it may open or close."""
    yield from _row_name(size, top_px + size.bells_px / 2, "bells", "")
    for ring in klass.bells:
        yield bell_mark(ring.role, axis.at_px(ring.start_ms), top_px + size.bells_px / 2, _rung(ring))


def bell_mark(role: RingRole, x_px: float, y_px: float, tip: str = "") -> PictureShape:
    """The mark of a bell, with its middle there."""
    half = MARK_PX[role]
    match role:
        case RingRole.CLASS:
            points = [(x_px, y_px - half), (x_px + half, y_px), (x_px, y_px + half), (x_px - half, y_px)]
        case RingRole.SECTION:
            return Dot(x_px, round(y_px, 2), half, "bell", tip)
        case RingRole.STEP:
            points = [(x_px, y_px - half), (x_px + half, y_px + half), (x_px - half, y_px + half)]
        case _:
            points = [(x_px, y_px - half), (x_px, y_px + half)]
            return Stroke(rounded(points), "bell-line", tip=tip)
    return Stroke(rounded(points), "bell", closed=True, tip=tip)


def _rung(ring: Ring) -> str:
    return f"bell of the {ring.role.value}: {clock(ring.start_ms)}"


def time_axis(klass: ClassSeen, size: PictureMeasures, axis: Axis, top_px: float) -> Iterator[PictureShape]:
    """The axis with its times."""
    yield Stroke(((axis.left_px, top_px), (axis.right_px, top_px)), "axis")
    least_px = max(LEAST_PX, 1.35 * width_px(clock(klass.length_ms), size.letters_px))
    for tick in ticks(axis, least_px):
        yield Stroke(((tick.x_px, top_px), (tick.x_px, top_px + 5)), "axis")
        half_px = width_px(tick.words, size.letters_px) / 2
        x_px = round(min(tick.x_px, size.wide_px - half_px - 4), 2)
        yield Letters(x_px, top_px + size.letters_px + 6, tick.words, size.letters_px, "quiet", "middle")


def sections(klass: ClassSeen, size: PictureMeasures, axis: Axis, top_px: float) -> Iterator[PictureShape]:
    """The names of the sections below, each under its own time."""
    for section in klass.sections:
        left_px, right_px = axis.at_px(section.start_ms), axis.at_px(section.end_ms)
        yield Stroke(
            rounded(
                [(left_px + 1, top_px - 3), (left_px + 1, top_px), (right_px - 1, top_px), (right_px - 1, top_px - 3)]
            ),
            "axis",
            tip=f"{section.title}: {clock(section.start_ms)} to {clock(section.end_ms)}",
        )
        words = fitting(section.title, right_px - left_px - 4, size.letters_px, 3)
        if words:
            yield Letters(left_px + 2, top_px + size.letters_px + 4, words, size.letters_px, "ink")


def legend(klass: ClassSeen, size: PictureMeasures, axis: Axis, top_px: float) -> Iterator[PictureShape]:
    """What looks and marks mean, of those that there are."""
    x_px, y_px = size.edge_px, top_px + 8
    words_px = y_px + 4.5
    for side in (Side.RIGHT, Side.LEFT):
        if any(step.side is side for step in klass.steps):
            half = SIDES[side][1]
            yield Oblong(x_px, y_px - 8, 22, 16, "lane")
            yield Oblong(x_px, round(y_px - 8 + half * 16, 2), 22, 8, f"{side.value} hold")
            words = f"{side.value} side, {'lower' if half else 'upper'} half"
            yield Letters(x_px + 29, words_px, words, size.letters_px, "quiet")
            x_px = round(x_px + 29 + width_px(words, size.letters_px) + 18, 2)
    if any(step.kind in (StepKind.MOVE, StepKind.TALK) for step in klass.steps):
        yield Oblong(x_px, y_px - 8, 22, 16, "move")
        yield Letters(x_px + 29, words_px, "move, words", size.letters_px, "quiet")
        x_px = round(x_px + 29 + width_px("move, words", size.letters_px) + 18, 2)
    if any(step.lane is None for step in klass.steps):
        yield Oblong(x_px, y_px - 8, 22, 16, "untold")
        yield Letters(x_px + 29, words_px, "not told", size.letters_px, "quiet")
        x_px = round(x_px + 29 + width_px("not told", size.letters_px) + 18, 2)
    for role in (role for role in MARK_PX if any(ring.role is role for ring in klass.bells)):
        words = f"bell of the {role.value}" if role is not RingRole.INTERVAL else "bell of an interval"
        yield bell_mark(role, x_px + 7, y_px)
        yield Letters(x_px + 19, words_px, words, size.letters_px, "quiet")
        x_px = round(x_px + 19 + width_px(words, size.letters_px) + 18, 2)


def head(klass: ClassSeen, size: PictureMeasures, axis: Axis, top_px: float) -> Iterator[PictureShape]:
    """The title, how long the class is, and whose."""
    parts = so_many(len(klass.sections), "section") if klass.sections and size.legend_px else ""
    facts = [clock(klass.length_ms), parts, klass.by]
    room_px, y_px = size.right_px - size.edge_px, size.edge_px + 0.76 * size.title_px
    lines = title_lines(klass.title, room_px, size)
    for number, line in enumerate(lines):
        yield Letters(size.edge_px, round(y_px + number * 1.15 * size.title_px, 2), line, size.title_px, "ink strong")
    y_px += (len(lines) - 1) * 1.15 * size.title_px + 1.75 * size.letters_px
    words = fitting(" · ".join(filter(None, facts)), room_px, size.letters_px * 1.1, 1)
    yield Letters(size.edge_px, round(y_px, 2), words, round(size.letters_px * 1.1, 2), "quiet")


def title_lines(title: str, room_px: float, size: PictureMeasures) -> list[str]:
    """The title in as many lines as there may be; what does not fit the last of them is left out."""
    lines: list[str] = []
    room_px /= BOLD
    for word in title.split():
        if lines and width_px(f"{lines[-1]} {word}", size.title_px) <= room_px:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    kept, rest = lines[: size.title_lines - 1], lines[size.title_lines - 1 :]
    return [fitting(line, room_px, size.title_px, 1) for line in (*kept, " ".join(rest)) if line]
