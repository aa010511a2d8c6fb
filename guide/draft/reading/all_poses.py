"""The poses that a reading may have, in one order."""

from functools import cache

from guide.draft.pose_spelling import held_poses
from guide.sequence.poses.pose import Pose


@cache
def all_poses() -> tuple[Pose, ...]:
    """The poses that a reading may have."""
    return tuple(held_poses())


@cache
def number_of() -> dict[str, int]:
    """The number of each pose by its name."""
    return {pose.name: number for number, pose in enumerate(all_poses())}
