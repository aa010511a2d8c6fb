"""`guide compare` as a person types it."""

import json
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from jsonschema import Draft202012Validator

from guide.cli import COMMANDS, main
from guide.review.captions.transcript import WHAT_IT_MAY_BE
from guide.review.comparison_json import comparison_schema

sys.path.append(str(Path(__file__).parents[1] / "review"))

from taught import LIGHT, SEQUENCES, planned, shipped_steps, taught, webvtt_of

STARTER = str(SEQUENCES / "starter.yaml")


@pytest.fixture(autouse=True)
def _place_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.setitem(COMMANDS, "compare", ("guide.cli.compare", "Show how a taught class went, beside its plan."))
    _, timeline = planned(shipped_steps("starter"))
    Path("taught.vtt").write_text(webvtt_of(taught(timeline, LIGHT, 5000, 1).transcript), encoding="utf-8")


def compare(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["compare", *arguments])


def test_each_step_is_shown_as_planned_and_as_taught() -> None:
    result = compare(STARTER, "taught.vtt")
    assert result.exit_code == 0
    assert result.stdout.startswith("My class: planned 7:0")
    for part in ("clock  what", "── Moving ─", "Low lunge", "Both sides", "of the plan's 30 cues were heard"):
        assert part in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 100


def test_a_program_can_read_it() -> None:
    result = compare(STARTER, "taught.vtt", "--json")
    assert result.exit_code == 0
    made = json.loads(result.stdout)
    Draft202012Validator(comparison_schema()).validate(made)
    assert (made["title"], made["recording"], len(made["steps"])) == ("My class", "taught.vtt", 18)


def test_another_slot_is_another_plan() -> None:
    usual, longer = (
        json.loads(compare(STARTER, "taught.vtt", "--json", *slot).stdout) for slot in ((), ("--slot", "9 min"))
    )
    assert longer["planned_ms"] > usual["planned_ms"] + 60_000
    assert longer["heard"] == usual["heard"]


def test_captions_of_something_else_are_told_to_be_so() -> None:
    Path("other.vtt").write_text("WEBVTT\n\n00:01.000 --> 00:04.000\nThe train leaves at noon\n", encoding="utf-8")
    result = compare(STARTER, "other.vtt")
    assert result.exit_code == 0
    assert "Of the plan's 30 cues 0 could be found in other.vtt: too few to be the same class" in result.stdout


@pytest.mark.parametrize(
    ("captions", "message"),
    [
        ("nowhere.vtt", "nowhere.vtt: there is no such file (give the captions of the class)"),
        (STARTER, f"({WHAT_IT_MAY_BE})"),
    ],
)
def test_captions_that_cannot_be_used_are_refused_in_a_sentence(captions: str, message: str) -> None:
    result = compare(STARTER, captions)
    assert result.exit_code == 2
    assert message in result.stderr


def test_a_faulty_class_is_shown_at_its_place() -> None:
    Path("bad.yaml").write_text("title: Bad\nclass:\n  - pose: tree\n    hodl: 3 breaths\n", encoding="utf-8")
    result = compare("bad.yaml", "taught.vtt")
    assert result.exit_code == 2
    assert "bad.yaml:4:5: `pose` has no `hodl`" in result.stderr
