"""What the shipped classes owe those who follow them, in the order in which it is said."""

import re
from pathlib import Path

import pytest

from guide.ready.choices import USUAL_RATE
from guide.sequence.expand import unroll
from guide.sequence.reader import read_text
from guide.sequence.shipped_folder import shipped_classes
from guide.sequence.steps import Step

NAMES = sorted(shipped_classes())


def steps_of(name: str) -> tuple[Step, ...]:
    path: Path = shipped_classes()[name]
    return unroll(read_text(path.read_bytes(), path.name, path.parent)).steps.steps


def texts_of(step: Step) -> list[str]:
    return [words.text for words in (*step.entry, *step.words)]


def said_in(name: str) -> list[str]:
    """All that a class says, in its order."""
    return [text for step in steps_of(name) for text in texts_of(step)]


def first(said: list[str], pattern: str) -> int:
    """Where something like `pattern` is said first."""
    return next(number for number, text in enumerate(said) if re.search(pattern, text))


def test_the_way_into_warrior_two_says_where_to_turn_and_what_both_feet_do() -> None:
    said = said_in("lakeside-morning")
    assert [text for text in said if "Turn to the" in text or "turn to the left, arms" in text] != []
    for front, back in (("right", "left"), ("left", "right")):
        turned = first(said, f"turn to the {back}, arms wide")
        assert f"step your {back} foot" in said[turned - 1]
        feet = next(text for text in said[turned:] if "heel down" in text)
        assert (
            feet == f"Set the back heel down, its toes turned out. Point your {front} toes ahead, and bend that knee."
        )


def test_tree_is_called_by_the_side_that_the_plan_shows() -> None:
    for step in steps_of("lakeside-morning"):
        for text in texts_of(step) if step.side else ():
            if text.startswith("Tree, "):
                assert step.side and text.endswith(f"{step.side.value} side.")


@pytest.mark.parametrize("name", ["lakeside-morning", "evening-lake"])
def test_a_way_with_the_head_up_is_offered_before_heads_are_down(name: str) -> None:
    said = said_in(name)
    assert (
        first(said, "[Cc]hair") < first(said, "head above your heart|should not be low") < first(said, "lift your hips")
    )


def test_the_salutations_have_a_way_with_the_head_up_before_they_begin() -> None:
    said = said_in("lakeside-morning")
    assert first(said, "fold only half way, and use the chair") < first(said, "[Ff]old from the hips")


def test_the_seated_twist_says_where_both_hands_go() -> None:
    said = said_in("lakeside-morning")
    for side, other in (("right", "left"), ("left", "right")):
        assert f"Your {side} hand on the floor behind you, your {other} arm around the knee." in said


def test_the_way_to_the_wall_has_words_and_time() -> None:
    steps = steps_of("evening-lake")
    at = next(
        number for number, step in enumerate(steps) if any("Take your mat to the wall" in t for t in texts_of(step))
    )
    before = [text for step in steps[at - 3 : at] for text in texts_of(step)]
    assert any("up to sit" in text for text in before)
    assert "swing your legs up" in " ".join(texts_of(steps[at + 2]))
    assert steps[at + 1].kind.value == "rest"


@pytest.mark.parametrize("name", NAMES)
def test_what_is_used_is_announced_at_the_beginning(name: str) -> None:
    """Nobody learns of a chair in the middle of a pose."""
    said = said_in(name)
    used = [number for number, text in enumerate(said) if "hair" in text and "would roll" not in text]
    assert not used or used[0] < len(said) / 5


def test_nobody_holds_on_to_a_chair_that_rolls() -> None:
    said = said_in("desk-break")
    assert not any("back of your chair" in text for text in said)
    assert any("hold the edge of your desk" in text for text in said)


@pytest.mark.parametrize("name", NAMES)
def test_no_class_speaks_faster_than_the_usual_voice(name: str) -> None:
    path = shipped_classes()[name]
    rate = read_text(path.read_bytes(), path.name, path.parent).voice_rate
    assert rate is None or rate <= USUAL_RATE


@pytest.mark.parametrize("name", ["still-water", "rain-on-the-lake"])
def test_a_class_of_long_quiet_keeps_a_loudspeaker_awake(name: str) -> None:
    path = shipped_classes()[name]
    assert read_text(path.read_bytes(), path.name, path.parent).room_tone


def test_the_starter_leads_people_up_again_and_to_an_end() -> None:
    said = said_in("starter")
    assert "up to sit" in said[-2]
    assert "Thank you" in said[-1]
    assert not any("lower the other knee" in text for text in said)
