"""What a draft has of classes as people talk them, beside what people did in them."""

from pathlib import Path

import pytest
from talk_scores import Scores, drafted
from talked import OF_FEW_WORDS, PUT_AWAY, PUT_AWAY_BEFORE, names


def test_poses_are_found_where_half_of_them_are_told_by_what_to_do() -> None:
    found = drafted(PUT_AWAY_BEFORE, "renske-1", "eight words")
    print(found)
    assert found.poses.share >= 0.72
    assert found.wrong.share <= 0.12
    assert found.sections.share >= 0.7


def test_a_salutation_has_all_its_rounds() -> None:
    assert str(drafted(PUT_AWAY_BEFORE, "xanthe-1", "eight words").rounds) == "1/1 (100%)"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("cut", "least_poses", "most_wrong"), [("lines", 0.84, 0.06), ("eight words", 0.85, 0.06), ("rolling", 0.83, 0.07)]
)
def test_of_all_classes_most_poses_are_found(cut: str, least_poses: float, most_wrong: float) -> None:
    whole = all_of(PUT_AWAY, cut)
    assert whole.poses.share >= least_poses
    assert whole.wrong.share <= most_wrong
    assert whole.sides.share >= 0.9


@pytest.mark.slow
def test_of_classes_of_few_words_most_poses_are_found_and_kept_as_long() -> None:
    """Half of what is drafted wrong is the way up at the end, which their truth leaves out."""
    whole = all_of(OF_FEW_WORDS, "eight words")
    assert whole.poses.share >= 0.8
    assert whole.wrong.share <= 0.2
    assert whole.holds.share >= 0.88


def all_of(folder: Path, cut: str) -> Scores:
    """The scores of all talks in a folder together, which are printed."""
    whole = Scores()
    for name in names(folder):
        one = drafted(folder, name, cut)
        print(f"{name:10} {cut:24} {one}")
        whole += one
    print(f"{'all':10} {cut:24} {whole}")
    return whole
