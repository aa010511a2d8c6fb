"""What a teacher and a program see of the fitting: the ease in the table and in the JSON, and `--slot`."""

import json
from dataclasses import replace
from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from jsonschema import Draft202012Validator
from plan_texts import fitted, steps_of

from guide.cli.options import slot_option
from guide.export.plan_json import plan_as_json, plan_from_json, plan_schema
from guide.export.plan_table import plan_table
from guide.plan.timeline import Timeline
from guide.ready.load import with_slot

CLASS = """\
title: T
slot: 3 min
count: none
library cues: no
bells: {class: none}
class:
  - pose: tree
    hold: 4 to 8 breaths
  - rest: 1 to 4 min
"""


@pytest.fixture(scope="module")
def timeline() -> Timeline:
    return fitted(steps_of(CLASS, Path()))[1]


def test_the_table_ends_with_the_ease(timeline: Timeline) -> None:
    (end,) = [line for line in plan_table(timeline, 80).splitlines() if "end:" in line]
    assert end == f"  3:00  end: 2 steps, 1 cue, ease {timeline.ease:+.2f}"
    assert "ease" not in plan_table(replace(timeline, ease=None, notes=()), 80)


def test_the_ease_is_in_the_json_and_comes_back(timeline: Timeline) -> None:
    document = json.loads(plan_as_json(timeline))
    Draft202012Validator(plan_schema()).validate(document)
    assert document["ease"] == timeline.ease
    assert plan_from_json(plan_as_json(timeline)) == timeline


def test_a_plan_from_before_there_was_more_to_tell_is_still_read(timeline: Timeline) -> None:
    document = json.loads(plan_as_json(timeline))
    del document["ease"]
    for span in document["spans"]:
        del span["pace"], span["breath"], span["pose"]
    Draft202012Validator(plan_schema()).validate(document)
    spans = tuple(replace(span, pace=None, breath=None, pose=None) for span in timeline.spans)
    assert plan_from_json(json.dumps(document)) == replace(timeline, spans=spans, ease=None)


@click.command()
@slot_option
def command(slot_ms: int | None) -> None:
    click.echo(slot_ms)


@pytest.mark.parametrize(
    ("written", "slot_ms"), [("25 min", 1_500_000), ("1:30", 90_000), ("1 s", 1000), ("12 h", 43_200_000)]
)
def test_a_slot_is_written_as_in_the_file(written: str, slot_ms: int) -> None:
    result = CliRunner().invoke(command, ["--slot", written])
    assert result.output == f"{slot_ms}\n"


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("25", "`25` does not say of what (write `25 s` or `25 min`)"),
        ("soon", "`soon` is not a time (write a time such as `45 s`, `1:30` or `2 min`)"),
        ("13 h", "a slot lasts 1 s to 12 h (write a time between them)"),
        ("0 s", "a slot lasts 1 s to 12 h (write a time between them)"),
    ],
)
def test_a_slot_that_is_none_is_met_with_what_to_write(written: str, message: str) -> None:
    result = CliRunner().invoke(command, ["--slot", written])
    assert result.exit_code == 2
    assert message in " ".join(result.output.split())


def test_a_slot_on_the_command_line_goes_before_the_files() -> None:
    steps = steps_of(CLASS, Path())
    assert with_slot(steps, 60_000).slot_ms == 60_000
    assert with_slot(steps, None) == steps
