"""What is told of a class that misses its slot: by how much, how short and long it could be, where its time goes."""

from pathlib import Path

from plan_texts import planned, steps_of

CLASS = """\
title: T
slot: {slot}
count: none
bells: {{class: none}}
say names: no
class:
  - pose: tree
    hold: 4 to 8 breaths
  - both sides:
      - pose: mountain
        hold: 2 to 3 breaths
        say: Stay for a while.
  - rest: 30 s to 50 s
library cues: no
"""


def notes(slot: str) -> list[str]:
    timeline, _ = planned(steps_of(CLASS.format(slot=slot), Path()))
    return [note.what for note in timeline.notes]


def test_a_class_that_misses_its_slot_says_what_room_its_holds_have() -> None:
    """Six and two times two breaths of eight seconds and forty seconds of rest: 2:00. By hand: 1:34 to 2:42."""
    assert notes("3 min") == [
        "the class lasts 2:00, 1:00 shorter than its slot of 3:00; its holds have room for 1:34 to 2:42; "
        "most time goes to “tree” in line 7 (0:48), “rest” in line 13 (0:40), “mountain” in line 10 (0:32)"
    ]


def test_a_class_that_fills_its_slot_says_nothing() -> None:
    assert notes("2 min") == []


def test_a_class_that_is_off_by_less_than_a_second_fills_its_slot() -> None:
    """An inhale and an exhale of 3.3 s, which miss seven seconds by 400 ms, and eight by 1.4 s."""
    text = "title: T\nslot: {}\npace: {{inhale: 3.3 s, exhale: 3.3 s}}\nlead: 0 s\nbells: {{class: none}}\n"
    moves = "class:\n  - inhale:\n  - exhale:\n"
    timeline, _ = planned(steps_of(text.format("7 s") + moves, Path()))
    assert timeline.notes == ()
    timeline, _ = planned(steps_of(text.format("8 s") + moves, Path()))
    assert [note.what for note in timeline.notes] == [
        "the class lasts 0:06, 1.4 s shorter than its slot of 0:08; its holds have no room; "
        "most time goes to “inhale” in line 7 (0:03), “exhale” in line 8 (0:03)"
    ]


def test_a_class_that_cannot_be_long_enough_names_what_has_no_room() -> None:
    text = "title: T\nslot: 2 min\ncount: none\nbells: {class: none}\nsay names: no\npace: {inhale: 4 s, exhale: 4 s}\n"
    holds = "class:\n  - pose: tree\n    hold: 4 to 6 breaths\n  - pose: lunge\n    hold: 2 breaths\nlibrary cues: no\n"
    timeline, _ = planned(steps_of(text + holds, Path()))
    assert [note.what for note in timeline.notes] == [
        "the class lasts 0:56, 1:04 shorter than its slot of 2:00; its holds have room for 0:48 to 1:04; "
        "of what has none, most time goes to “lunge” in line 10 (0:16)"
    ]
