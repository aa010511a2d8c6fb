"""The rule for words that name the wrong side, held against lists written before it, and against everything shipped.

What is right and what is a slip in the lists is common practice, no source.
"""

import csv
import json
import re
from functools import cache
from pathlib import Path

import pytest
from examples import FULL
from rows import each_row
from side_classes import SIDES, Item, advice_on, classes, convention, items, view_of

from guide.plan.advice.sides.pose_facts import facts_in
from guide.plan.advice.sides.words import mentions, mirrored
from guide.plan.advice.wrong_side import NAME, REASON, advise
from guide.sequence.poses.names import folded
from guide.sequence.poses.pose import Pose
from guide.sequence.poses.shipped_library import shipped


@cache
def correct() -> list[Item]:
    return [item for name in ("correct.yaml", "correct-held-out.yaml", "correct-beside.yaml") for item in items(name)]


@cache
def slips() -> list[Item]:
    return [item for name in ("slips.yaml", "slips-held-out.yaml") for item in items(name)]


SEQUENCES = Path(__file__).parents[3] / "sequences"
SHIPPED = sorted(SEQUENCES.glob("*.yaml"))

SWAP = {"right": "left", "left": "right"}


def in_the_mirror(item: Item) -> Item:
    """An item with every right and left changed over that a side is meant by."""
    words = {key: mirrored(item[key]) for key in ("both", "words", "other", "before", "name") if key in item}
    pose = {"pose": re.sub("right|left", lambda side: SWAP[side[0]], item["pose"])} if "pose" in item else {}
    return {**item, **words, **pose, "side": SWAP.get(item["side"], "none")}


def test_the_lists_are_long_and_nothing_stands_in_them_twice() -> None:
    for each in (correct(), slips()):
        assert len(each) >= 250
        assert len({json.dumps(item, sort_keys=True) for item in each}) == len(each)


@each_row("item", correct)
def test_right_words_raise_nothing(item: Item) -> None:
    for text in classes(item):
        assert [advice.what for advice in advice_on(text)] == []


@each_row("item", slips)
def test_a_slip_is_found(item: Item) -> None:
    for text in classes(item):
        found = advice_on(text)
        assert found, text
        assert all(advice.rule == NAME and advice.what and advice.fix and advice.steps for advice in found)


@each_row("item", lambda: correct()[:: 1 if FULL else 4])
def test_a_right_class_is_right_in_the_mirror_too(item: Item) -> None:
    for text in classes(in_the_mirror(item)):
        assert [advice.what for advice in advice_on(text)] == []


@each_row("item", lambda: slips()[:: 1 if FULL else 4])
def test_a_slip_is_a_slip_in_the_mirror_too(item: Item) -> None:
    for text in classes(in_the_mirror(item)):
        assert advice_on(text), text


def pairs() -> list[Item]:
    return [item for item in correct() if "other" in item and _changed_over(item["words"], item["other"])]


def _changed_over(words: str, other: str) -> bool:
    """Whether the words of one pass are those of the other, mirrored, and not the same either way."""
    return mirrored(words).lower() == other.lower() and mirrored(words) != words


@each_row("which", ["words", "other"])
@each_row("item", pairs)
def test_one_cue_of_a_pair_changed_over_is_found(item: Item, which: str) -> None:
    for text in classes({**item, which: mirrored(item[which])}):
        assert advice_on(text), text


def test_enough_pairs_are_tried() -> None:
    assert len(pairs()) >= 45


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.name)
def test_the_shipped_classes_raise_nothing(path: Path) -> None:
    assert list(advise(view_of(path.read_text(encoding="utf-8")))) == []


@pytest.mark.parametrize("name", ["sun salutation A", "sun salutation A once slowly", "sun salutation B"])
def test_the_shipped_salutations_raise_nothing(name: str) -> None:
    assert advice_on(f"title: T\nclass:\n  - block: {name}\n") == []


def test_the_salute_with_the_leg_behind_as_its_side_raises_nothing() -> None:
    assert advice_on("title: T\nclass:\n  - both sides: twelve-position salute\n") == []


def test_a_foot_changed_over_in_a_salutation_is_found() -> None:
    text = (SEQUENCES / "blocks" / "salutations.yaml").read_text(encoding="utf-8")
    for side in ("Right", "Left"):
        slip = text.replace(f"{side} foot forward", f"{SWAP[side.lower()].capitalize()} foot forward")
        blocks = slip[slip.index("blocks:") :]
        assert len(advice_on(f"title: T\nclass:\n  - block: sun salutation B\n{blocks}")) == 1


SIDED = [pose for pose in shipped() if pose.sides]


def _words_of(pose: Pose) -> list[str]:
    ways = [way.say for way in (pose.easier, pose.stronger) if way is not None]
    return [*pose.enter, *pose.say, *ways, *pose.cautions.values()]


@each_row("pose", SIDED)
def test_the_librarys_own_words_raise_nothing_as_the_words_of_a_class(pose: Pose) -> None:
    words = "".join(f"        - {json.dumps(text)}\n" for text in _words_of(pose))
    leave = "".join(f"        - {json.dumps(text)}\n" for text in pose.leave) or "        - Come out.\n"
    head = f"title: T\nclass:\n  - both sides:\n    - pose: {json.dumps(pose.name)}\n      enter:\n"
    assert advice_on(f"{head}{words}      leave:\n{leave}") == []


@each_row("pose", [pose for pose in shipped() if not pose.sides])
def test_the_librarys_words_without_sides_raise_nothing(pose: Pose) -> None:
    words = "".join(f"      - {json.dumps(text)}\n" for text in (*_words_of(pose), *pose.leave))
    assert advice_on(f"title: T\nclass:\n  - pose: {json.dumps(pose.name)}\n    enter:\n{words}") == []


def test_what_only_sounds_like_a_side_is_not_changed_over() -> None:
    text = "All right: right foot right above the left, two breaths left."
    assert mirrored(text) == "All right: left foot right above the right, two breaths left."
    assert [mention.limb for mention in mentions(text)] == ["foot", "one"]


def test_an_own_pose_may_mean_the_other_side() -> None:
    """A class that changes a pose of the library says by its words which side `<side>` is."""
    own = "poses:\n  warrior two:\n    enter: Step your <side> foot back, and bend the front knee.\n"
    words = "class:\n  - both sides:\n    - pose: warrior two\n      enter: Press your <side> heel down.\n"
    assert advice_on(f"title: T\n{own}{words}") == []
    assert advice_on(f"title: T\n{words}")


def test_an_own_pose_is_read_by_its_own_words() -> None:
    own = "poses:\n  river:\n    base: standing\n    sides: yes\n    enter: Step your <side> foot forward.\n"
    words = "class:\n  - pose: river\n    side: right\n    enter: Step your {} foot forward.\n"
    assert advice_on(f"title: T\n{own}{words.format('right')}") == []
    assert len(advice_on(f"title: T\n{own}{words.format('left')}")) == 1


@each_row("words", ["Lift your left foot, and set that foot down.", "Stand on the right leg, and lift the other leg."])
def test_a_limb_may_be_spoken_of_by_one_named_before(words: str) -> None:
    tree = "title: T\nclass:\n  - pose: tree\n    side: {}\n    enter: {}\n"
    assert advice_on(tree.format("left", words)) == []
    assert len(advice_on(tree.format("right", words))) == 1


def test_the_rule_and_the_lists_mean_the_same_sides() -> None:
    """What the rule holds firm has one meaning in the convention, and what it does not is marked as either."""
    meant = {meaning: {folded(name) for name in names} for meaning, names in convention().items()}
    one = {name for meaning, names in meant.items() if not meaning.endswith("either") for name in names}
    either = {name for meaning, names in meant.items() if meaning.endswith("either") for name in names}
    assert not one & either
    for pose in SIDED:
        facts = facts_in(pose)
        if facts.sign:
            assert folded(pose.name) in (one if facts.firm else either), pose.name


def test_most_poses_with_sides_are_known() -> None:
    """A pose whose words in the library turn against the table is not firm any more; that would show here."""
    assert sum(facts_in(pose).firm for pose in SIDED) >= 70


def test_the_reason_is_short() -> None:
    assert len(REASON.split()) < 50


def single_sentences() -> list[dict[str, str]]:
    """Sentences about a pose on one side, each right or a slip, written before the rule knew them."""
    with (SIDES / "sentences.tsv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE))


@each_row("row", single_sentences)
def test_a_sentence_in_a_pose_is_right_or_a_slip(row: dict[str, str]) -> None:
    (text,) = classes({"pose": row["pose"], "side": row["side"], "words": row["sentence"]})
    assert bool(advice_on(text)) is (row["verdict"] == "slip")


def test_what_both_passes_of_a_loose_pose_agree_on_is_right() -> None:
    half_moon = "title: T\nclass:\n  - both sides:\n    - pose: half moon\n      enter: Float your <side> leg up.\n"
    assert advice_on(half_moon) == []
    alone = half_moon.replace("both sides:\n    - pose: half moon\n", "pose: half moon\n      side: right\n")
    assert advice_on(alone.replace("      ", "    "))
