"""Promise 0, so to say: the plan is well formed, so that the other checks mean something."""

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence

from guide.plan.checks.breach import DIP_JOIN_MS, SETTLE_MS, Breach, moment, quoted
from guide.plan.checks.evidence import Evidence, Seen
from guide.plan.checks.p0_laid import is_laid
from guide.plan.timeline import Chapter, Cue, CuePart, Dip, RingRole, Timeline
from guide.sequence.steps import CueKind, InBreaths, StepKind, Steps

CLASS_WIDE = (RingRole.CLASS, RingRole.SECTION)


def check_numbers(steps: Steps, timeline: Timeline) -> Iterator[Breach]:
    """That every step has its span and every cue and ring a step: without this nothing else can be looked at."""
    count = len(timeline.spans)
    if count != len(steps.steps):
        yield Breach(0, None, f"the class has {len(steps.steps)} steps, the plan has {count}")
    for cue in timeline.cues:
        if not 0 <= cue.step < count:
            yield Breach(0, cue.place, f"the cue {quoted(cue.words)} belongs to step {cue.step} of {count}")
    for ring in timeline.rings:
        if ring.step is None and ring.role not in CLASS_WIDE:
            yield Breach(0, None, f"the {ring.role.value} ring at {moment(ring.start_ms)} belongs to no step")
        elif ring.step is not None and (ring.role in CLASS_WIDE or not 0 <= ring.step < count):
            what = f"the {ring.role.value} ring at {moment(ring.start_ms)} belongs to step {ring.step} of {count}"
            yield Breach(0, None, what)
    for dropped in timeline.dropped:
        if not 0 <= dropped.step < count:
            what = f"the dropped cue {quoted(dropped.words)} belongs to step {dropped.step} of {count}"
            yield Breach(0, dropped.place, what)


def check(evidence: Evidence) -> Iterator[Breach]:
    timeline = evidence.timeline
    if timeline.title != evidence.steps.title:
        yield Breach(0, None, f"the plan is called “{timeline.title}”, the class “{evidence.steps.title}”")
    for seen in evidence.seen:
        yield from _span(seen)
    yield from _sorted("cues", (cue.start_ms for cue in timeline.cues))
    yield from _sorted("rings", (ring.start_ms for ring in timeline.rings))
    yield from _cues(evidence)
    yield from _rings(evidence)
    if timeline.chapters != (chapters := _chapters(evidence)):
        yield _different("chapters", timeline.chapters, chapters)
    if timeline.dips != (dips := dips_of(timeline.cues)):
        yield _different("dips", timeline.dips, dips)


def _span(seen: Seen) -> Iterator[Breach]:
    step, span = seen.step, seen.span
    # A move is shown as the pose that it arrives in, where the file names one.
    title = step.pose or step.title if step.kind is StepKind.MOVE else step.title
    said = (span.kind, span.title, span.side, span.section, span.place, span.pose)
    if said != (step.kind, title, step.side, step.section, step.place, step.known):
        yield Breach(0, step.place, f"the plan shows “{span.title}” where the class has “{title}”")
    if span.period_ms != seen.grid.period_text:
        what = f"a breath of “{step.title}” is {seen.grid.period_text} ms, the plan says {span.period_ms} ms"
        yield Breach(0, step.place, what)
    if (span.pace, span.breath) != (step.pace, step.breath):
        yield Breach(0, step.place, f"“{step.title}” is breathed otherwise in the plan than in the class")
    if not 0 <= span.start_ms <= span.hold_ms <= span.held_ms <= span.end_ms:
        yield Breach(0, step.place, f"the parts of “{step.title}” at {moment(span.start_ms)} are out of order")
    after_ms = SETTLE_MS if step.kind is StepKind.TALK else 0
    if not step.bell.at_end and span.end_ms != span.held_ms + after_ms:
        what = f"“{step.title}” ends {span.end_ms - span.held_ms} ms after its hold, not {after_ms} ms"
        yield Breach(0, step.place, what)
    if span.and_a_half is not (isinstance(step.hold, InBreaths) and step.hold.and_a_half):
        yield Breach(0, step.place, f"“{step.title}” ends on another half of a breath than in the class")
    if not isinstance(step.hold, InBreaths) and span.breaths:
        yield Breach(0, step.place, f"“{step.title}” is not held in breaths, the plan counts {span.breaths}")


def _sorted(what: str, starts_ms: Iterable[int]) -> Iterator[Breach]:
    before_ms = 0
    for start_ms in starts_ms:
        if start_ms < before_ms:
            yield Breach(0, None, f"the {what} are not sorted: {moment(start_ms)} stands after {moment(before_ms)}")
        before_ms = start_ms


def _cues(evidence: Evidence) -> Iterator[Breach]:
    for cue in evidence.timeline.cues:
        length_ms = evidence.word_ms.get(cue.words)
        if length_ms != cue.length_ms and not is_laid(evidence.seen[cue.step], cue):
            measured = "never measured" if length_ms is None else f"{length_ms} ms"
            what = f"the cue {quoted(cue.words)} has {cue.length_ms} ms in the plan, its words are {measured}"
            yield Breach(0, cue.place, what)
        is_move = evidence.seen[cue.step].step.kind is StepKind.MOVE
        if is_move is not (cue.part is CuePart.MOVE) or (cue.kind is CueKind.COUNT and cue.part is not CuePart.HOLD):
            yield Breach(0, cue.place, f"the cue {quoted(cue.words)} cannot be the {cue.part.value} of such a step")


def _rings(evidence: Evidence) -> Iterator[Breach]:
    for ring in evidence.timeline.rings:
        if ring.length_ms != evidence.sound_ms[ring.sound] or ring.length_ms <= 0:
            what = f"“{ring.sound}” at {moment(ring.start_ms)} lasts {ring.length_ms} ms"
            yield Breach(0, None, f"{what}, elsewhere {evidence.sound_ms[ring.sound]} ms")


def _chapters(evidence: Evidence) -> tuple[Chapter, ...]:
    """A chapter reaches from its section's bell, or its first step, to the next chapter or the end of the class."""
    starts: dict[int, int] = {}
    bells_ms = sorted(ring.start_ms for ring in evidence.timeline.rings if ring.role is RingRole.SECTION)
    for seen in evidence.seen:
        section = seen.span.section
        if section is None or section in starts:
            continue
        opening = seen.span.start_ms
        if evidence.steps.sections[section].bell.at_start:
            before = bisect_left(bells_ms, opening)
            opening = bells_ms[before - 1] if before else opening
        starts[section] = 0 if seen.number == 0 else opening
    ordered = sorted(starts.items())
    ends = [*(start_ms for _, start_ms in ordered), evidence.timeline.length_ms][1:]
    return tuple(
        Chapter(evidence.steps.sections[section].title, start_ms, end_ms)
        for (section, start_ms), end_ms in zip(ordered, ends, strict=True)
    )


def dips_of(cues: Sequence[Cue]) -> tuple[Dip, ...]:
    """One dip for each run of cues with less than `DIP_JOIN_MS` between them, so that nothing else is turned down."""
    joined: list[list[int]] = []
    for cue in cues:
        if joined and cue.start_ms - joined[-1][1] < DIP_JOIN_MS:
            joined[-1][1] = max(joined[-1][1], cue.end_ms)
        else:
            joined.append([cue.start_ms, cue.end_ms])
    return tuple(Dip(start_ms, end_ms) for start_ms, end_ms in joined)


def _different(what: str, found: tuple[Chapter | Dip, ...], right: tuple[Chapter | Dip, ...]) -> Breach:
    if len(found) != len(right):
        return Breach(0, None, f"the plan has {len(found)} {what}, the class needs {len(right)}")
    number = next(n for n, (one, other) in enumerate(zip(found, right, strict=True)) if one != other)
    one, other = found[number], right[number]
    return Breach(
        0,
        None,
        f"number {number + 1} of the {what} reaches from {moment(one.start_ms)} to {moment(one.end_ms)}, "
        f"not from {moment(other.start_ms)} to {moment(other.end_ms)}",
    )
