"""Expansion with a pose library: the words of bare poses, their holds, leaving, and what is inherited on the way.

The poses are the test's own, so that nothing here hangs on those that come with the program.
"""

from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

import pytest
from class_texts import expand

from guide.sequence.expand import unroll
from guide.sequence.reader import look, read_text
from guide.sequence.steps import CueKind, InBreaths, InTime, Pace, PaceRoom, Side, Step, StepKind, Words

LIBRARY = (
    """\
poses:
  reed in the wind:
    base: standing
    also: swaying reed
    sides: yes
    enter: Plant the <side> foot.
    say:
      - Lean to the <side>.
      - Soften your jaw.
      - Look straight ahead.
      - Let the breath sway you.
    leave: Come back to the middle.
    easier: Keep your hands on your hips.
    hold: 4 to 8 breaths
  heavy oar:
    base: standing
    strength: strong
    enter: Reach for the oar.
    say: ["""
    + '"Pull with your back.", "Brace your belly.", "Keep your neck long."'
    + """]
    leave: ["""
    + '"Let go.", "Stand up."'
    + """]
    easier: Rest one knee on the ground.
    hold: 6 breaths
"""
)


def steps(entries: str, head: str = "") -> tuple[Step, ...]:
    return expand(read_text(f"title: T\n{head}{LIBRARY}class:\n{entries}", "class.yaml", Path())).steps


def faults(entries: str) -> list[str]:
    made = look(f"title: T\n{LIBRARY}class:\n{entries}", "class.yaml", Path())
    assert made.problems == ()
    assert made.class_file is not None
    return [problem.what for problem in unroll(made.class_file).problems]


def said(words: Iterable[Words]) -> list[str]:
    return [one.text for one in words]


def spoken(made: Iterable[Step]) -> list[list[str]]:
    """What is said before each step, and in it."""
    return [said((*step.entry, *step.words)) for step in made]


OAR = "  - pose: heavy oar\n"
REED = "  - pose: reed in the wind\n    side: left\n"


def test_a_pose_written_without_words_gets_those_of_the_library() -> None:
    pose, leave = steps(OAR)
    assert said(pose.entry) == ["Heavy oar.", "Reach for the oar."]
    assert said(pose.words) == ["Pull with your back.", "Brace your belly.", "Rest one knee on the ground."]
    assert (leave.kind, leave.title, said(leave.entry)) == (StepKind.TALK, "out of heavy oar", ["Let go.", "Stand up."])


def test_words_of_the_library_have_the_place_of_their_pose_and_a_number_each() -> None:
    pose, leave = steps(OAR)
    assert {one.place for one in (*pose.entry, *pose.words, *leave.entry)} == {pose.place} == {leave.place}
    assert [one.from_library for one in (*pose.entry, *pose.words)] == [0, 1, 2, 3, 4]
    assert [one.from_library for one in leave.entry] == [1, 2]


def test_words_of_the_library_in_a_hold_may_be_left_out_and_the_others_may_not() -> None:
    pose, leave = steps(OAR)
    assert {one.if_room for one in pose.words} == {True}
    assert {one.if_room for one in (*pose.entry, *leave.entry)} == {False}


@pytest.mark.parametrize("name", ["Heavy Oar", "heavy oars", "the heavy oar pose"])
def test_a_pose_is_known_by_any_spelling_and_named_as_written(name: str) -> None:
    pose, _ = steps(f"  - pose: {name}\n")
    assert (pose.pose, pose.known, pose.hold) == (name, "heavy oar", InBreaths(6, 6, 6))
    assert said(pose.entry)[1:] == ["Reach for the oar."]


def test_an_unknown_pose_is_held_as_usual_and_gets_no_words() -> None:
    (pose,) = steps("  - pose: old willow\n")
    assert (pose.known, pose.hold, said(pose.entry), pose.words) == (None, InBreaths(5, 5, 5), ["Old willow."], ())


def test_a_pose_that_a_move_arrives_in_is_known_too() -> None:
    move, other = steps("  - inhale: Up.\n    pose: swaying reeds\n  - exhale: Down.\n    pose: old willow\n")
    assert (move.known, other.known) == ("reed in the wind", None)


@pytest.mark.parametrize("quiet", ["say: none", "enter: none", "leave: none"])
def test_none_in_place_of_words_leaves_a_pose_quiet(quiet: str) -> None:
    assert spoken(steps(f"{OAR}    {quiet}\n")) == [["Heavy oar."]]


def test_bare_poses_stay_quiet_where_the_class_says_so_and_those_that_ask_do_not() -> None:
    made = steps(f"{OAR}{OAR}    enter: library\n", "library cues: no\n")
    assert spoken(made) == [["Heavy oar."], ["Heavy oar.", "Reach for the oar."]]


def test_a_part_that_is_asked_for_comes_beside_words_of_the_file() -> None:
    pose, leave = steps(f"{OAR}    hold: 2 breaths\n    enter: Sit down.\n    say: library\n    leave: Up you get.\n")
    assert said(pose.entry) == ["Heavy oar.", "Sit down."]
    assert said(pose.words) == ["Rest one knee on the ground."]
    assert said(leave.entry) == ["Up you get."]
    assert [one.from_library for one in (*pose.entry, *leave.entry)] == [0, 0, 0]


def test_asking_the_library_for_a_pose_it_does_not_know_gives_nothing() -> None:
    assert spoken(steps("  - pose: old willow\n    say: library\n    leave: library\n")) == [["Old willow."]]


@pytest.mark.parametrize(
    ("hold", "number"),
    [
        ("1 breath", 0),
        ("2 breaths", 1),
        ("3 breaths", 1),
        ("4 breaths", 2),
        ("5 to 12 breaths", 2),
        ("6 breaths", 3),
        ("20 breaths", 4),
        ("10 s", 0),
        ("16 s", 1),
        ("32 s", 2),
        ("31 s to 3 min", 1),
    ],
)
def test_half_of_the_breaths_that_a_hold_has_at_least_stay_quiet(hold: str, number: int) -> None:
    """At eight seconds a breath: 10 s are one whole breath, 31 s three."""
    pose, _ = steps(f"{REED}    hold: {hold}\n")
    every = ["Lean to the left.", "Soften your jaw.", "Look straight ahead.", "Let the breath sway you."]
    assert said(pose.words) == every[:number]
    assert {one.kind for one in pose.words} <= {CueKind.HOW}


@pytest.mark.parametrize(
    ("hold", "hows"), [("1 breath", 0), ("2 breaths", 0), ("4 breaths", 1), ("6 breaths", 2), ("20 breaths", 3)]
)
def test_a_strong_pose_always_offers_its_easier_way_as_the_last_of_its_words(hold: str, hows: int) -> None:
    pose, _ = steps(f"{OAR}    hold: {hold}\n")
    offers = ["Rest one knee on the ground."] if hold != "1 breath" else []
    assert said(pose.words) == ["Pull with your back.", "Brace your belly.", "Keep your neck long."][:hows] + offers
    assert [one.kind for one in pose.words] == [CueKind.HOW] * hows + [CueKind.OFFER] * len(offers)


def test_words_that_name_a_side_are_left_out_where_no_side_is_known() -> None:
    pose, _ = steps("  - pose: reed in the wind\n    hold: 4 breaths\n")
    assert spoken([pose]) == [["Reed in the wind.", "Soften your jaw.", "Look straight ahead."]]
    assert faults("  - pose: reed in the wind\n") == []


def test_words_of_the_library_are_given_their_side_and_are_the_same_words_on_both() -> None:
    made = steps("  - both sides:\n      - pose: reed in the wind\n        hold: 2 breaths\n")
    assert spoken(made) == [
        ["Reed in the wind, right side.", "Plant the right foot.", "Lean to the right."],
        ["Come back to the middle."],
        ["Reed in the wind.", "The same on the left: plant the left foot.", "Lean to the left."],
        ["Come back to the middle."],
    ]
    keys = [[one.key for one in (*step.entry, *step.words)] for step in made]
    assert keys[:2] == keys[2:]


def test_leaving_a_pose_has_a_twin_on_the_other_side() -> None:
    pose, leave, other, other_leave = steps("  - both sides:\n      - pose: reed in the wind\n")
    assert leave.pair == f"{pose.pair}/leave" == other_leave.pair
    assert pose.pair == other.pair is not None
    assert [step.side for step in (pose, leave, other, other_leave)] == [Side.RIGHT] * 2 + [Side.LEFT] * 2


def test_words_on_leaving_for_one_side_only_leave_a_silent_twin_on_the_other() -> None:
    leaving = "        leave:\n          - how: Change sides.\n            on: first side\n"
    made = steps(f"  - both sides:\n      - pose: old willow\n{leaving}")
    assert [said(step.entry) for step in made[1::2]] == [["Change sides."], []]
    assert made[1].pair == made[3].pair is not None


def test_leaving_has_the_section_and_the_side_of_its_pose() -> None:
    pose, leave = steps(f"  - section: A\n{REED}    leave: Turn the <other side> foot in.\n")
    assert said(leave.entry) == ["Turn the right foot in."]
    assert (leave.section, leave.side, leave.place, leave.hold) == (0, Side.LEFT, pose.place, None)


@pytest.mark.parametrize("following", ["inhale: Up.", "exhale:", "say: Let go of the oar."])
def test_a_bare_pose_has_no_words_on_its_way_out_where_the_class_leads_out_of_it(following: str) -> None:
    pose, *out = steps(f"{OAR}  - {following}\n")
    assert "Reach for the oar." in said(pose.entry)
    assert "leave" not in [step.title for step in out]


@pytest.mark.parametrize(
    "following", ["pose: heavy oar", "rest: 1 min", "section: B\n  - pose: heavy oar", "silence: 1 min"]
)
def test_a_bare_pose_is_left_with_words_where_something_else_follows(following: str) -> None:
    assert [step.title for step in steps(f"{OAR}  - {following}\n")][1] == "out of heavy oar"


def test_words_on_leaving_that_are_asked_for_are_said_before_a_move_too() -> None:
    made = steps(f"{OAR}    leave: library\n  - inhale: Up.\n{OAR}    leave: Let it sink.\n  - inhale: Up.\n")
    assert [said(step.entry) for step in made if step.kind is StepKind.TALK] == [
        ["Let go.", "Stand up."],
        ["Let it sink."],
    ]


def test_what_follows_rounds_follows_the_last_of_them() -> None:
    made = steps("  - rounds: 2\n    of:\n      - pose: heavy oar\n  - inhale: Up.\n")
    assert [step.title for step in made] == ["heavy oar", "out of heavy oar", "heavy oar", "inhale"]


def test_a_rest_in_a_known_pose_gets_words_and_a_plain_rest_none() -> None:
    plain, rest, leave = steps("  - rest: 20 s\n  - rest: 20 s\n    pose: heavy oar\n")
    assert (plain.entry, plain.words, plain.known, rest.known) == ((), (), None, "heavy oar")
    assert spoken((rest, leave)) == [
        ["Heavy oar.", "Reach for the oar.", "Rest one knee on the ground."],
        ["Let go.", "Stand up."],
    ]


def test_a_hold_that_the_file_does_not_give_is_that_of_the_library() -> None:
    reed, _, own, _ = steps(f"{REED}{REED}    hold: 30 s\n")
    assert (reed.hold, own.hold) == (InBreaths(4, 6, 8), InTime(30_000, 30_000, 30_000))


@pytest.mark.parametrize(("number", "fault"), [(6, []), (7, ["this cue is placed at breath 7 of a hold of 6"])])
def test_a_cue_may_ask_for_a_breath_up_to_the_usual_of_a_hold_with_room(number: int, fault: list[str]) -> None:
    assert faults(f"{REED}    say:\n      - how: A.\n        at: breath {number}\n") == fault


def test_the_last_breath_needs_one() -> None:
    cue = "    say:\n      - how: A.\n        at: last breath\n"
    assert faults(f"{REED}    hold: 8 s\n{cue}") == []
    assert faults(f"{REED}    hold: 7 s\n{cue}") == ["this cue is placed at breath 1 of a hold of 0"]


def test_a_class_changes_what_a_block_file_says_of_a_pose(tmp_path: Path) -> None:
    (tmp_path / "reeds.yaml").write_text(f"{LIBRARY}blocks:\n  reeds:\n    - pose: swaying reed\n      side: left\n")
    own = 'poses:\n  swaying reed: {say: "Sway.", hold: 2 breaths}\n'
    head = f"title: T\nblocks from: reeds.yaml\n{own}class:\n"
    pose, leave = expand(read_text(f"{head}  - block: reeds\n", "class.yaml", tmp_path)).steps
    assert (pose.known, pose.hold) == ("reed in the wind", InBreaths(2, 2, 2))
    assert spoken((pose, leave)) == [
        ["Swaying reed, left side.", "Plant the left foot.", "Sway."],
        ["Come back to the middle."],
    ]


def test_rules_of_advice_are_let_be_for_everything_inside() -> None:
    made = steps(
        "  - section: A\n    let be: no settling\n"
        "  - pose: old willow\n    leave: Go.\n    let be: [no quiet, wrists]\n"
        "  - rounds: 1\n    let be: said again\n    of:\n"
        "      - both sides:\n          - inhale:\n            let be: long move\n          - exhale:\n"
        "        let be: one side\n"
        "  - section: B\n  - block: wave\n    let be: unprepared\n  - say: Hello.\n",
        "let be: no rest\nblocks:\n  wave:\n    - inhale:\n",
    )
    inherited = [step.let_be - {"no rest"} for step in made]
    assert all("no rest" in step.let_be for step in made)
    turns = {"no settling", "said again", "one side"}
    assert inherited == [
        {"no settling", "no quiet", "wrists"},
        {"no settling", "no quiet", "wrists"},
        {*turns, "long move"},
        turns,
        {*turns, "long move"},
        turns,
        {"unprepared"},
        set(),
    ]


def pace(inhale_ms: int, exhale_ms: int) -> Pace:
    return Pace(Fraction(inhale_ms), Fraction(0), Fraction(exhale_ms), Fraction(0))


def test_an_elastic_pace_is_used_as_usual_and_keeps_its_room() -> None:
    """Six to 7.5 breaths a minute are 10 to 8 s a breath, nine in the middle."""
    made = steps(
        "  - pose: old willow\n    pace: {inhale: 4 to 6 s, exhale: 5 s}\n  - inhale:\n  - silence: 3 breaths\n"
        "  - section: Slower\n    pace: 4 breaths a minute\n  - inhale:\n"
        "  - exhale:\n    pace: 6 to 7.5 breaths a minute\n",
        "pace: 6 to 7.5 breaths a minute\n",
    )
    of_class = pace(4500, 4500), PaceRoom(pace(4000, 4000), pace(5000, 5000))
    assert [(step.pace, step.pace_room) for step in made] == [
        (pace(5000, 5000), PaceRoom(pace(4000, 5000), pace(6000, 5000))),
        of_class,
        of_class,
        (pace(7500, 7500), None),
        of_class,
    ]


def test_a_breathing_pattern_takes_the_usual_inhale_of_an_elastic_pace_and_gives_nothing() -> None:
    (step,) = steps("  - breathing: 1:2\n    lasts: 3 breaths\n", "pace: 6 to 7.5 breaths a minute\n")
    assert (step.pace, step.pace_room) == (pace(4500, 9000), None)


def test_a_rest_keeps_its_share_of_the_class_beside_its_range() -> None:
    rest, other = steps("  - rest: 2 to 10 min\n    share: 1 min in 10 min\n  - rest: 2 min\n")
    assert (rest.share, other.share) == (Fraction(1, 10), None)
    assert rest.hold == InTime(120_000, 360_000, 600_000)
