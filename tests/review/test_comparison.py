"""A taught class beside its plan: what is told of it is true, nothing is invented, and it is told in words and JSON."""

import json
from dataclasses import replace
from functools import cache
from pathlib import Path
from random import Random

import pytest
from class_texts import expand
from jsonschema import Draft202012Validator
from taught import (
    CLEAN,
    GARBLED,
    LIGHT,
    LONGEST,
    TAUGHT_CLASSES,
    Noise,
    Taught,
    planned,
    shipped_plan,
    shipped_plans,
    taught,
)

from guide.plan.timeline import Timeline
from guide.review.by_words import compare_captions
from guide.review.captions.transcript import Segment, Transcript, folded
from guide.review.comparison import Comparison, beside
from guide.review.comparison_json import comparison_as_json, comparison_schema, document
from guide.review.confidence import Basis
from guide.review.speech import speech
from guide.review.text_report import text_report
from guide.sequence.reader import read_text
from guide.sequence.steps import Side, StepKind, Steps

VALIDATOR = Draft202012Validator(comparison_schema())


@cache
def lakeside(noise: Noise = LIGHT) -> tuple[Steps, Timeline, Taught]:
    steps, timeline = shipped_plan("lakeside-morning")
    return steps, timeline, taught(timeline, noise, 5000, 3)


@cache
def compare(noise: Noise = LIGHT) -> Comparison:
    steps, timeline, told = lakeside(noise)
    return compare_captions(steps, timeline, told.transcript)


@pytest.mark.parametrize("name", TAUGHT_CLASSES)
def test_lengths_and_the_whole_are_as_they_were_taught(name: str) -> None:
    steps, timeline = shipped_plan(name)
    told = taught(timeline, CLEAN, 2000, 5)
    comparison = compare_captions(steps, timeline, told.transcript)
    ends = (*told.starts_ms[1:], told.end_ms)
    for step, start_ms, end_ms in zip(comparison.steps, told.starts_ms, ends, strict=True):
        if step.rests_on is Basis.OPENING and step.sure > 0.95:
            assert step.real_start_ms is not None
            assert abs(step.real_start_ms - start_ms) <= 1500, step.title
            if step.real_ms is not None and comparison.steps[(step.number + 1) % len(ends)].sure > 0.95:
                assert abs(step.real_ms - (end_ms - start_ms)) <= 3000, step.title
    if comparison.real_ms is not None:
        assert abs(comparison.real_ms - (told.end_ms - told.starts_ms[0])) <= 5000


def test_how_sure_a_start_is_says_how_often_it_is_right() -> None:
    """Of starts told to be so sure, about as many are within two seconds."""
    told: dict[bool, list[bool]] = {True: [], False: []}
    for noise in (LIGHT, GARBLED):
        for steps, timeline in (shipped_plan(LONGEST), shipped_plan("desk-break")):
            for block_ms in (5000, 40_000):
                class_ = taught(timeline, noise, block_ms, 6)
                for step, true_ms in zip(
                    compare_captions(steps, timeline, class_.transcript).steps, class_.starts_ms, strict=True
                ):
                    if step.real_start_ms is not None:
                        told[step.sure >= 0.9].append(abs(step.real_start_ms - true_ms) <= 2000)
    shares = {is_sure: sum(right) / len(right) for is_sure, right in told.items()}
    print(f"right of the sure ones {shares[True]:.1%}, of the others {shares[False]:.1%}")
    assert shares[True] >= 0.93
    assert shares[False] <= shares[True] - 0.1


@pytest.mark.parametrize(
    ("noise", "least"), [(CLEAN, 1.0), (LIGHT, 0.9), (GARBLED, 0.7)], ids=lambda one: str(one)[:24]
)
def test_left_and_right_exchanged_are_found_and_no_others(noise: Noise, least: float) -> None:
    found = made = 0
    for steps, timeline in shipped_plans():
        sided = [number for number, cue in enumerate(timeline.cues) if {"left", "right"} & set(folded(cue.words))]
        slips = Random(2).sample(sided, min(9, len(sided)))
        told = taught(timeline, noise, 5000, 2, slips)
        true = {(timeline.cues[number].step, timeline.cues[number].words) for number in slips}
        shown = {(slip.step, slip.planned) for slip in compare_captions(steps, timeline, told.transcript).slips}
        assert shown <= true
        found, made = found + len(shown), made + len(true)
    print(f"{noise.name}: {found} of {made} slips found")
    assert found >= least * made


def test_both_sides_stand_beside_each_other() -> None:
    comparison = compare()
    pairs = [(comparison.steps[pair.first], comparison.steps[pair.second]) for pair in comparison.both_sides]
    assert {"bird dog", "warrior two", "tree", "seated twist"} <= {first.title for first, _ in pairs}
    for first, second in pairs:
        assert first.title == second.title
        assert first.number < second.number
        assert first.side is not None and first.side.other is second.side


def test_of_another_class_nothing_is_told() -> None:
    steps, timeline = shipped_plan("breathing-practice")
    other = taught(shipped_plan("lakeside-morning")[1], LIGHT, 5000, 1).transcript
    comparison = compare_captions(steps, timeline, other)
    assert comparison.is_another
    assert comparison.real_ms is None and not comparison.slips
    assert all(step.real_start_ms is None and step.sure == 0 for step in comparison.steps)
    assert f"Of the plan's 64 cues {comparison.heard} could be found in Lakeside morning, light: too few" in " ".join(
        text_report(comparison, 100).split()
    )


def test_of_what_comes_after_the_captions_end_nothing_is_told() -> None:
    steps, timeline, told = lakeside()
    half = told.transcript.blocks[: len(told.transcript.blocks) // 2]
    comparison = compare_captions(steps, timeline, Transcript("half", half))
    after = [number for number, start_ms in enumerate(told.starts_ms) if start_ms > half[-1].end_ms + 35_000]
    assert len(after) > 30
    assert all(comparison.steps[number].real_start_ms is None for number in after)
    assert comparison.real_ms is None


@pytest.mark.parametrize(
    ("title", "side"), [("bird dog", Side.LEFT), ("mountain", None), ("tree", Side.LEFT), ("locust", None)]
)
@pytest.mark.parametrize("noise", [CLEAN, LIGHT], ids=lambda one: one.name)
def test_steps_that_were_left_out_have_no_start_and_the_steps_around_them_keep_theirs(
    noise: Noise, title: str, side: Side | None
) -> None:
    steps, timeline, told = lakeside(noise)
    # A pose and all up to the next one: of two rounds in the same words nothing tells which was left out.
    held = [number for number, span in enumerate(timeline.spans) if span.kind is StepKind.POSE]
    (first,) = (n for n in held if timeline.spans[n].title == title and timeline.spans[n].side is side)
    after = held[held.index(first) + 1]
    from_ms, gone_ms = told.starts_ms[first], told.starts_ms[after] - told.starts_ms[first]
    kept = [block for block in told.transcript.blocks if not from_ms - 50 <= block.start_ms < from_ms + gone_ms - 50]
    moved = tuple(
        replace(block, start_ms=block.start_ms - gone_ms, end_ms=block.end_ms - gone_ms)
        if block.start_ms >= from_ms
        else block
        for block in kept
    )
    comparison = compare_captions(steps, timeline, Transcript("shorter", moved))
    gone = {step.number for step in comparison.steps if step.real_start_ms is None}
    assert [number for number in held if number in gone] == [number for number in held if first <= number < after]
    for number in (max(number for number in held if number < first), after):
        true_ms = told.starts_ms[number] - (gone_ms if number >= after else 0)
        start_ms = comparison.steps[number].real_start_ms
        assert start_ms is not None and abs(start_ms - true_ms) <= 2500


def test_a_step_without_words_is_placed_between_its_neighbours() -> None:
    comparison = compare(CLEAN)
    silent = [step for step in comparison.steps if step.cues == 0]
    assert silent
    for step in silent:
        assert step.rests_on is Basis.AROUND
        before, after = (comparison.steps[step.number + way].real_start_ms for way in (-1, 1))
        assert before is not None and step.real_start_ms is not None and after is not None
        assert before <= step.real_start_ms <= after


@pytest.mark.parametrize("block_ms", [5000, 10_000, 40_000])
def test_the_share_of_speech_is_near_the_truth(block_ms: int) -> None:
    """Within a quarter: captions do not tell when somebody stops to breathe."""
    for _, timeline in shipped_plans():
        told = taught(timeline, LIGHT, block_ms, 1)
        true_ms = sum(one.end_ms - one.start_ms for one in told.said)
        assert speech(told.transcript).spoken_ms == pytest.approx(true_ms, rel=0.25)


def test_speech_of_steady_captions_is_measured() -> None:
    """Ten letters a second for five of every ten seconds: what was said takes the half of them."""
    line = "fifty letters are in this line of words that somebody said aloud"
    assert len(line.replace(" ", "")) == 53
    blocks = tuple(Segment(10_000 * number, 10_000 * number + 5300, line) for number in range(10))
    told = speech(Transcript("steady", blocks))
    assert (told.words, told.spoken_ms, told.over_ms, told.is_measured) == (120, 53_000, 95_300, True)
    assert round(told.words_a_minute) == 136


@pytest.mark.parametrize("heard", ["", "hello", "…", "left right left right", "a " * 500, "inhale " * 300])
def test_any_words_at_all_give_a_report(heard: str) -> None:
    steps, timeline = shipped_plan("starter")
    comparison = compare_captions(
        steps, timeline, Transcript("odd", (Segment(0, 1000, heard), Segment(1000, 1001, heard)))
    )
    assert text_report(comparison, 100)
    VALIDATOR.validate(document(comparison))


def test_captions_without_a_word_give_a_report() -> None:
    steps, timeline = shipped_plan("starter")
    assert compare_captions(steps, timeline, Transcript("none", ())).is_another


@pytest.mark.parametrize("name", TAUGHT_CLASSES)
def test_no_line_of_the_report_passes_a_hundred_columns_or_ends_in_a_space(name: str) -> None:
    steps, timeline = shipped_plan(name)
    comparison = compare_captions(steps, timeline, taught(timeline, LIGHT, 5000, 1).transcript)
    for columns in (40, 72, 100, 200):
        for line in text_report(comparison, columns).splitlines():
            assert len(line) <= max(min(columns, 100), 72)
            assert line == line.rstrip()


def test_the_report_shows_each_step_and_what_is_told_of_all() -> None:
    shown = text_report(compare(), 100)
    assert shown.startswith("Lakeside morning: planned 27:54 of the plan's 28:00, taught ")
    for part in ("── Sun salutations ─", "its first words", "steps around it", "Both sides", "Warrior two: right "):
        assert part in shown
    assert "of the plan's 191 cues were heard" in shown
    assert len([line for line in shown.splitlines() if "%  " in line]) == 116


def test_the_schema_is_a_schema_that_says_what_every_key_means() -> None:
    Draft202012Validator.check_schema(comparison_schema())
    for where in (comparison_schema(), *comparison_schema()["$defs"].values()):
        for key, about in where["properties"].items():
            assert "description" in about or "$ref" in about, key


@pytest.mark.parametrize("name", TAUGHT_CLASSES)
def test_the_document_keeps_to_the_schema(name: str) -> None:
    steps, timeline = shipped_plan(name)
    sided = [number for number, cue in enumerate(timeline.cues) if {"left", "right"} & set(folded(cue.words))]
    comparison = compare_captions(steps, timeline, taught(timeline, LIGHT, 5000, 1, sided[:2]).transcript)
    made = json.loads(comparison_as_json(comparison))
    assert made == document(comparison)
    VALIDATOR.validate(made)


@pytest.mark.parametrize("damage", ["no title", "half a millisecond", "an unknown key", "surer than sure"])
def test_the_schema_refuses_what_is_no_comparison(damage: str) -> None:
    made = document(compare())
    match damage:
        case "no title":
            del made["title"]
        case "half a millisecond":
            made["steps"][0]["planned_ms"] += 0.5
        case "an unknown key":
            made["steps"][0]["colour"] = "blue"
        case "surer than sure":
            made["steps"][0]["sure"] = 1.5
    assert not VALIDATOR.is_valid(made)


ALIKE = """
  - both sides:
      - pose: tree
        hold: 3 breaths
"""
APART = ALIKE.replace("3 breaths", "{first side: 3 breaths, second side: 5 breaths}")
FREE = ALIKE + "    equal: no\n"
IN_ROUNDS = "\n  - rounds: 2\n    of:" + FREE.replace("\n", "\n    ")


@pytest.mark.parametrize("text", [ALIKE, APART, FREE, IN_ROUNDS, IN_ROUNDS.replace("equal: no", "")])
def test_both_sides_are_brought_together_whether_or_not_they_are_to_last_the_same(text: str) -> None:
    steps, timeline = planned(expand(read_text(f"title: T\nlibrary cues: no\nclass:{text}", "t.yaml", Path.cwd())))
    known = beside(steps, timeline, "a", [None] * len(timeline.spans))
    count = len(timeline.spans) // 2
    assert count in (1, 2)
    assert [(pair.first, pair.second) for pair in known.both_sides] == [(2 * n, 2 * n + 1) for n in range(count)]


def test_where_all_rounds_of_one_side_come_first_each_is_beside_its_like() -> None:
    inside = "      - rounds: 2\n        of:\n          - pose: tree\n            hold: 3 breaths\n"
    text = f"title: T\nlibrary cues: no\nclass:\n  - both sides:\n{inside}    equal: no\n"
    steps, timeline = planned(expand(read_text(text, "t.yaml", Path.cwd())))
    known = beside(steps, timeline, "a", [None] * len(timeline.spans))
    assert [(pair.first, pair.second) for pair in known.both_sides] == [(0, 2), (1, 3)]
