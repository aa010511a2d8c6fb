"""When each step really began: cues through the doors that captions leave, as evenly stretched as they allow."""

from collections.abc import Sequence

from guide.plan.timeline import Timeline
from guide.rehearse.doors import HeardCue
from guide.rehearse.taut import Door, drawn_tight

ANYWHERE = float("inf")


def placed(timeline: Timeline, heard: Sequence[HeardCue]) -> tuple[int, ...]:
    """The real moment of the start of each step, and of the end of the last, in milliseconds.

    Each step is stretched evenly, as far as what was heard allows, and a long one rather than a short one. With nothing
    heard all is as planned.
    """
    return _drawn(timeline, heard, _tempo(timeline, heard, _drawn(timeline, heard, 1.0)))


def _tempo(timeline: Timeline, heard: Sequence[HeardCue], starts_ms: Sequence[int]) -> float:
    """How many times longer than planned the class took from the first step that was heard to the last."""
    steps = [timeline.cues[one.cue].step for one in heard]
    if not steps or steps[0] == steps[-1]:
        return 1.0
    first, last = timeline.spans[steps[0]], timeline.spans[steps[-1]]
    tempo = (starts_ms[steps[-1]] - starts_ms[steps[0]]) / max(last.start_ms - first.start_ms, 1)
    return min(max(tempo, 0.5), 2.0)


def _drawn(timeline: Timeline, heard: Sequence[HeardCue], tempo: float) -> tuple[int, ...]:
    """The real moments when every step is taken to last `tempo` times as long as planned, where nothing else is heard.

    What is drawn tight is how late the class is. How far it may change in a time is that time, times the length of its
    step: people hold a long pose longer or shorter as a whole.
    """
    late_of = {timeline.cues[one.cue].start_ms: one for one in heard}
    edges = [*(span.start_ms for span in timeline.spans), timeline.spans[-1].end_ms]
    moments = sorted({*edges, *late_of})
    doors, at, step, before = [], 0.0, 0, moments[0]
    for moment in moments:
        while step + 1 < len(timeline.spans) and timeline.spans[step + 1].start_ms < moment:
            step += 1
        at += (moment - before) * max(edges[step + 1] - edges[step], 1) / 1e6
        low, high = -ANYWHERE, ANYWHERE
        if moment in late_of:
            low, high = (edge - tempo * moment for edge in (late_of[moment].low_ms, late_of[moment].high_ms))
        doors.append(Door(at, low, high))
        before = moment
    late_ms = dict(zip(moments, drawn_tight(doors), strict=True))
    real, latest = [], 0.0
    for moment in edges:
        latest = max(latest, tempo * moment + late_ms[moment])
        real.append(round(latest))
    return tuple(real)
