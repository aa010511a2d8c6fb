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
      - pose: lunge
        hold: 2 to 3 breaths
        say: Stay for a while.
  - rest: 30 s to 50 s
"""


def notes(slot: str) -> list[str]:
    timeline, _ = planned(steps_of(CLASS.format(slot=slot), Path()))
    return [note.what for note in timeline.notes]


def test_a_class_that_misses_its_slot_says_what_room_its_holds_have() -> None:
    """Six and two times two breaths of eight seconds and forty seconds of rest: 2:00. By hand: 1:34 to 2:42."""
    assert notes("3 min") == [
        "the class lasts 2:00, 1:00 shorter than its slot of 3:00; its holds have room for 1:34 to 2:42; "
        "most time goes to “tree” in line 7 (0:48), “rest” in line 13 (0:40), “lunge” in line 10 (0:32)"
    ]


def test_a_class_that_fills_its_slot_says_nothing() -> None:
    assert notes("2 min") == []


def test_a_class_that_is_off_by_less_than_a_second_says_so_in_milliseconds_and_no_more() -> None:
    """One inhale of 3.3 s, so that two of them miss seven seconds by 400 ms."""
    text = "title: T\nslot: 7 s\npace: {inhale: 3.3 s, exhale: 4 s}\nbells: {class: none}\n"
    timeline, _ = planned(steps_of(f"{text}class:\n  - inhale:\n  - inhale:\n", Path()))
    assert [note.what for note in timeline.notes] == ["the class lasts 0:06, 400 ms shorter than its slot of 0:07"]
