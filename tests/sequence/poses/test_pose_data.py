"""What the library's own files hold: enough poses, every field, words that can be said, names that lead somewhere."""

import re
from collections.abc import Iterator

from rows import each_row

from guide.sequence.poses.pose import Base, Condition, Does, Pose, Strength
from guide.sequence.poses.shipped_library import shipped

POSES = list(shipped())
RANKS = list(Strength)

#: About 7 s at 155 words a minute; ways in and out have a time of their own (common practice, no source).
MOST_WORDS, MOST_WORDS_BETWEEN = 16, 22


#: Done with the same hand by everybody, so that right and left stand in the words themselves.
SAID_WITH_SIDES = ("alternate nostril breath",)


def named(pose: Pose) -> str:
    return pose.name


each_pose = each_row("pose", POSES)


def words_of(pose: Pose) -> Iterator[str]:
    """All that may be said or shown to a student."""
    yield from (*pose.enter, *pose.say, *pose.leave, *pose.cautions.values())
    yield from (way.say for way in (pose.easier, pose.stronger) if way)


def test_there_are_at_least_120_poses_resting_positions_and_breath_practices() -> None:
    assert len(POSES) >= 120
    assert sum(Does.BREATH in pose.does for pose in POSES) >= 10
    assert sum(Does.REST in pose.does for pose in POSES) >= 8


def test_every_base_every_thing_done_every_condition_and_every_strength_has_its_poses() -> None:
    for base in Base:
        assert sum(pose.base is base for pose in POSES) >= 6, base
    for does in Does:
        assert sum(does in pose.does for pose in POSES) >= 6, does
    for condition in Condition:
        assert sum(condition in pose.cautions for pose in POSES) >= 6, condition
    for strength in Strength:
        assert sum(pose.strength is strength for pose in POSES) >= 15, strength


def test_most_poses_have_each_field_that_not_all_can_have() -> None:
    """None of these is for every pose: a mountain needs no easier way, and nothing rests from a rest."""
    for least, has in (
        (0.95, lambda pose: pose.also),
        (0.6, lambda pose: pose.sanskrit),
        (0.9, lambda pose: pose.does),
        (0.4, lambda pose: pose.after),
        (0.6, lambda pose: pose.rests),
        (0.6, lambda pose: pose.props),
        (0.8, lambda pose: pose.easier),
        (0.5, lambda pose: pose.stronger),
        (0.8, lambda pose: pose.cautions),
    ):
        assert sum(bool(has(pose)) for pose in POSES) >= least * len(POSES)


@each_pose
def test_a_pose_has_a_way_in_two_to_five_cues_and_a_way_out(pose: Pose) -> None:
    assert 1 <= len(pose.enter) <= 2
    assert 2 <= len(pose.say) <= 5
    assert len(pose.leave) == 1
    said = (*pose.enter, *pose.say, *pose.leave)
    assert len(set(said)) == len(said)


@each_pose
def test_no_cue_is_longer_than_a_slow_breath(pose: Pose) -> None:
    ways = [way.say for way in (pose.easier, pose.stronger) if way]
    long = [words for words in (*pose.say, *ways) if len(words.split()) > MOST_WORDS]
    assert long == []
    assert [words for words in (*pose.enter, *pose.leave) if len(words.split()) > MOST_WORDS_BETWEEN] == []


@each_pose
def test_words_are_plain_sentences_that_a_voice_can_say(pose: Pose) -> None:
    for words in words_of(pose):
        bare = re.sub(r"<(other )?side>", "side", words)
        assert re.fullmatch(r"(?:[A-Z]|side)[^()\[\]{}<>;:/&%*_#0-9]*[.?!]", bare), words
        assert pose.name in SAID_WITH_SIDES or not re.search(r"\b(?:left|right)\b", words, re.IGNORECASE), words
        assert not re.search(r"[a-z][A-Z]|\b[a-z]\.|\betc\b|\bdeg\b", words), words


@each_pose
def test_a_side_is_named_in_a_pose_that_has_one_and_in_no_other(pose: Pose) -> None:
    assert any("side>" in words for words in words_of(pose)) == pose.sides


@each_pose
def test_a_name_in_a_pose_is_the_name_of_another_pose(pose: Pose) -> None:
    ways = [way.pose for way in (pose.easier, pose.stronger) if way and way.pose]
    for name in (*pose.after, *pose.rests, *ways):
        found = shipped().find(name)
        assert found is not None, name
        assert found.name == name, f"{name} is called {found.name}"
        assert found is not pose, name


@each_pose
def test_a_strong_pose_has_an_easier_way_and_a_way_leads_where_it_says(pose: Pose) -> None:
    assert pose.easier or pose.strength is not Strength.STRONG
    easier = shipped().find(pose.easier.pose) if pose.easier and pose.easier.pose else None
    stronger = shipped().find(pose.stronger.pose) if pose.stronger and pose.stronger.pose else None
    assert easier is None or RANKS.index(easier.strength) <= RANKS.index(pose.strength)
    assert stronger is None or RANKS.index(stronger.strength) >= RANKS.index(pose.strength)


@each_pose
def test_a_pose_is_held_for_a_number_of_breaths_that_people_hold_poses(pose: Pose) -> None:
    assert 1 <= pose.hold.least <= pose.hold.usual <= pose.hold.most <= 120


@each_pose
def test_names_are_lower_case_and_on_one_line(pose: Pose) -> None:
    for name in (pose.name, *pose.also):
        assert re.fullmatch(r"[^\W\d_]+(?:(?:[ ’',-]+|, )[^\W_]+)*'?s?", name), name
    assert pose.name == pose.name.lower() or "Marichi" in pose.name


def test_no_two_poses_are_said_to_be_the_same_by_their_cues() -> None:
    told: dict[tuple[str, ...], str] = {}
    for pose in POSES:
        assert told.setdefault(pose.say, pose.name) == pose.name
