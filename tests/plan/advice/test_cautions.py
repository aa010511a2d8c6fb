"""No advice, no caution and no way in names a pose that the same caution leaves out, over the whole library."""

import pytest
from advice_samples import advice_on
from rows import each_row

from guide.plan.advice.cautions import forbids
from guide.sequence.poses.in_words import poses_named
from guide.sequence.poses.pose import Condition, Pose, Strength
from guide.sequence.poses.shipped_library import shipped

LIBRARY = shipped()


def left_out(text: str, condition: Condition, besides: Pose) -> set[str]:
    """The poses that a text names, with no other to choose, although the library leaves them out for a condition."""
    named = [pose for pose in poses_named(text, LIBRARY) if pose != besides and forbids(pose, condition)]
    return {pose.name for pose in named if f"{pose.name} or " not in text}


@each_row("pose", list(LIBRARY))
@pytest.mark.parametrize("condition", Condition)
def test_cautions_and_ways_in_name_nothing_that_is_left_out(pose: Pose, condition: Condition) -> None:
    assert left_out(pose.cautions.get(condition, ""), condition, pose) == set()
    if not forbids(pose, condition):
        for text in pose.enter:
            assert left_out(text, condition, pose) == set()


def held(names: list[str], condition: Condition) -> str:
    """A class that holds these poses one after the other, for people with a condition."""
    poses = "".join(f'  - {{pose: "{name}", side: right, hold: 3 breaths}}\n' for name in names)
    return f"title: T\nfor: {{avoid: [{condition.value}]}}\nclass:\n{poses}"


@pytest.mark.parametrize("condition", Condition)
def test_advice_names_nothing_that_is_left_out(condition: Condition) -> None:
    """The strong poses first and in one class, so that nothing prepares them."""
    strong = [pose.name for pose in LIBRARY if pose.after and pose.strength is Strength.STRONG]
    for advice in advice_on(held(strong, condition)):
        assert {pose.name for pose in poses_named(advice.fix, LIBRARY) if forbids(pose, condition)} <= {
            name for name in strong if f"“{name}”" in advice.fix
        }, advice


def test_camel_for_pregnant_people_is_not_prepared_on_the_belly() -> None:
    found = [advice.fix for advice in advice_on(held(["camel"], Condition.PREGNANCY)) if advice.rule == "unprepared"]
    assert found
    assert not any("cobra" in fix or "sphinx" in fix for fix in found)
