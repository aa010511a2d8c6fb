"""What a draft has of classes as people talk them, beside what people did in them."""

import pytest
from drafts import steps_of
from talk_scores import Scores, scores
from talked import BUILT_WITH, captions, names, talked

from guide.draft.class_text import SpokenWords, class_text
from guide.draft.from_captions import understood


def drafted(name: str, cut: str) -> Scores:
    """The scores of the draft of a talk from captions in one cut."""
    talk = talked(BUILT_WITH, name)
    nodes, pace = understood(captions(talk, cut))
    return scores(talk, nodes, pace, steps_of(class_text(name, nodes, pace, SpokenWords.COMMENTS)))


def test_poses_are_found_where_half_of_them_are_told_by_what_to_do() -> None:
    found = drafted("jonas-1", "eight words")
    print(found)
    assert found.poses.share >= 0.6
    assert found.wrong.share <= 0.25


@pytest.mark.slow
@pytest.mark.parametrize(
    ("cut", "least_poses", "most_wrong"), [("lines", 0.5, 0.45), ("eight words", 0.5, 0.45), ("rolling", 0.4, 0.45)]
)
def test_of_all_classes_most_poses_are_found(cut: str, least_poses: float, most_wrong: float) -> None:
    whole = Scores()
    for name in names(BUILT_WITH):
        one = drafted(name, cut)
        print(f"{name:10} {cut:24} {one}")
        whole += one
    print(f"{'all':10} {cut:24} {whole}")
    assert whole.poses.share >= least_poses
    assert whole.wrong.share <= most_wrong
