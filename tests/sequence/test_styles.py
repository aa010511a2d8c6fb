"""What a style takes for granted, and that whatever a file says itself goes before it."""

import json
from pathlib import Path

import pytest
from rows import each_row

from guide.problem import FaultyFile
from guide.ready.advise import advise
from guide.ready.load import load, load_text
from guide.sequence import reader
from guide.sequence.expand import library_of, unroll
from guide.sequence.model import ClassFile
from guide.sequence.poses.pose import Condition
from guide.sequence.poses.shipped_library import shipped
from guide.sequence.shipped_folder import style_starters
from guide.sequence.steps import BY_CHIMES, UNCOUNTED, BellWhen, InBreaths, InTime, Step
from guide.sequence.styles import STYLES, Style

SCHEMA = json.loads(Path(reader.__file__).with_name("schema.json").read_text("utf-8"))


def a_class(head: str, entries: str) -> ClassFile:
    return reader.read_text(f"title: A class\n{head}class:\n{entries}", "class.yaml", Path())


def steps(head: str, entries: str) -> tuple[Step, ...]:
    return unroll(a_class(head, entries)).steps.steps


@pytest.mark.parametrize("style", list(STYLES))
def test_each_style_has_a_class_to_begin_with_on_which_there_is_no_advice(style: str) -> None:
    opened = load(style_starters()[style])
    class_file, _ = opened.whole()
    assert class_file.style == style
    assert [advice.what for advice in advise(opened)] == []


def test_the_schema_knows_the_styles() -> None:
    assert SCHEMA["properties"]["style"]["enum"] == list(STYLES)


@each_row("style", list(STYLES.values()))
def test_a_name_of_a_style_means_a_pose_of_the_library(style: Style) -> None:
    for known in style.names.values():
        found = shipped().find(known)
        assert found is not None and found.name == known


BUTTERFLY = "  - pose: butterfly\n  - pose: cat\n  - pose: sphinx\n    hold: 4 breaths\n"


def test_in_yin_one_stays_for_minutes_in_what_can_be_stayed_in_and_nothing_counts() -> None:
    butterfly, _, cat, _, sphinx = steps("style: yin\nsay names: no\n", BUTTERFLY)[:5]
    assert (butterfly.known, butterfly.hold) == ("yin butterfly", InTime(120_000, 180_000, 300_000))
    assert cat.hold == InBreaths(1, 2, 5)
    assert sphinx.hold == InBreaths(4, 4, 4)
    assert {step.count for step in (butterfly, cat, sphinx)} == {UNCOUNTED}
    assert {step.bell for step in (butterfly, cat, sphinx)} == {BellWhen.END}
    assert butterfly.pace.period_ms == 10_000


def test_without_a_style_the_same_names_mean_what_they_did() -> None:
    butterfly = steps("", BUTTERFLY)[0]
    assert (butterfly.known, butterfly.hold, butterfly.count) == ("bound angle", InBreaths(4, 8, 15), BY_CHIMES)


def test_what_a_file_says_goes_before_its_style() -> None:
    head = "style: yin\npace: {inhale: 3 s, exhale: 3 s}\ncount: chime\nsay breaths: yes\nbells: {step: none}\n"
    head += "poses:\n  butterfly:\n    base: seated\n    hold: 6 breaths\n"
    made = a_class(head, BUTTERFLY)
    butterfly = unroll(made).steps.steps[0]
    assert (butterfly.hold, butterfly.count, butterfly.bell) == (InBreaths(6, 6, 6), BY_CHIMES, BellWhen.NONE)
    assert made.say_breaths and butterfly.pace.period_ms == 6000


def test_bells_that_are_given_in_part_leave_the_rest_to_the_style() -> None:
    assert a_class("style: yin\nbells: {class: none}\n", BUTTERFLY).bell_step is BellWhen.END


def test_a_prenatal_class_is_for_pregnant_students() -> None:
    assert a_class("style: prenatal\nfor: {avoid: [wrist, pregnancy]}\n", BUTTERFLY).avoid == (
        Condition.PREGNANCY,
        Condition.WRIST,
    )


def test_long_holds_are_no_matter_of_advice_in_yin_and_are_elsewhere() -> None:
    entries = "  - rest: 1 min\n  - {pose: frog, hold: 5 min}\n  - rest: 3 min\n"
    rules = [
        {each.rule for each in advise(load_text(f"title: A\n{style}class:\n{entries}", "a.yaml", Path()))}
        for style in ("style: yin\n", "")
    ]
    assert "long hold" not in rules[0]
    assert "long hold" in rules[1]


def test_a_style_that_is_none_is_met_with_those_there_are() -> None:
    with pytest.raises(FaultyFile, match=r"^class.yaml:2:8: `style` cannot be `ying` \(did you mean `yin`\?\)"):
        a_class("style: ying\n", BUTTERFLY)


def test_poses_that_a_style_renames_are_still_found_by_their_other_names() -> None:
    library = library_of(a_class("style: yin\n", BUTTERFLY))
    found = {
        name: library.find(name) for name in ("bound angle", "baddha konasana", "Butterflies", "the butterfly pose")
    }
    assert {name: pose.name for name, pose in found.items() if pose} == {
        "bound angle": "bound angle",
        "baddha konasana": "bound angle",
        "Butterflies": "yin butterfly",
        "the butterfly pose": "yin butterfly",
    }
