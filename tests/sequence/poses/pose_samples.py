"""A library of three poses, and reading of `poses:` as it stands in a class."""

from guide.problem import Problem
from guide.sequence import source
from guide.sequence.compose import compose
from guide.sequence.fields import Field, FileReading
from guide.sequence.nodes import Table
from guide.sequence.poses.library import Library
from guide.sequence.poses.library_source import read_file
from guide.sequence.poses.pose import Pose
from guide.sequence.poses.pose_reader import POSE_KEYS, read_poses

THREE = """\
poses:

  warrior two:
    also: [warrior II, proud warrior, virabhadrasana II]
    sanskrit: vīrabhadrāsana II
    base: standing
    sides: yes
    does: [hip opening, strength]
    strength: moderate
    rests: [mountain]
    props: chair
    easier:
      say: Shorten your stance.
    stronger: Bend the <side> knee a little further.
    enter: From a wide stance, turn your <side> foot out.
    say:
      - Keep the <side> knee above its ankle.
      - Let both arms reach away from the middle.
    leave: Straighten the <side> leg.
    cautions:
      knee: Bend the knee less.
      hip: Take a shorter stance.
    hold: 3 to 8 breaths
    usual: 5 breaths

  mountain:
    also: [standing tall, tadasana]
    sanskrit: tāḍāsana
    base: standing
    does: []
    enter: Stand with your feet hip-width apart.
    say: Let both feet feel equally heavy.

  plank:
    also: high plank
    sanskrit: phalakāsana
    base: hands and knees
    does: core
    strength: strong
    on wrists: yes
    easier:
      say: Lower your knees.
      pose: hands and knees
    hold: 2 breaths
"""


def three() -> Library:
    return Library(read_file(THREE.encode(), "three.yaml"))


def read_own(text: str, known: Library | None) -> tuple[dict[str, Pose], list[Problem]]:
    """The poses of a text that holds `poses:`, and every problem found in it."""
    checked, problems = source.check(text, "class.yaml")
    reading = FileReading(checked, frozenset(("poses", *POSE_KEYS)), problems)
    tree, broken = compose(checked, reading.keys)
    assert isinstance(tree, Table)
    key, node = tree.pairs[0]
    poses = read_poses(reading, Field(key, node), known)
    return poses, sorted([*broken, *reading.problems])
