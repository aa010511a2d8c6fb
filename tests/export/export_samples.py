"""Timelines and sounds that the tests of the outputs share; an invented class by a lake."""

import os
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from guide.export.tags import Tags
from guide.plan.timeline import Chapter, Cue, CuePart, Dip, Dropped, Note, Ring, RingRole, Span, Timeline
from guide.problem import Place
from guide.sequence.steps import CueKind, Side, StepKind

RATE_HZ = 48_000


def place(line: int) -> Place:
    return Place("lakeside.yaml", line, 5)


def cue(start_ms: int, end_ms: int, words: str, step: int = 0, kind: CueKind = CueKind.HOW) -> Cue:
    return Cue(start_ms, end_ms - start_ms, words, kind, CuePart.HOLD, place(10), step)


def span(kind: StepKind, title: str, side: Side | None, section: int | None, *ms: int, breaths: int = 0) -> Span:
    """`ms`: start, hold, held, end."""
    start, hold, held, end = ms
    return Span(kind, title, side, section, place(10), start, hold, held, end, breaths, "8000")


def only_cues(*cues: Cue) -> Timeline:
    return Timeline("Lakeside", 3_700_000, (), cues, (), (), (), (), ())


def lakeside() -> Timeline:
    """A class with every kind of thing in it: sides, moves, counts, notes, a cue left out, time before a section."""
    right, left = Side.RIGHT, Side.LEFT
    spans = (
        span(StepKind.TALK, "talk", None, None, 2500, 6700, 6700, 7000),
        span(StepKind.POSE, "mountain", None, 0, 9500, 12_000, 60_000, 60_000, breaths=6),
        span(StepKind.MOVE, "inhale", right, 1, 62_500, 62_500, 66_500, 66_500),
        span(StepKind.POSE, "Vīrabhadrāsana II", right, 1, 66_500, 70_000, 78_000, 78_000, breaths=1),
        span(StepKind.MOVE, "inhale", left, 1, 78_000, 78_000, 82_000, 82_000),
        span(StepKind.POSE, "Vīrabhadrāsana II", left, 1, 82_000, 85_500, 93_500, 93_500, breaths=1),
        span(StepKind.REST, "rest", None, 1, 93_500, 97_000, 3_697_000, 3_697_000),
    )
    cues = (
        cue(2500, 6700, "Welcome to the lake. Let's arrive & settle, <slowly>.", 0),
        cue(9500, 11_750, "Mountain.", 1, CueKind.NAME),
        cue(
            16_000,
            23_004,
            "Stand with your feet hip-width apart, arms long, and let both feet feel equally heavy on the boards.",
            1,
        ),
        cue(28_250, 28_750, "3", 1, CueKind.COUNT),
        cue(36_250, 36_750, "4", 1, CueKind.COUNT),
        cue(62_500, 65_000, "Inhale, lift your right leg high behind you.", 2, CueKind.BREATH),
        cue(66_500, 69_750, "Vīrabhadrāsana two, right side.", 3, CueKind.NAME),
        cue(78_000, 80_500, "Inhale, lift your left leg high behind you.", 4, CueKind.BREATH),
        cue(82_000, 85_250, "Vīrabhadrāsana two, left side.", 5, CueKind.NAME),
        cue(3_600_000, 3_601_500, "Come back --> slowly.", 6),
    )
    rings = (
        Ring(0, 9000, "lake bowl", RingRole.CLASS, None),
        Ring(12_000, 2000, "rise", RingRole.INHALE, 1),
    )
    return Timeline(
        title="Lakeside morning",
        length_ms=3_700_000,
        spans=spans,
        cues=cues,
        rings=rings,
        dips=(Dip(2500, 6700), Dip(9500, 23_004)),
        chapters=(Chapter("Arriving", 7000, 60_000), Chapter("Standing & śavāsana", 60_000, 3_700_000)),
        notes=(Note(place(14), "the hold grew from 5 to 6 breaths, because its words need that long"),),
        dropped=(Dropped(place(21), "Shorten the stance if the knee complains.", 3),),
    )


def tags(timeline: Timeline, chapters: tuple[Chapter, ...]) -> Tags:
    return Tags(
        title=timeline.title,
        by="Śānti at the lake",
        date="2026-11-25",
        comment="Move within your own range; stop at pain.",
        album="Lakeside",
        chapters=chapters,
        length_ms=timeline.length_ms,
    )


def clicks(frames: int, at: tuple[int, ...]) -> NDArray[np.float32]:
    """Silence of `frames` frames with clicks of one frame."""
    sound = np.zeros((frames, 2), np.float32)
    sound[list(at)] = 0.8
    return sound


def murmur(frames: int, seed: int = 0) -> NDArray[np.float32]:
    """A sound like low speech: noise that swells and fades."""
    noise = np.random.default_rng(seed).normal(0, 0.1, (frames, 2))
    swell = np.abs(np.sin(np.arange(frames) / RATE_HZ * 3))[:, None]
    return (noise * swell).astype(np.float32)


def blocks(sound: NDArray[np.float32], frames: int = 4096) -> Iterator[NDArray[np.float32]]:
    return (sound[start : start + frames] for start in range(0, len(sound), frames))


def names(folder: Path) -> list[str]:
    """What lies in a folder, hidden files too."""
    return sorted(path.name for path in folder.iterdir())


def missing(what: str) -> None:
    """Skip on a machine that lacks something; in the full check its absence is a failure."""
    if os.environ.get("CI"):
        pytest.fail(f"{what} is missing")
    pytest.skip(f"{what} is missing")
