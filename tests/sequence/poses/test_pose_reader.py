"""`poses:` in a class: what an entry changes and what it leaves, and every fault with its whole message."""

from pathlib import Path

import pytest
from pose_samples import read_own, three

from guide.sequence.poses.library import Library
from guide.sequence.poses.pose import Base, Condition, Does, Pose, Strength, Way
from guide.sequence.steps import InBreaths

FAULTS = (Path(__file__).parent / "faults.txt").read_text("utf-8").split("----\n")


def own(text: str, known: Library | None) -> dict[str, Pose]:
    poses, problems = read_own(f"poses:\n{text}", known)
    assert problems == []
    return poses


def test_a_pose_is_read_whole() -> None:
    assert three().find("warrior two") == Pose(
        name="warrior two",
        base=Base.STANDING,
        also=("warrior II", "proud warrior", "virabhadrasana II"),
        sanskrit="vīrabhadrāsana II",
        sides=True,
        does=(Does.HIP_OPENING, Does.STRENGTH),
        strength=Strength.MODERATE,
        rests=("mountain",),
        props=("chair",),
        easier=Way("Shorten your stance."),
        stronger=Way("Bend the <side> knee a little further."),
        enter=("From a wide stance, turn your <side> foot out.",),
        say=("Keep the <side> knee above its ankle.", "Let both arms reach away from the middle."),
        leave=("Straighten the <side> leg.",),
        cautions={Condition.KNEE: "Bend the knee less.", Condition.HIP: "Take a shorter stance."},
        hold=InBreaths(3, 5, 8),
    )


def test_what_a_pose_does_not_say_is_as_usual() -> None:
    plank = three().find("plank")
    assert plank is not None
    assert (plank.does, plank.on_wrists, plank.head_low, plank.hold) == ((Does.CORE,), True, False, InBreaths(2, 2, 2))
    assert plank.easier == Way("Lower your knees.", "hands and knees")
    mountain = three().find("mountain")
    assert mountain is not None
    assert (mountain.does, mountain.sides, mountain.strength) == ((), False, Strength.GENTLE)
    assert mountain.hold == InBreaths(3, 5, 8)


def test_a_new_pose_needs_only_its_base() -> None:
    assert own("  lake pose:\n    base: seated\n", three()) == {"lake pose": Pose("lake pose", Base.SEATED)}


CHANGES = [
    ("    strength: strong\n", "strength", Strength.STRONG),
    ("    base: kneeling\n", "base", Base.KNEELING),
    ("    does: balance\n", "does", (Does.BALANCE,)),
    ("    does: []\n", "does", ()),
    ("    also: big warrior\n", "also", ("warrior II", "proud warrior", "virabhadrasana II", "big warrior")),
    ("    sanskrit: vīrāsana\n", "sanskrit", "vīrāsana"),
    ("    say: Breathe.\n", "say", ("Breathe.",)),
    ("    say: none\n", "say", ()),
    ("    enter:\n      - Step wide.\n      - Turn out.\n", "enter", ("Step wide.", "Turn out.")),
    ("    leave: Come up on the <other side>.\n", "leave", ("Come up on the <other side>.",)),
    ("    easier:\n      say: Sit on a chair.\n      pose: chair\n", "easier", Way("Sit on a chair.", "chair")),
    ("    stronger: Sink lower.\n", "stronger", Way("Sink lower.")),
    ("    after: [chair]\n", "after", ("chair",)),
    ("    rests: []\n", "rests", ()),
    ("    hold: 1 to 4 breaths\n", "hold", InBreaths(1, 2, 4)),
    ("    usual: 8 breaths\n", "hold", InBreaths(3, 8, 8)),
    ("    hold: 10 to 20 breaths\n    usual: 12 breaths\n", "hold", InBreaths(10, 12, 20)),
    ("    on wrists: yes\n", "on_wrists", True),
    ("    head low: true\n", "head_low", True),
    (
        "    cautions:\n      knee: Stay high.\n      neck: Look ahead.\n",
        "cautions",
        {
            Condition.KNEE: "Stay high.",
            Condition.HIP: "Take a shorter stance.",
            Condition.NECK: "Look ahead.",
        },
    ),
]


@pytest.mark.parametrize(("text", "part", "value"), CHANGES)
def test_an_entry_for_a_known_pose_changes_only_what_it_gives(text: str, part: str, value: object) -> None:
    before = three().find("warrior two")
    assert before is not None
    for name in ("warrior two", "Warrior II", "virabhadrasana 2"):
        poses = own(f"  {name}:\n{text}", three())
        assert list(poses) == ["warrior two"]
        changed = [each for each in Pose.__slots__ if getattr(poses["warrior two"], each) != getattr(before, each)]
        assert changed == [part]
        assert getattr(poses["warrior two"], part) == value


def test_sides_can_be_taken_away_with_words_that_name_none() -> None:
    text = "    sides: no\n    enter: none\n    say: none\n    leave: none\n    stronger: Sink lower.\n"
    assert own(f"  warrior two:\n{text}", three())["warrior two"].sides is False


def test_own_poses_go_before_the_library_and_the_rest_stays() -> None:
    text = "  warrior 2:\n    hold: 9 breaths\n  lake pose:\n    base: seated\n    also: standing tall\n"
    library = three().with_own(own(text, three()))
    found = {name: library.find(name) for name in ("proud warrior", "lake", "standing tall", "tadasana", "plank")}
    assert {name: pose.name for name, pose in found.items() if pose} == {
        "proud warrior": "warrior two",
        "lake": "lake pose",
        "standing tall": "lake pose",
        "tadasana": "mountain",
        "plank": "plank",
    }
    assert found["proud warrior"] is not None
    assert found["proud warrior"].hold == InBreaths(9, 9, 9)
    assert [pose.name for pose in library] == ["warrior two", "mountain", "plank", "lake pose"]
    assert three().with_own({}).find("lake") is None


@pytest.mark.parametrize("case", FAULTS, ids=lambda case: " ".join(case.split()[1:5]))
def test_a_fault_is_told_at_its_place_with_what_to_write(case: str) -> None:
    lines = case.splitlines(keepends=True)
    text = "".join(line for line in lines if not line.startswith("! "))
    told = [line.removeprefix("! ").rstrip("\n") for line in lines if line.startswith("! ")]
    _, problems = read_own(text, three())
    assert [str(problem).removeprefix("class.yaml:") for problem in problems] == told
    assert told


def test_there_are_enough_faults() -> None:
    assert len(FAULTS) >= 40
