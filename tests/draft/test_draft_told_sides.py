"""Second sides that teachers tell in few words: `other side`, `switch`, the other leg, and half of what was said."""

import pytest

from guide.draft.from_captions import understood
from guide.draft.grouping import Sided, events_of
from guide.draft.repeated_sides import RepeatedSides
from guide.draft.told_sides import Kept, of_whole_stays
from guide.review.captions.transcript import read_raw
from guide.sequence.steps import Side

BEFORE = "0:01 Good morning. Sit somewhere on the mat and close your eyes.\n0:20 Notice how the air comes and goes.\n"

FIRST = """\
0:40 Okay, so bring the left foot forward, between your hands.
0:50 Lower your back knee, and let the hips be heavy.
1:00 Low lunge. Breathe into the thigh behind you.
1:10 A neighbour of mine calls it the fencer. He never fenced.
1:30 And a last breath here.
"""

AFTER = "2:30 Good. Now lie down on your belly, and rest for a moment.\n2:50 Forehead on your hands.\n3:40 Thank you.\n"


def sided(text: str) -> list[tuple[Side, int, int, int]]:
    """What was done on both sides: the first side, and the seconds of its beginning, its turn and its end."""
    nodes, _ = understood(read_raw(text.encode(), "morning.txt"))
    return [
        (node.first, one[0].start_ms // 1000, other[0].start_ms // 1000, other[-1].end_ms // 1000)
        for node in nodes
        if isinstance(node, Sided)
        for one, other in [
            tuple([event for part in each for event in events_of(part)] for each in (node.one, node.other))
        ]
    ]


@pytest.mark.parametrize(
    "second",
    [
        "1:40 And the other leg. Down with the knee.\n1:55 Heavy.\n",
        "1:40 Same thing, other side. Step it through.\n1:55 Sink, and breathe.\n",
        "1:40 Switch legs. And breathe.\n1:55 Low again.\n",
        "1:40 And now bring the right foot forward.\n1:55 Low lunge.\n",
    ],
    ids=["other leg", "same thing", "switch", "mirrored"],
)
def test_a_second_side_is_found_by_what_is_told_of_it(second: str) -> None:
    [(first, start_s, turn_s, end_s)] = sided(BEFORE + FIRST + second + AFTER)
    assert first is Side.LEFT
    assert 20 <= start_s <= 50
    assert turn_s == 100
    assert 115 <= end_s <= 150


@pytest.mark.parametrize(
    "second",
    [
        "1:40 Stay, and breathe.\n1:55 Heavy.\n",
        "1:40 Lift one heel and then the other one.\n1:55 And breathe.\n",
        "1:40 And before we change legs, stay.\n1:55 And breathe.\n",
        "1:40 We keep a boat on the far shore.\n1:55 And breathe.\n",
    ],
    ids=["stayed", "one and the other", "not yet", "story"],
)
def test_what_turns_to_no_side_is_no_second_side(second: str) -> None:
    assert sided(BEFORE + FIRST + second + AFTER) == []


def test_sides_that_are_never_called_right_or_left_are_found() -> None:
    text = BEFORE + "0:40 Drop both knees over to one side. Arms wide, look away.\n0:52 Let it be heavy.\n"
    text += "1:15 Up through the middle, and over to the other side. Look away from your knees.\n1:20 Sigh one out.\n"
    [(_, start_s, turn_s, _)] = sided(text + "1:45 And middle. Legs long.\n1:55 Rest.\n3:30 Thank you.\n")
    assert (start_s, turn_s) == (40, 75)


ROW = (
    Kept(0, 20, "mountain", sided=False),
    Kept(20, 40, "tree", sided=True),
    Kept(40, 60, "tree", sided=True),
    Kept(60, 80, "mountain", sided=False),
)


@pytest.mark.parametrize(
    ("told", "whole"),
    [
        ((20, 40, 60), (20, 40, 60)),
        ((12, 40, 72), (20, 40, 60)),
        ((25, 40, 55), (20, 40, 60)),
        ((25, 47, 55), (20, 40, 60)),
        ((5, 15, 55), (0, 15, 60)),
    ],
    ids=["as they are", "nothing of others", "all of theirs", "turned where the second begins", "no second to turn to"],
)
def test_sides_cut_no_stay_in_two(told: tuple[int, int, int], whole: tuple[int, int, int]) -> None:
    start, turn, end = told
    one = of_whole_stays(RepeatedSides(start, turn, end, Side.RIGHT, 1), ROW, 0, 80)
    assert (one.start, one.turn, one.end) == whole


def test_sides_go_over_no_others() -> None:
    one = of_whole_stays(RepeatedSides(25, 40, 55, Side.RIGHT, 1), ROW, 23, 57)
    assert (one.start, one.turn, one.end) == (23, 40, 57)
