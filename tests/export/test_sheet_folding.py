"""What comes again in a class stands once on its sheet, with a mark, whatever is nested in what."""

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sheet_samples import sheet

from guide.export.sheet.content import Card, CardGroup, PoseCard
from guide.export.sheet.folding import ComesAgain, Folded, Part, ShownStep, each_shown, fold
from guide.sequence.steps import Side

SIDES = {"r": Side.RIGHT, "l": Side.LEFT}


def shown(text: str) -> list[ShownStep]:
    """`a br bl`: steps by a letter each, with their sides."""
    return [ShownStep(word[0], word[0], SIDES.get(word[1:]), (number,)) for number, word in enumerate(text.split())]


def told(parts: Sequence[Part]) -> str:
    marks = {ComesAgain.ROUNDS: "x", ComesAgain.SIDES: "s", ComesAgain.BETWEEN: "b"}
    return " ".join(
        f"{marks[part.again]}{part.times}({told(part.parts)})" if isinstance(part, Folded) else str(part.key)
        for part in parts
    )


@pytest.mark.parametrize(
    ("steps", "folded"),
    [
        ("a b c", "a b c"),
        ("a b a b a b c", "x3(a b) c"),
        ("ar al", "s2(a)"),
        ("c ar br al bl d", "c s2(a b) d"),
        ("ar br al bl ar br al bl", "x2(s2(a b))"),
        ("ar br ar br al bl al bl", "s2(x2(a b))"),
        ("ar br c al bl", "s2(a b) b1(c)"),
        ("ar ar c d al al", "s2(x2(a)) b1(c d)"),
        ("ar c al c ar c al c", "x2(s2(a) b1(c) c)"),
        ("a ar", "a a"),
    ],
)
def test_rounds_and_both_sides_are_put_together(steps: str, folded: str) -> None:
    assert told(fold(shown(steps))) == folded


def test_a_round_written_out_counts_among_those_beside_it() -> None:
    slow = [ShownStep(f"slow {number}", number, None, (number,)) for number in range(5)]
    rounds = [ShownStep(number % 5, number % 5, None, (5 + number,)) for number in range(10)]
    (one,) = fold([*slow, *rounds])
    assert isinstance(one, Folded)
    assert (one.times, [part.numbers for part in each_shown(one.parts)][:2]) == (3, [(0, 5, 10), (1, 6, 11)])


@given(st.text("abc", max_size=14))
def test_no_step_is_lost_and_all_stay_in_order(letters: str) -> None:
    parts = each_shown(fold(shown(" ".join(letters))))
    numbers = [number for part in parts for number in part.numbers]
    assert sorted(numbers) == list(range(len(letters)))


def marks(cards: Sequence[Card]) -> list[object]:
    return [(card.mark, marks(card.cards)) if isinstance(card, CardGroup) else _name(card) for card in cards]


def _name(card: Card) -> str:
    return card.name if isinstance(card, PoseCard) else "told"


def test_a_class_has_its_rounds_and_sides_as_it_is_written() -> None:
    wading, birds, rest = (marks(section.cards) for section in sheet("jetty").sections)
    ((sides, (rounds, tree)), (between, _)) = wading
    assert sides.startswith("right 0:05, then left ")
    assert (rounds[0].split(":")[0], tree, between) == ("2 rounds", "Tree", "between the sides")
    assert [group[0].split(" ")[0] for group in birds] == ["2", "right"]
    assert rest == ["Final rest"]


def test_the_left_side_is_drawn_where_only_that_is_done() -> None:
    drawn = {
        card.drawn for section in sheet("desk-break").sections for card in section.each_card() if _name(card) != "told"
    }
    assert "seated side bend, left" in drawn
