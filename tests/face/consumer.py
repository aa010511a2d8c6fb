"""What another program may do with the guide: read by a type checker alone, which has to find every type as it is here.

Lines that are wrong stand at the end, each with a comment of what the checker says of it.
"""

from pathlib import Path
from typing import assert_type

import guide


def told(done: int, total: int) -> None:
    print(f"{done} of {total}")


def rendered(path: Path) -> guide.ReadyClass | None:
    try:
        loaded = guide.load(path)
    except guide.UnusableChoice as error:
        print(error, error.exit_code)
        return None
    assert_type(loaded, guide.LoadedClass)
    problems: tuple[guide.Problem, ...] = loaded.problems
    for problem in problems:
        place: guide.Place = problem.place
        print(place.file, place.line, place.column, problem.what, problem.fix, problem.shown())
    assert_type(guide.advise(loaded), tuple[guide.Advice, ...])
    try:
        ready = guide.make_ready(loaded, voice="natural", voice_rate=0.8, slot_ms=600_000, progress=told)
        guide.write(ready, "class.mp3", told)
        guide.write(ready, path.with_suffix(".vtt"), replace=guide.Replace.ANY)
    except guide.FaultyFile as faulty:
        assert_type(faulty.problems, tuple[guide.Problem, ...])
        return None
    except guide.MachineTrouble:
        raise
    except guide.GuideError as error:
        print(error)
        return None
    assert_type(guide.make_ready("class.yaml", loudness_lufs=-20), guide.ReadyClass)
    for advice in guide.advise(ready):
        print(advice.place, advice.rule, advice.what, advice.fix, advice.steps)
    return ready


def shown(ready: guide.ReadyClass, ms: int) -> str:
    timeline: guide.Timeline = ready.timeline
    now = guide.moment(timeline, ms)
    assert_type(now, guide.Moment)
    assert_type(now.phase, guide.Phase)
    assert_type((now.step, now.breath, now.breaths, now.at_ms, now.left_ms), tuple[int, int, int, int, int])
    assert_type((now.title, now.side, now.section, now.words), tuple[str, str, str, str])
    assert_type((now.next_title, now.next_side, now.hold_left_ms, now.fullness), tuple[str, str, int, float])
    return f"{now.title} breathing in" if now.phase is guide.Phase.IN else now.title


def parts(timeline: guide.Timeline) -> int:
    spans: tuple[guide.Span, ...] = timeline.spans
    cues: tuple[guide.Cue, ...] = timeline.cues
    rings: tuple[guide.Ring, ...] = timeline.rings
    dips: tuple[guide.Dip, ...] = timeline.dips
    chapters: tuple[guide.Chapter, ...] = timeline.chapters
    notes: tuple[guide.Note, ...] = timeline.notes
    dropped: tuple[guide.Dropped, ...] = timeline.dropped
    assert_type(spans[0].kind, guide.StepKind)
    assert_type(spans[0].side, guide.Side | None)
    assert_type(spans[0].pace, guide.Pace | None)
    assert_type(spans[0].breath, guide.Breath | None)
    assert_type((cues[0].kind, cues[0].part), tuple[guide.CueKind, guide.CuePart])
    assert_type(rings[0].role, guide.RingRole)
    return sum(map(len, (spans, cues, rings, dips, chapters, notes, dropped)))


def wrongly(timeline: guide.Timeline) -> None:
    guide.lode("class.yaml")  # Module has no attribute "lode"
    guide.moment(timeline, "3:00")  # Argument 2 to "moment" has incompatible type "str"
    timeline.title = "Another"  # Property "title" defined in "Timeline" is read-only
