"""Words of a class that lead to a pose, and words that only seem to."""

from pathlib import Path

import pytest

from guide.sequence.expand import unroll
from guide.sequence.poses.in_words import pose_said
from guide.sequence.poses.shipped_library import shipped
from guide.sequence.reader import look

#: What is meant by these words: common practice, no source.
LEADING = {
    "Downward dog": "downward dog",
    "Lift your hips, downward-facing dog.": "downward dog",
    "Tuck your toes and press back into your down dog": "downward dog",
    "Come to hands and knees.": "hands and knees",
    "Come down onto your hands and knees, knees under hips.": "hands and knees",
    "Step back to all fours": "hands and knees",
    "Round your back, cat.": "cat",
    "Cow.": "cow",
    "Press back to child's pose": "child's pose",
    "Right foot forward, rise to warrior one.": "warrior one",
    "Step back to plank, knees down if you like.": "plank",
    "Chaturanga": "low plank",
    "Bend your knees, chair pose.": "chair",
    "From plank, lower to low cobra": "low cobra",
    "Slowly into tree, on the left side.": "tree",
}

#: Words in which no pose is meant, or two could be.
SILENT = (
    "Arms up",
    "Legs up",
    "Lower your hand and knee",
    "Hands to your knees",
    "Fold forward",
    "Forward fold",
    "Sit on your chair",
    "Come to the edge of the table",
    "Lift your chest like a cobra",
    "From downward dog, step your right foot forward",
    "Not yet the full camel",
    "Downward dog or child's pose",
    "Step back to plank, then lower to cobra",
    "Bow",
    "Take a full breath",
    "A long exhale",
    "Keep your hips level, as in warrior three",
    "Bring your palms together",
)


@pytest.mark.parametrize(("words", "pose"), LEADING.items())
def test_words_that_name_one_pose_lead_to_it(words: str, pose: str) -> None:
    found = pose_said(words, shipped())
    assert found is not None
    assert found.name == pose


@pytest.mark.parametrize("words", SILENT)
def test_nothing_is_guessed(words: str) -> None:
    assert pose_said(words, shipped()) is None


def test_every_pose_is_known_by_its_name_and_the_word_pose() -> None:
    held = [pose for pose in shipped() if "breath" not in {each.value for each in pose.does}]
    for pose in held:
        found = pose_said(f"Come into {pose.name.removesuffix(' pose')} pose", shipped())
        assert found in (pose, None), pose.name
    known = [pose for pose in held if pose_said(f"Come into {pose.name.removesuffix(' pose')} pose", shipped())]
    assert len(known) > 0.9 * len(held)


def test_a_move_is_known_by_its_words_unless_the_file_names_its_pose() -> None:
    text = "title: T\nclass:\n  - exhale: Downward dog.\n  - {inhale: Down dog., pose: plank}\n  - exhale: Look up.\n"
    made = look(text.encode(), "class.yaml", Path())
    assert made.class_file is not None
    steps = [step for step in unroll(made.class_file).steps.steps if not step.given]
    assert [step.known for step in steps] == ["downward dog", "plank", None]
    assert [step.pose for step in steps] == [None, "plank", None]


def test_a_pose_of_the_class_itself_is_known_in_words() -> None:
    text = "title: T\nposes: {wobbly heron: {base: seated}}\nclass:\n  - exhale: Back to wobbly heron.\n"
    made = look(text.encode(), "class.yaml", Path())
    assert made.class_file is not None
    assert unroll(made.class_file).steps.steps[0].known == "wobbly heron"
