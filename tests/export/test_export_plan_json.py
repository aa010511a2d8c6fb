"""The plan as JSON: documented by a schema, and the same plan when read back."""

import json
from dataclasses import replace
from typing import Any

import pytest
from export_samples import lakeside, only_cues
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from guide.export.plan_json import plan_as_json, plan_from_json, plan_schema
from guide.plan.timeline import Chapter, Cue, CuePart, Dip, Dropped, Note, Ring, RingRole, Span, Timeline
from guide.problem import Place, UnusableChoice
from guide.sequence.steps import Breath, CueKind, Pace, Side, StepKind

MS = st.integers(0, 2**40)
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
PLACES = st.builds(Place, TEXT, st.integers(1, 9999), st.integers(1, 200))
INDEX = st.integers(0, 500)
FRACTIONS = st.one_of(st.integers(1, 99_999).map(str), st.tuples(MS, MS).map(lambda pair: f"{pair[0]}/{pair[1]}"))


def few(of: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.lists(of, max_size=3).map(tuple)


#: The parts of a breath: breaths a minute and sixteenths of a range make such fractions.
PARTS_MS = st.fractions(0, 60_000, max_denominator=1000)

TIMELINES = st.builds(
    Timeline,
    TEXT,
    MS,
    few(
        st.builds(
            Span,
            st.sampled_from(StepKind),
            TEXT,
            st.none() | st.sampled_from(Side),
            st.none() | INDEX,
            PLACES,
            *[MS] * 4,
            INDEX,
            FRACTIONS,
            st.none() | st.builds(Pace, *[PARTS_MS] * 4),
            st.none() | st.sampled_from(Breath),
            st.none() | TEXT,
        )
    ),
    few(st.builds(Cue, MS, MS, TEXT, st.sampled_from(CueKind), st.sampled_from(CuePart), PLACES, INDEX)),
    few(st.builds(Ring, MS, MS, TEXT, st.sampled_from(RingRole), st.none() | INDEX)),
    few(st.builds(Dip, MS, MS)),
    few(st.builds(Chapter, TEXT, MS, MS)),
    few(st.builds(Note, PLACES, TEXT)),
    few(st.builds(Dropped, PLACES, TEXT, INDEX)),
)


@given(TIMELINES)
@settings(deadline=None)
def test_a_plan_that_is_written_and_read_is_the_same_plan_and_keeps_to_the_schema(timeline: Timeline) -> None:
    text = plan_as_json(timeline)
    assert plan_from_json(text) == timeline
    VALIDATOR.validate(json.loads(text))


VALIDATOR = Draft202012Validator(plan_schema())


def test_the_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(plan_schema())


def test_the_schema_says_what_every_key_means() -> None:
    document = plan_schema()
    for where in (document, *document["$defs"].values()):
        for key, about in where["properties"].items():
            assert "description" in about or "$ref" in about, key


@pytest.mark.parametrize("damage", ["no title", "a fraction of a millisecond", "an unknown key", "an unknown kind"])
def test_the_schema_refuses_what_is_no_plan(damage: str) -> None:
    document = json.loads(plan_as_json(lakeside()))
    match damage:
        case "no title":
            del document["title"]
        case "a fraction of a millisecond":
            document["cues"][0]["start_ms"] += 0.5
        case "an unknown key":
            document["spans"][0]["colour"] = "blue"
        case "an unknown kind":
            document["cues"][0]["kind"] = "shout"
    assert not VALIDATOR.is_valid(document)


@pytest.mark.parametrize(
    "text",
    ["", "{}", "[]", "null", '"plan"', '{"version": 1}', '{"version": 1, "title": 3, "spans": 3}', "[" * 100_000],
)
def test_what_is_no_plan_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(UnusableChoice, match=r"this is not a plan: .* \(make one with guide plan --json\)"):
        plan_from_json(text)


def test_a_plan_of_another_version_is_refused() -> None:
    with pytest.raises(UnusableChoice, match="this plan has version 2, not 1"):
        plan_from_json(plan_as_json(only_cues()).replace('"version": 1', '"version": 2'))


def test_the_text_does_not_depend_on_anything_but_the_plan() -> None:
    assert plan_as_json(lakeside()) == plan_as_json(replace(lakeside()))
