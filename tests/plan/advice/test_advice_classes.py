"""One class that deserves each rule of advice, one that deserves none, and how a file silences it."""

import re

import pytest
from advice_samples import CLASSES, advice_on, rules_of, view_of
from rows import each_row

from guide.plan.advice.registry import RULES, advise
from guide.sequence.advice_names import ADVICE_NAMES

BAD = {name: CLASSES / f"{name.replace(' ', '-')}.yaml" for name in ADVICE_NAMES}


def text_of(name: str) -> str:
    return BAD[name].read_text(encoding="utf-8")


def test_every_rule_is_there_under_the_name_by_which_files_silence_it() -> None:
    assert tuple(RULES) == ADVICE_NAMES
    assert [rule.NAME for rule in RULES.values()] == list(ADVICE_NAMES)


@each_row("name", ADVICE_NAMES)
def test_a_rule_has_a_reason_of_one_sentence_or_two(name: str) -> None:
    assert 1 <= len(re.findall(r"[.!?](?:\s|$)", RULES[name].REASON)) <= 2


@each_row("name", ADVICE_NAMES)
def test_a_class_that_deserves_a_rule_shows_it_and_no_other(name: str) -> None:
    assert set(rules_of(text_of(name))) == {name}


@each_row("name", ADVICE_NAMES)
def test_advice_is_short_and_stands_at_a_line_of_the_file(name: str) -> None:
    for advice in advice_on(text_of(name)):
        assert 1 <= advice.place.line <= len(text_of(name).splitlines())
        assert advice.what and advice.fix
        assert len(re.findall(r"[.!?](?:\s|$)", f"{advice.what}. {advice.fix}")) <= 3


def test_a_sensible_class_shows_nothing() -> None:
    assert rules_of((CLASSES / "good.yaml").read_text(encoding="utf-8")) == []


def test_no_class_lies_there_unused() -> None:
    assert {path.name for path in CLASSES.glob("*.yaml")} == {"good.yaml", *(path.name for path in BAD.values())}


@each_row("name", ADVICE_NAMES)
def test_a_rule_is_silenced_for_the_whole_class(name: str) -> None:
    assert rules_of(text_of(name).replace("class:", f"let be: {name}\nclass:", 1)) == []


@each_row("name", [name for name in ADVICE_NAMES if name != "many words"])
def test_a_rule_is_silenced_at_the_steps_that_it_names(name: str) -> None:
    """Many words over the whole class are of no one step."""
    lines = text_of(name).splitlines()
    while found := advise(view := view_of("\n".join(lines))):
        line = view.step(found[0].steps[0]).place.line - 1
        opening = re.match(r"\s*- ", lines[line]) or re.match(r"\s*", lines[line])
        assert opening is not None
        assert "let be" not in "".join(lines[line + 1 : line + 2]), found[0]
        lines.insert(line + 1, f"{' ' * opening.end()}let be: [{name}]")
    assert any("let be" in line for line in lines)


def test_another_rule_silences_nothing() -> None:
    assert rules_of(text_of("no way").replace("class:", "let be: wrists\nclass:", 1)) == ["no way"]


GROUPS = {
    "both sides": """
  - both sides:
      - pose: pigeon
        enter: Slide your <side> knee forward.
    let be: unprepared
""",
    "rounds": """
  - rounds: 2
    of:
      - pose: puppy
        enter: Walk your hands out.
    let be: unprepared
""",
    "block": """
  - block: deep
    let be: unprepared
""",
    "section": """
  - section: Deep
    let be: unprepared
  - pose: puppy
    enter: Walk your hands out.
  - section: Rest
""",
}


@pytest.mark.parametrize("group", GROUPS)
def test_a_rule_is_silenced_for_all_the_steps_of_a_group(group: str) -> None:
    begin = "title: A class\nclass:\n  - rest: 30 s"
    blocks = "blocks:\n  deep:\n    - pose: puppy\n      enter: Walk your hands out.\n"
    text = begin + GROUPS[group] + "  - say: That is all.\n" + blocks
    assert rules_of(text) == []
    assert set(rules_of(re.sub(r" +let be: unprepared\n", "", text))) == {"unprepared"}
