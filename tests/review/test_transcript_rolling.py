"""Captions that show words again are made single, and what is truly said twice is kept."""

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from guide.review.captions.transcript import read_raw


def said(cues: list[tuple[int, int, str]]) -> list[tuple[int, str]]:
    body = "\n\n".join(f"{stamp(start_ms)} --> {stamp(end_ms)}\n{text}" for start_ms, end_ms, text in cues)
    return [(one.start_ms, one.text) for one in read_raw(f"WEBVTT\n\n{body}\n".encode(), "class").blocks]


def stamp(ms: int) -> str:
    return f"{ms // 60_000:02}:{ms // 1000 % 60:02}.{ms % 1000:03}"


# Source of the first three: how such files are described by people who convert them, in public discussions; the words
# are ours.
ROLLING = {
    "a line with times, the line alone, the line above the next": (
        [
            (0, 2_000, " \nlift<00:00.500><c> your</c><00:01.000><c> arms</c>"),
            (2_000, 2_010, "lift your arms\n "),
            (2_010, 5_000, "lift your arms\nand<00:03.000><c> fold</c>"),
            (5_000, 5_010, "and fold\n "),
            (5_010, 9_000, "and fold\nfold<00:07.000><c> deep</c>"),
        ],
        [
            (0, "lift"),
            (500, "your"),
            (1_000, "arms"),
            (2_010, "and"),
            (3_000, "fold"),
            (5_010, "fold"),
            (7_000, "deep"),
        ],
    ),
    "the same without times in the lines": (
        [
            (0, 2_000, "lift your arms"),
            (2_000, 2_010, "lift your arms"),
            (2_010, 5_000, "lift your arms\nand fold"),
            (5_000, 5_010, "and fold"),
            (5_010, 9_000, "and fold\nand stand"),
        ],
        [(0, "lift your arms"), (2_010, "and fold"), (5_010, "and stand")],
    ),
    "three lines that move up": (
        [
            (0, 1_000, "one"),
            (1_000, 2_000, "one\ntwo steps"),
            (2_000, 3_000, "one\ntwo steps\nthree"),
            (3_000, 4_000, "two steps\nthree\nfour"),
            (4_000, 5_000, "three\nfour\nfour"),
        ],
        [(0, "one"), (1_000, "two steps"), (2_000, "three"), (3_000, "four"), (4_000, "four")],
    ),
    "a line that grows, with stops that come and go": (
        [
            (0, 900, "Lift"),
            (1_000, 1_900, "lift your."),
            (2_000, 2_900, "Lift your arms."),
            (9_000, 9_900, "Lift your arms."),
        ],
        [(0, "Lift"), (1_000, "your."), (2_000, "arms."), (9_000, "Lift your arms.")],
    ),
    "a line that stays over a quiet, and one said again after it": (
        [
            (0, 2_000, "breathe<00:00.500> in"),
            (2_000, 2_010, "breathe in"),
            (9_000, 11_000, "breathe in\nbreathe<00:09.500> out"),
            (11_000, 11_010, "breathe out"),
            (19_000, 21_000, "out"),
            (21_000, 23_000, "out<00:22.000> loud"),
        ],
        [
            (0, "breathe"),
            (500, "in"),
            (9_000, "breathe"),
            (9_500, "out"),
            (19_000, "out"),
            (21_000, "out"),
            (22_000, "loud"),
        ],
    ),
    "lines broken anew": (
        [
            (0, 2_000, "lift your arms and fold"),
            (2_000, 4_000, "your arms and fold forward from"),
            (4_000, 6_000, "fold forward from your hips"),
        ],
        [(0, "lift your arms and fold"), (2_000, "forward from"), (4_000, "your hips")],
    ),
}

SINGLE = {
    "moves called again and again": [
        (0, 2_000, "Inhale."),
        (2_000, 4_000, "Inhale."),
        (4_000, 6_000, "Exhale."),
        (6_000, 8_000, "Exhale."),
        (8_000, 9_000, "Inhale,\nlift."),
    ],
    "one line that happens to begin as the one before ended": [
        (0, 2_000, "lift your left foot"),
        (2_000, 4_000, "left foot\nback"),
        (4_000, 6_000, "and lower your knee"),
        (6_000, 8_000, "hands to the floor"),
    ],
    "lines taken up now and then": [
        (0, 2_000, "lift your left foot"),
        (2_000, 4_000, "lift your left foot\na little"),
        (4_000, 6_000, "and lower your knee"),
        (6_000, 8_000, "and lower your knee\nslowly"),
        (8_000, 10_000, "hands to the floor"),
        (10_000, 12_000, "look up"),
    ],
    "the same words after some quiet": [
        (0, 2_000, "breathe in"),
        (4_000, 6_000, "breathe in\nbreathe out"),
        (8_000, 9_000, "breathe out\nand rest"),
    ],
}


@pytest.mark.parametrize(("cues", "expected"), ROLLING.values(), ids=ROLLING)
def test_what_is_shown_again_is_read_once(cues: list[tuple[int, int, str]], expected: list[tuple[int, str]]) -> None:
    assert said(cues) == expected


@pytest.mark.parametrize("cues", SINGLE.values(), ids=SINGLE)
def test_what_is_said_again_is_kept(cues: list[tuple[int, int, str]]) -> None:
    assert said(cues) == [(start_ms, text.replace("\n", " ")) for start_ms, _, text in cues]


WORDS = st.sampled_from(["lift", "fold", "step", "left", "right"])
LINES = st.lists(st.lists(WORDS, min_size=1, max_size=4), min_size=3)


@settings(deadline=None)
@given(LINES)
def test_two_lines_that_move_up_give_each_line_once(lines: list[list[str]]) -> None:
    numbered = [" ".join([*line, f"count{number}"]) for number, line in enumerate(lines)]
    shown = [numbered[0], *(f"{above}\n{below}" for above, below in pairwise(numbered))]
    cues = [(2_000 * number, 2_000 * (number + 1), text) for number, text in enumerate(shown)]
    assert said(cues) == [(2_000 * number, line) for number, line in enumerate(numbered)]
