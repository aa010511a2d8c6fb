"""Short classes that deserve a rule or only seem to, each beside what the rule says to it, and classes as teachers
write them, which deserve nothing.

They were written before the rules, by someone who did not know how these would work.
`PYTHONPATH=tests python tests/plan/advice/test_advice_pairs.py` makes the expected files anew.
"""

from pathlib import Path

import pytest
from advice_samples import advice_on, rules_of
from rows import each_row

HERE = Path(__file__).parent
PAIRS = sorted((HERE / "pairs").glob("*/*.yaml"))
TAUGHT = sorted((HERE / "taught").glob("*.yaml"))

#: What is said to those of them with something wrong in them, and one true reminder, which the words answer in part.
DESERVED = {
    "behind-the-chair.yaml": {"to avoid"},
    "quick-lunch-class.yaml": {"no way"},
    "a-leg-forgotten.yaml": {"one side"},
    "eight-that-were-five.yaml": {"other count", "unannounced prop"},
}


def expected(path: Path) -> Path:
    return path.with_suffix(".txt")


def said_to(path: Path) -> str:
    """What the rule that a folder is named for says to a class in it, a line each."""
    rule = path.parent.name.replace("-", " ")
    found = [each for each in advice_on(path.read_text(encoding="utf-8")) if each.rule == rule]
    return "".join(f"{each.place.line}: {each.what} ({each.fix})\n" for each in found)


@each_row("path", PAIRS)
def test_a_rule_says_this_to_a_class(path: Path) -> None:
    assert said_to(path) == expected(path).read_text(encoding="utf-8")


@each_row("path", PAIRS)
def test_a_rule_speaks_to_what_is_wrong_and_to_nothing_else(path: Path) -> None:
    assert bool(expected(path).read_text(encoding="utf-8")) is path.name.startswith("bad")


@pytest.mark.parametrize("path", TAUGHT, ids=lambda path: path.stem)
def test_classes_as_teachers_write_them_are_left_alone(path: Path) -> None:
    found = set(rules_of(path.read_text(encoding="utf-8")))
    assert found == DESERVED.get(path.name, set())


if __name__ == "__main__":
    for path in PAIRS:
        expected(path).write_text(said_to(path), encoding="utf-8")
