"""The quick reader gives the tree that the whole of YAML gives, or leaves the text to it."""

import random
from pathlib import Path

import pytest

from guide.sequence import source
from guide.sequence.compose import compose
from guide.sequence.nodes import Node
from guide.sequence.poses import plain_yaml
from guide.sequence.poses.shipped_library import DATA

PATHS = sorted(DATA.glob("*.yaml"))


def quick_and_whole(text: str) -> tuple[Node | None, Node | None]:
    """Both trees; the second is None where the text has a problem."""
    checked, wrong = source.check(text, "x.yaml")
    quick = plain_yaml.plain_tree(checked)
    if quick is None and not wrong:
        return None, None
    whole, broken = compose(checked, frozenset())
    return quick, None if wrong or broken else whole


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_every_file_of_the_library_is_written_plainly_and_read_alike(path: Path) -> None:
    quick, whole = quick_and_whole(path.read_text("utf-8"))
    assert quick is not None
    assert quick == whole


PLAIN = [
    "a: b\n",
    "a:\n  b: c d\n  e: [f, g h]\n",
    "a:\n  - b c, d\n  - 'it: e'\n  - \"f # g\"\n",
    "# first\n\na: []\n\n  # between\nb: c:d\n",
    "a: x#y\nb: <side> z\n",
]

NOT_PLAIN = [
    "a: b\n  c\n",
    "a: b # c\n",
    "a: b: c\n",
    "a: &b c\n",
    "a: *b\n",
    "a: !b c\n",
    "a: |\n  b\n",
    "a: {b: c}\n",
    "a: [b, {c: d}]\n",
    "a: [b,c]\n",
    "a: [b, [c]]\n",
    "a: [b\n  , c]\n",
    "a:\n",
    "a:\n- b\n",
    "a:\n   b: c\n",
    "a:\n  b: c\n d: e\n",
    "- a: b\n",
    "- - a\n",
    "? a\n: b\n",
    "<<: b\n",
    'a: "b\\tc"\n',
    "a: 'b''c'\n",
    "a: b\n---\nc: d\n",
    "a:\tb\n",
    "%a\n",
    "a: b \n",
    "a: b\u200bc\n",
    "",
    "a\n",
]


@pytest.mark.parametrize("text", PLAIN)
def test_plain_forms_are_read_quickly(text: str) -> None:
    quick, whole = quick_and_whole(text)
    assert quick is not None
    assert quick == whole


@pytest.mark.parametrize("text", NOT_PLAIN)
def test_other_forms_are_left_to_the_whole_of_yaml(text: str) -> None:
    assert plain_yaml.plain_tree(source.check(text, "x.yaml")[0]) is None


SIGNS = " \n-:,#[]{}'\"&*!|>%@`~=<?.\\\t0aé\u200b\u3000"


def test_a_damaged_file_is_never_read_in_another_way() -> None:
    poses = [pose for path in PATHS for pose in path.read_text("utf-8").split("\n\n") if pose.startswith("  ")]
    taken = 0
    for seed in range(400):
        chance = random.Random(seed)
        text = f"poses:\n\n{chance.choice(poses)}\n"
        for _ in range(chance.randrange(1, 3)):
            place = chance.randrange(len(text))
            text = text[:place] + chance.choice(SIGNS) + text[place + chance.randrange(2) :]
        quick, whole = quick_and_whole(text)
        if quick is not None:
            assert quick == whole, (seed, text)
            taken += 1
    assert taken > 20
