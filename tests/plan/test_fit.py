"""Small classes fitted to their slots; what each hold gives is worked out by hand from guide/plan/fitting/fit.py."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from plan_texts import fitted, steps_of

from guide.plan.checker import breaches
from guide.plan.timeline import Timeline
from guide.sequence.steps import InBreaths, InTime, Pace, PaceRoom, Step, Steps

HEAD = "title: T\ncount: none\nbells: {class: none}\nsay names: no\npace: {inhale: 4 s, exhale: 4 s}\nclass:\n"


def class_of(text: str) -> Steps:
    return steps_of(f"{HEAD}{text}library cues: no\n", Path())


def filled(steps: Steps, seconds: int) -> tuple[list[int], Timeline]:
    """What every hold is set to, in breaths or ms, and the plan, which keeps every promise."""
    made, timeline, word_ms = fitted(replace(steps, slot_ms=seconds * 1000))
    assert breaches(made, timeline, word_ms) == ()
    return [setting(step) for step in made.steps if step.hold], timeline


def setting(step: Step) -> int:
    assert step.hold is not None
    return step.hold.usual if isinstance(step.hold, InBreaths) else step.hold.usual_ms


def notes(timeline: Timeline) -> list[str]:
    return [str(note) for note in timeline.notes]


SIDES_AND_REST = class_of(
    """\
  - pose: mountain
    hold: 2 breaths
  - both sides:
      - pose: chair
        hold: 4 to 6 breaths
  - rest: 60 s to 180 s
"""
)
"""Sixteen seconds, twice 32 to 48, and a rest that naturally is a tenth of the slot."""


def test_at_its_usual_length_with_its_share_of_rest_nothing_gives() -> None:
    """16 s and twice 40 s are 96 s; a slot of 156 s has a share of 15.6 s, which the least of the rest makes 60 s."""
    settings, timeline = filled(SIDES_AND_REST, 156)
    assert (settings, timeline.length_ms, timeline.ease, notes(timeline)) == ([2, 5, 5, 60_000], 156_000, 0, [])


def test_holds_take_whole_breaths_on_both_sides_and_the_rest_takes_the_rest() -> None:
    """180 s: 24 s more than usual, of 16 s that the sides could take and 120 s of the rest: an ease of 24 / 136.

    The sixth breath is due at half of the room, so the rest has all 24 s.
    """
    settings, timeline = filled(SIDES_AND_REST, 180)
    assert (settings, timeline.length_ms, timeline.ease) == ([2, 5, 5, 84_000], 180_000, round(24 / 136, 4))
    assert notes(timeline) == [
        "class.yaml:1:1: the class fills its slot of 3:00, ease +0.18",
        "class.yaml:12:5: “rest” gives: 1:24, usually 1:00",
    ]


def test_past_half_of_the_room_both_sides_take_their_breath() -> None:
    """250 s: 94 s of the 136 s more, an ease of .69: 16 s for the sixth breaths, 78 s more for the rest."""
    settings, timeline = filled(SIDES_AND_REST, 250)
    assert (settings, timeline.length_ms, timeline.ease) == ([2, 6, 6, 138_000], 250_000, round(94 / 136, 4))
    assert notes(timeline)[1] == "class.yaml:10:9: “chair” gives: 6 breaths, usually 5"


def test_a_class_is_tightened_too_and_nothing_goes_below_its_least() -> None:
    """140 s is the shortest: the rest is at its least already, so the sides give their fifth breath for 16 s."""
    settings, timeline = filled(SIDES_AND_REST, 140)
    assert (settings, timeline.length_ms, timeline.ease) == ([2, 4, 4, 60_000], 140_000, -1)


@pytest.mark.parametrize(
    ("seconds", "settings", "end", "by"),
    [
        (100, [2, 4, 4, 60_000], "shortest", "the class lasts 2:20, 40 s longer than its slot of 1:40"),
        (600, [2, 6, 6, 180_000], "longest", "the class lasts 4:52, 5:08 shorter than its slot of 10:00"),
    ],
)
def test_where_it_cannot_be_done_the_ends_are_told(seconds: int, settings: list[int], end: str, by: str) -> None:
    found, timeline = filled(SIDES_AND_REST, seconds)
    assert found == settings
    first, told = notes(timeline)
    assert first == f"class.yaml:1:1: everything in the class that has room is at its {end}"
    assert told.startswith(f"class.yaml:1:1: {by}; its holds have room for 2:20 to 4:52; ")


def test_whole_breaths_alone_come_as_near_as_they_can_and_a_note_says_what_would_mend_it() -> None:
    """Two sides of four to six breaths are 64, 80 or 96 s: 90 s is nearer to 96."""
    text = "  - both sides:\n      - pose: chair\n        hold: 4 to 6 breaths\n"
    settings, timeline = filled(class_of(text), 90)
    assert settings == [6, 6]
    assert notes(timeline) == [
        "class.yaml:8:9: “chair” gives: 6 breaths, usually 5",
        "class.yaml:1:1: the class lasts 1:36, 6 s longer than its slot of 1:30; its holds have room for 1:04 to 1:36, "
        "but only by whole breaths (give a rest a range, such as `rest: 2 to 3 min`)",
    ]


def test_a_class_without_any_room_is_left_as_it_is() -> None:
    settings, timeline = filled(class_of("  - pose: tree\n    hold: 4 breaths\n"), 90)
    assert (settings, timeline.ease) == ([4], None)
    assert notes(timeline) == [
        "class.yaml:1:1: the class lasts 0:32, 58 s shorter than its slot of 1:30; its holds have no room; "
        "most time goes to “tree” in line 7 (0:32)"
    ]


def test_rounds_are_equal_and_a_block_called_twice_too() -> None:
    text = """\
  - rounds: 3
    of: swing
  - block: swing
  - rest: 20 s to 60 s
blocks:
  swing:
    - pose: tree
      hold: 2 to 8 breaths
"""
    for seconds in range(90, 300, 10):
        settings, timeline = filled(class_of(text), seconds)
        assert len(set(settings[:4])) == 1
        assert timeline.length_ms == seconds * 1000


def test_words_of_a_hold_raise_its_least() -> None:
    """Two thoughts of 8 s, at 0 s and with the exhale at 12 s, are over at 20 s: four breaths, the last one quiet."""
    said = ["One " * 19 + "one.", "Two " * 19 + "two."]
    text = f"  - pose: tree\n    hold: 2 to 9 breaths\n    say: {said}\n  - rest: 20 s to 60 s\n"
    settings, timeline = filled(class_of(text), 52)
    assert (settings, timeline.length_ms) == ([4, 20_000], 52_000)
    settings, timeline = filled(class_of(text), 40)
    assert (settings, timeline.length_ms) == ([4, 20_000], 52_000)
    assert not any("instead of" in note for note in notes(timeline))


def test_words_that_need_more_than_is_usual_are_told_of() -> None:
    """A thought of 16 s fills two breaths, and the third is quiet."""
    text = f"  - pose: tree\n    hold: 1 to 3 breaths\n    say: {['Say ' * 39 + 'it.']}\n  - rest: 20 s to 60 s\n"
    settings, timeline = filled(class_of(text), 50)
    assert (settings, timeline.length_ms) == ([3, 26_000], 50_000)
    assert "class.yaml:7:5: “tree” gives: 3 breaths, usually 2, which its words need" in notes(timeline)


def test_the_closing_rest_keeps_its_share_and_a_small_rest_before_it_does_not_count() -> None:
    """The closing rest of a 25 minutes' class is 2:30 at ease; the pause of 10 to 20 s after it is no closing rest."""
    text = "  - pose: tree\n    hold: 80 to 240 breaths\n  - rest: 1 to 10 min\n  - rest: 10 s to 20 s\n"
    steps = class_of(text)
    _, timeline = filled(steps, 1500)
    closing = next(span for span in timeline.spans if span.place.line == 9)
    ease = timeline.ease or 0
    natural_ms = 150_000
    wanted_ms = natural_ms + ease * ((600_000 - natural_ms) if ease > 0 else (natural_ms - 60_000))
    assert abs(closing.held_ms - closing.hold_ms - wanted_ms) <= 4000, "half a breath from its even length"


def test_the_file_decides_the_share() -> None:
    """Five minutes in thirty: a slot of 12 minutes has two. The holds are 600 s at ease."""
    steps = class_of("  - pose: tree\n    hold: 50 to 100 breaths\n  - rest: 1 to 10 min\n")
    shared = replace(steps, steps=(steps.steps[0], replace(steps.steps[1], share=Fraction(5, 30))))
    settings, timeline = filled(shared, 720)
    assert (settings, timeline.ease) == ([75, 120_000], 0)


def paced(steps: Steps, quickest_ms: int, slowest_ms: int) -> Steps:
    """The steps with a pace whose inhale and exhale may both last from and to so much."""
    ends = (Pace(*(Fraction(part) for part in (ms, 0, ms, 0))) for ms in (quickest_ms, slowest_ms))
    room = PaceRoom(*ends)
    return replace(steps, steps=tuple(replace(step, pace_room=room) for step in steps.steps))


def test_a_pace_gives_by_sixteenths_and_the_rest_takes_what_is_left() -> None:
    """Ten breaths of 6 to 10 s, usually 8, and a rest of 40 to 80 s whose share of 144 s is less than its least.

    144 s are 24 s over the usual 120: an ease of 24 / (20 + 40), which is 6.4 / 16; the sixth notch of 1/8 s is due at
    5.5 / 16.
    """
    steps = paced(class_of("  - pose: tree\n    hold: 10 breaths\n  - rest: 40 s to 80 s\n"), 3000, 5000)
    settings, timeline = filled(steps, 144)
    assert timeline.ease == 0.4
    assert timeline.spans[0].period_ms == "8750"
    assert (settings, timeline.length_ms) == ([10, 56_500], 144_000)
    assert "class.yaml:7:5: the pace gives: 4.4 s in and 4.4 s out, usually 4 s in and 4 s out" in notes(timeline)


@pytest.mark.parametrize("seconds", [61, 73, 80, 91, 99])
def test_a_pace_alone_fills_the_slot_to_the_second(seconds: int) -> None:
    steps = paced(class_of("  - pose: tree\n    hold: 10 breaths\n"), 3000, 5000)
    settings, timeline = filled(steps, seconds)
    assert settings == [10]
    assert abs(timeline.length_ms - seconds * 1000) < 1000


def test_a_pace_is_not_bound_to_its_notches_where_nothing_else_can_take_what_is_left() -> None:
    """A hundred breaths: a notch is 12.5 s, so the pace is set between two of them."""
    steps = paced(class_of("  - pose: tree\n    hold: 100 breaths\n"), 3000, 5000)
    _, timeline = filled(steps, 806)
    assert abs(timeline.length_ms - 806_000) < 20


def test_breaths_and_pace_together_fill_it_too() -> None:
    both = "  - exhale: Down.\n  - both sides:\n      - pose: tree\n        hold: 4 to 9 breaths\n  - inhale: Up.\n"
    steps = paced(class_of(both), 3500, 4500)
    for seconds in range(70, 170, 5):
        _, timeline = filled(steps, seconds)
        assert abs(timeline.length_ms - seconds * 1000) < 1000
        assert len({span.breaths for span in timeline.spans if span.side}) == 1


def test_other_holds_by_the_clock_give_whole_seconds_and_the_closing_rest_the_milliseconds() -> None:
    steps = class_of("  - pose: plank\n    hold: 20 s to 41 s\n  - say: Rest.\n  - rest: 1 to 5 min\n")
    settings, timeline = filled(steps, 203)
    assert settings[0] % 1000 == 0
    assert timeline.length_ms == 203_000
    assert settings[1] == 203_000 - settings[0] - 400 - 300


def in_time(least: int, usual: int, most: int) -> Callable[[Step], Step]:
    return lambda step: replace(step, hold=InTime(least, usual, most)) if step.hold else step


@pytest.mark.parametrize("seconds", [23, 24, 25, 26, 27, 30])
def test_a_rest_is_not_given_a_length_at_which_it_would_grow_for_its_words(seconds: int) -> None:
    """Words of 20 s need 20.25 s, but from 24 s on, three whole breaths, 28 s: between, it would grow by a breath."""
    text = f"  - rest: 20 s\n    say: {'word ' * 50}.\n  - pose: tree\n    hold: 1 to 9 breaths\n"
    steps = class_of(text)
    steps = replace(steps, steps=tuple(map(in_time(20_250, seconds * 1000, 60_000), steps.steps[:1])) + steps.steps[1:])
    for slot in range(60, 120, 3):
        _, timeline = filled(steps, slot)
        assert not any("more than asked" in note for note in notes(timeline))


def test_a_share_and_an_elastic_pace_are_read_from_the_file() -> None:
    """Four minutes are more than 15 breaths of 8 s and a share of 20 s, so the hold, the rest and the pace all give."""
    section = "  - section: All\n    bell: none\n    pace: 6 to 10 breaths a minute\n"
    held = "  - pose: tree\n    hold: 10 to 20 breaths\n  - rest: 10 s to 60 s\n    share: 1 min in 12 min\n"
    steps = class_of(section + held)
    settings, timeline = filled(steps, 240)
    assert timeline.length_ms == 240_000
    assert timeline.ease is not None and timeline.ease > 0
    room, period_ms = steps.steps[0].pace_room, Fraction(timeline.spans[0].period_ms)
    assert room is not None and steps.steps[0].pace.period_ms < period_ms <= room.slowest.period_ms
    assert 15 < settings[0] <= 20
    assert abs(settings[1] - (20_000 + timeline.ease * 40_000)) < 10_000, "about a breath from its even length"
