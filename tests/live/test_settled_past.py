"""What has begun when an order comes stays where it is: examples worked out by hand, and the check that finds a slip.

A breath is 8 s, inhale and exhale 4 s each; words take 3 s where nothing else is said. A pose is named before its hold.
"""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

import pytest
from class_texts import expand
from live_courses import SEQUENCES, SoundLengths, assert_heard_once

from guide.live.apply_order import apply_order
from guide.live.course import Course, begin, held, in_breaths, laid_out, moved, renewed, replanned
from guide.live.end_on_time import kept_to
from guide.live.orders import Order
from guide.plan.checker import breaches
from guide.plan.scheduler import plan
from guide.plan.timeline import Cue, CuePart, RingRole, Timeline
from guide.sequence.reader import read_text
from guide.sequence.steps import InBreaths


class Spoken(dict[str, int]):
    """Every text takes three seconds, a number one."""

    def __missing__(self, text: str) -> int:
        self[text] = 1000 if text.isdigit() else 3000
        return self[text]


def led(text: str, word_ms: Mapping[str, int] = MappingProxyType({})) -> Course:
    head = "title: T\npace: {inhale: 4 s, exhale: 4 s}\nbells: {class: none, section: none}\n"
    steps = expand(read_text(f"{head}class:\n{text}", "class.yaml", SEQUENCES))
    lengths, sound_ms = Spoken(word_ms), SoundLengths()
    return begin(steps, lengths, sound_ms, plan(steps, lengths, sound_ms))


def said(made: Course, number: int) -> list[tuple[str, int]]:
    """What is said in the hold of a step, and when in seconds after it began."""
    hold_ms = made.timeline.spans[number].hold_ms
    cues = [cue for cue in made.timeline.cues if cue.step == number and cue.part is CuePart.HOLD]
    return [(cue.words, (cue.start_ms - hold_ms) // 1000) for cue in cues]


def after(made: Course, order: Order, number: int, into_ms: int) -> Course:
    at_ms = made.timeline.spans[number].hold_ms + into_ms
    turn = apply_order(made, order, at_ms)
    assert turn.at_ms == at_ms
    assert_heard_once(made, turn.course, at_ms)
    return turn.course


def twice(made: Course, order: Order, into_ms: int) -> Course:
    return after(after(made, order, 0, into_ms), order, 0, into_ms)


CLOSE = """
  - pose: mountain
    enter: none
    leave: none
    hold: 4 breaths
    say:
      - One.
      - Two.
      - Three.
      - Four.
"""


def test_words_that_stood_close_stay_where_they_were_said_and_the_others_get_their_room() -> None:
    made = led(CLOSE)
    assert said(made, 0) == [("One.", 4), ("Two.", 8), ("Three.", 12), ("Four.", 16)]
    longer = twice(made, Order.LONGER, 9000)
    assert said(longer, 0) == [("One.", 4), ("Two.", 8), ("Three.", 20), ("Four.", 28)]


def test_words_that_begin_at_once_are_as_good_as_said() -> None:
    made = led(CLOSE)
    assert said(twice(made, Order.LONGER, 7701), 0)[:3] == [("One.", 4), ("Two.", 8), ("Three.", 20)]
    assert said(twice(made, Order.LONGER, 7700), 0)[:3] == [("One.", 4), ("Two.", 12), ("Three.", 20)]


def test_a_shorter_hold_moves_only_words_that_are_to_come() -> None:
    made = led(CLOSE.replace("4 breaths", "7 breaths"))
    assert said(made, 0) == [("One.", 4), ("Two.", 12), ("Three.", 20), ("Four.", 28)]
    shorter = twice(made, Order.SHORTER, 5000)
    assert said(shorter, 0) == [("One.", 4), ("Two.", 12), ("Three.", 20), ("Four.", 28)]
    least = twice(shorter, Order.SHORTER, 5000)
    assert said(least, 0) == [("One.", 4), ("Two.", 8), ("Three.", 12), ("Four.", 16)]


def test_a_hold_whose_words_are_said_is_not_cut_into_them() -> None:
    made = led(CLOSE.replace("4 breaths", "7 breaths"))
    at_ms = made.timeline.spans[0].hold_ms + 29_000
    shortest = twice(made, Order.SHORTER, 29_000)
    assert shortest.timeline.spans[0].breaths == 5
    assert apply_order(shortest, Order.SHORTER, at_ms).told == "as short as it can be"


IF_ROOM = """
  - pose: mountain
    hold: 3 breaths
    say:
      - One.
      - how: Perhaps.
        if room: yes
      - Two.
      - how: Maybe.
        if room: yes
"""


def test_words_that_were_left_out_come_back_with_room_only_if_nothing_after_them_was_said() -> None:
    made = led(IF_ROOM)
    assert [words for words, _ in said(made, 0)] == ["One.", "Two."]
    early = twice(made, Order.LONGER, 5000)
    assert said(early, 0) == [("One.", 4), ("Perhaps.", 12), ("Two.", 20), ("Maybe.", 28)]
    late = twice(made, Order.LONGER, 13_000)
    assert said(late, 0) == [("One.", 4), ("Two.", 12), ("Maybe.", 20)]
    assert [dropped.words for dropped in late.timeline.dropped] == ["Perhaps."]


SIDES = """
  - both sides:
      - inhale: Step <side>.
      - pose: tree
        hold: 5 breaths
        enter: Lift <side>.
        say: Grow.
      - exhale: Down <side>.
  - rest: 1 min
"""

#: The left is said more quickly than the right, so that it waits for it.
QUICKER_LEFT = {"Lift left.": 1500, "Lift right.": 4000, "Step left.": 1000, "Step right.": 6000}


def test_a_second_side_keeps_the_time_to_enter_that_the_first_one_needed() -> None:
    made = led(SIDES, QUICKER_LEFT)
    assert made.timeline.spans[5].hold_ms - made.timeline.spans[5].start_ms == 7250
    longer = after(made, Order.LONGER, 5, 9000)
    assert longer.timeline.spans[:5] == made.timeline.spans[:5]
    assert longer.timeline.spans[5].hold_ms - longer.timeline.spans[5].start_ms == 7250
    assert [span.breaths for span in longer.timeline.spans if span.title == "tree"] == [5, 6]


def test_sides_that_parted_are_one_again_when_the_first_is_done_again_and_held_longer() -> None:
    made = after(led(SIDES, QUICKER_LEFT), Order.LONGER, 4, 9000)
    again = after(made, Order.LONGER, 1, 9000)
    assert [span.breaths for span in again.timeline.spans if span.title == "tree"] == [6, 6]


COUNTED = """
  - pose: mountain
    hold: 5 breaths
    count: voice
    say:
      - One thought.
      - Another thought.
"""


def test_numbers_that_were_said_are_said_once() -> None:
    made = led(COUNTED)
    assert said(made, 0)[:3] == [("1", 0), ("One thought.", 4), ("2", 8)]
    longer = after(made, Order.LONGER, 0, 9000)
    assert said(longer, 0)[:3] == said(made, 0)[:3]
    assert [words for words, _ in said(longer, 0) if words.isdigit()] == ["1", "2", "3", "4", "5", "6"]


def test_a_chime_that_was_not_struck_is_not_struck_in_the_past() -> None:
    made = led("\n  - rest: 20 s\n    count: chime\n")
    longer = after(made, Order.LONGER, 0, 17_000)
    chimes = [ring.start_ms for ring in longer.timeline.rings if ring.role in (RingRole.INHALE, RingRole.EXHALE)]
    assert chimes == [0, 4000, 8000, 12000, 20_000], "the third breath was no whole one when its inhale began"


def test_an_order_in_the_last_moment_of_a_hold_comes_too_late_for_it() -> None:
    made = led(CLOSE)
    span = made.timeline.spans[0]
    assert apply_order(made, Order.LONGER, span.held_ms - 300).told == "this hold is over"
    assert apply_order(made, Order.LONGER, span.held_ms - 301).told == "mountain: 5 breaths"
    late = replanned(made, span.held_ms - 300, "", steps=held(made, 0, in_breaths(9, InBreaths(4, 4, 4))))
    assert (late.course.timeline.spans, late.course.timeline.cues) == (made.timeline.spans, made.timeline.cues)


def test_true_lengths_of_words_are_those_of_what_is_to_come() -> None:
    made = led(SIDES)
    at_ms = made.timeline.spans[1].start_ms + 3000
    true_ms = Spoken({"Lift right.": 5000, "Grow.": 4000, "Lift left.": 2000})
    turn = renewed(made, at_ms, true_ms)
    lengths = {cue.words: cue.length_ms for cue in turn.course.timeline.cues if cue.words != "Grow."}
    assert (lengths["Lift right."], lengths["Lift left."]) == (3000, 2000)
    assert [cue.length_ms for cue in turn.course.timeline.cues if cue.words == "Grow."] == [4000, 4000]
    assert turn.at_ms == at_ms
    back = moved(turn.course, 0, "")
    assert {cue.words: cue.length_ms for cue in back.course.timeline.cues}["Lift right."] == 5000


RESTING = """
  - pose: mountain
    hold: 3 to 6 breaths
    say: none
  - rest: 2 to 6 min
    say: Let go.
"""


def test_a_closing_rest_under_way_takes_what_is_left() -> None:
    made = led(RESTING)
    rest = made.timeline.spans[1]
    at_ms = rest.hold_ms + 60_000
    turn = kept_to(made, at_ms, made.timeline.length_ms - 45_000)
    assert turn.course.timeline.length_ms == made.timeline.length_ms - 45_000
    assert_heard_once(made, turn.course, at_ms)
    held_ms = rest.held_ms - rest.hold_ms
    assert turn.told == f"ends on time; rest {held_ms // 60_000 - 1}:15, was {held_ms // 60_000}:00"
    assert kept_to(made, at_ms, at_ms + 5000).told.endswith(" later than asked: there is no more room")
    assert kept_to(made, at_ms, at_ms + 5000).course.timeline.spans[1].held_ms - rest.hold_ms == 120_000


def test_what_gives_is_told_in_a_line_of_the_screen() -> None:
    made = led("".join(f"\n  - pose: pose number {n}\n    hold: 3 to 9 breaths\n    say: none\n" for n in range(6)))
    told = kept_to(made, 0, made.timeline.length_ms + 40_000).told
    assert told.startswith("ends on time; pose number ") and len(told) <= 60
    long = led("".join(f"\n  - pose: {'very ' * 12} long {n}\n    hold: 3 to 9 breaths\n    say: none\n" for n in "ab"))
    assert kept_to(long, 0, long.timeline.length_ms + 8000).told == "ends on time; 1 hold changed"


def slipped(timeline: Timeline, words: str, by_ms: int) -> Timeline:
    def moved_cue(cue: Cue) -> Cue:
        return replace(cue, start_ms=cue.start_ms + by_ms) if cue.words == words else cue

    return replace(timeline, cues=tuple(map(moved_cue, timeline.cues)))


@pytest.mark.parametrize(
    ("words", "by_ms", "what"),
    [
        ("Two.", 8000, "“Two.” was at 0:11.000 in an earlier plan"),
        ("Three.", -12_000, "“Three.” begins at 0:11.000, where an earlier plan has nothing"),
    ],
)
def test_the_check_finds_words_that_were_moved_or_come_too_soon(words: str, by_ms: int, what: str) -> None:
    made = led(CLOSE)
    longer = replace(made, steps=replace(made.steps, steps=tuple(held(made, 0, InBreaths(4, 6, 6)))))
    steps = laid_out(made, longer, 11_500, 0, 0)
    timeline = plan(steps, longer.word_ms, longer.sound_ms)
    assert breaches(steps, timeline, longer.word_ms) == ()
    assert what in [breach.what for breach in breaches(steps, slipped(timeline, words, by_ms), longer.word_ms)]
