"""A draft recovers what was taught: its poses and its sides, of every shipped class, with clean and bad captions."""

import pytest
from drafts import Recovered, named_poses, poses_recovered, sides_recovered, steps_of
from taught import CLEAN, GARBLED, LIGHT, SHIPPED, Noise, planned, shipped_steps, taught

from guide.rehearse.drafting.draft import drafted
from guide.rehearse.drafting.writing import Kept

SEEDS = (1, 2)


def recovered(noise: Noise, block_ms: int) -> tuple[Recovered, Recovered, Recovered]:
    """What the drafts of all shipped classes have, printed for each: poses, those that were said at all, and sides."""
    poses, said, sides = Recovered(0, 0), Recovered(0, 0), Recovered(0, 0)
    for name in SHIPPED:
        steps, timeline = planned(shipped_steps(name))
        for seed in SEEDS:
            one = taught(timeline, noise, block_ms, seed)
            draft = steps_of(drafted(one.transcript, name, Kept.COMMENTS))
            planned_to = named_poses(steps, timeline, range(len(timeline.cues)))
            really = named_poses(steps, timeline, {each.cue for each in one.said if each.cue is not None})
            here, named = poses_recovered(planned_to, draft), poses_recovered(really, draft)
            both = sides_recovered(steps, timeline, one, one.transcript)
            print(f"{name:20} {noise.name:8} seed {seed}  poses {here}, of those said {named}  sides {both}")
            poses, said, sides = poses + here, said + named, sides + both
    print(f"{'all':20} {noise.name:8} {block_ms // 1000:3} s  poses {poses}, of those said {said}  sides {sides}")
    return poses, said, sides


@pytest.mark.parametrize(
    ("noise", "block_ms", "least_poses", "least_said", "least_sides"),
    [
        (CLEAN, 5_000, 0.95, 0.95, 1.0),
        (CLEAN, 40_000, 0.95, 0.95, 1.0),
        (LIGHT, 5_000, 0.83, 0.88, 0.7),
        (GARBLED, 5_000, 0.7, 0.77, 0.33),
    ],
    ids=lambda each: str(getattr(each, "name", each)),
)
def test_poses_that_were_named_and_both_sides_are_recovered(
    noise: Noise, block_ms: int, least_poses: float, least_said: float, least_sides: float
) -> None:
    poses, said, sides = recovered(noise, block_ms)
    assert poses.share >= least_poses
    assert said.share >= least_said
    assert sides.share >= least_sides
