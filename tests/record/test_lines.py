"""The lines to read: everything once, in a good order, each with the time that it may last."""

from dataclasses import replace
from pathlib import Path

import pytest
from rows import each_row

from guide.plan.estimate import EstimatedLengths
from guide.ready.choices import VoiceChoice
from guide.ready.load import load_text
from guide.ready.make_ready import OpenClass
from guide.record.lines import NUMBERS, ReadingLine, reading_lines

CLASS = """
title: Evening
pace: {inhale: 4 s, exhale: 4 s}
library cues: no
say names: no
class:
  - section: Arriving
  - pose: easy seat
    hold: 6 breaths
    enter: Sit down.
    say:
      - Let your shoulders grow heavy.
      - Breathe through the nose.
  - section: Moving
  - both sides:
      - inhale: Lift your <side> leg.
      - exhale: Step it forward.
      - pose: low lunge
        hold: 3 breaths
        count: voice
        say: Bend the <side> knee.
  - inhale: lift your LEFT leg!
  - exhale: Breathe through your nose and let the whole of your back grow long and wide.
"""


@pytest.fixture(scope="module")
def opened() -> OpenClass:
    return OpenClass.of(load_text(CLASS, "evening.yaml", Path()), VoiceChoice(), None)


@pytest.fixture(scope="module")
def lines(opened: OpenClass) -> tuple[ReadingLine, ...]:
    return reading_lines(opened)


def test_every_line_is_read_once_with_its_other_side_after_it_and_numbers_at_the_end(
    lines: tuple[ReadingLine, ...],
) -> None:
    assert [(line.times, line.section, line.words) for line in lines] == [
        (1, "Arriving", "Sit down."),
        (1, "Arriving", "Let your shoulders grow heavy."),
        (1, "Arriving", "Breathe through the nose."),
        (1, "Moving", "Inhale, lift your right leg."),
        (2, "Moving", "Inhale, lift your left leg."),
        (2, "Moving", "Exhale, step it forward."),
        (1, "Moving", "Bend the right knee."),
        (1, "Moving", "Bend the left knee."),
        (1, "Moving", "Exhale, breathe through your nose and let the whole of your back grow long and wide."),
        (2, NUMBERS, "1"),
        (2, NUMBERS, "2"),
        (2, NUMBERS, "3"),
    ]


def test_words_in_a_time_of_their_own_have_all_the_room_that_they_need(lines: tuple[ReadingLine, ...]) -> None:
    assert [line.words for line in lines if line.room_ms is None] == ["Sit down."]


def test_a_number_has_the_room_that_is_counted_in(lines: tuple[ReadingLine, ...]) -> None:
    assert {line.room_ms for line in lines if line.section == NUMBERS} == {7500, 7750}


@each_row("number", [1, 2, 3, 5, 6, 8])
def test_in_its_room_nothing_grows_and_a_little_beyond_it_something_does(
    opened: OpenClass, lines: tuple[ReadingLine, ...], number: int
) -> None:
    line = lines[number]
    assert line.room_ms is not None

    def plan_ms(room_ms: int) -> int:
        word_ms = EstimatedLengths(opened.settings.rate)
        word_ms.update(dict.fromkeys(line.texts, room_ms))
        return opened.planned(word_ms)[1].length_ms

    assert plan_ms(line.room_ms) == plan_ms(1) < plan_ms(line.room_ms + 20)


def test_a_class_with_nothing_to_say_has_no_lines() -> None:
    text = "title: Quiet\nclass:\n  - silence: 2 min\n"
    opened = OpenClass.of(load_text(text, "quiet.yaml", Path()), VoiceChoice(), None)
    assert reading_lines(replace(opened, wanted={})) == ()
