"""Music in a plan: cut and faded in a part of a class, noted where it cannot end, and proved by the checker."""

from dataclasses import replace
from pathlib import Path

import pytest
from plan_texts import planned, steps_of

from guide.plan.checker import breaches
from guide.plan.excerpt import excerpt
from guide.plan.timeline import MusicSpan

TEXT = """\
title: T
bells: {class: none, section: none}
music: rain
class:
  - section: One
  - silence: 30 s
  - section: Two
    music: {play: drone, until: rest}
  - silence: 30 s
  - silence: 30 s
"""


def test_a_part_of_a_class_has_the_music_of_its_time() -> None:
    timeline, _ = planned(steps_of(TEXT, Path()))
    part = excerpt(timeline, 1, 1)
    assert part.music == (
        MusicSpan(0, 2000, "rain", 20.0, 1000, 1000, from_ms=30_000),
        MusicSpan(0, 30_000, "drone", 20.0, 3000, 6000, from_ms=2000),
    )
    assert excerpt(timeline, 2, 2).music == (MusicSpan(0, 30_000, "drone", 20.0, 3000, 6000, from_ms=32_000),)


def test_music_that_is_to_go_before_a_rest_plays_on_where_there_is_none_and_that_is_noted() -> None:
    timeline, _ = planned(steps_of(TEXT, Path()))
    assert timeline.music[-1].end_ms == timeline.length_ms
    assert [str(note) for note in timeline.notes] == [
        "class.yaml:8:19: the music plays on to the end, because there is no rest to go before"
    ]


@pytest.mark.parametrize(
    ("number", "change", "what"),
    [
        (0, {"source": "drone"}, "the music is not what the class asks for"),
        (0, {"end_ms": 20_000}, "the music is not what the class asks for"),
        (1, {"below_db": 12.0}, "is only 12 dB under the words"),
        (1, {"fade_out_ms": 60_000}, "is shorter than its fades"),
        (1, {"end_ms": 99_000}, "is out of order or leaves the class"),
    ],
)
def test_the_checker_finds_music_that_is_not_as_it_was_asked_for(number: int, change: dict, what: str) -> None:
    steps = steps_of(TEXT, Path())
    timeline, word_ms = planned(steps)
    spans = [replace(span, **change) if at == number else span for at, span in enumerate(timeline.music)]
    found = [str(breach) for breach in breaches(steps, replace(timeline, music=tuple(spans)), word_ms)]
    assert found and all(what in breach for breach in found)
