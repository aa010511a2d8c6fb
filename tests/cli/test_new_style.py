"""`guide new --style`: a class of each style, ready to be changed."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from guide.cli import main
from guide.sequence.styles import STYLES


@pytest.fixture(autouse=True)
def in_a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


@pytest.mark.parametrize("style", list(STYLES))
def test_a_class_of_a_style_is_begun_and_has_nothing_to_be_mended(style: str) -> None:
    result = CliRunner().invoke(main, ["new", "mine.yaml", "--style", style])
    assert result.exit_code == 0
    text = Path("mine.yaml").read_text("utf-8")
    assert f"\nstyle: {style}\n" in text
    assert '\ntitle: "Mine"\n' in text
    assert text.startswith("# yaml-language-server: $schema=file:")
    checked = CliRunner().invoke(main, ["check", "--strict", "mine.yaml"])
    assert checked.exit_code == 0, checked.stdout


def test_an_unknown_style_is_met_with_those_there_are() -> None:
    result = CliRunner().invoke(main, ["new", "mine.yaml", "--style", "hot"])
    assert result.exit_code == 2
    assert "'hot' is not one of 'yin', 'restorative', 'chair', 'prenatal'" in result.stderr


def test_one_beginning_is_enough() -> None:
    result = CliRunner().invoke(main, ["new", "--style", "yin", "--from", "desk-break"])
    assert result.exit_code == 2
    assert "--style and --from name two beginnings" in result.stderr


@pytest.mark.parametrize("name", ["lakeside-morning", "evening-lake", "desk-break", "breathing-practice", "starter"])
def test_a_copy_of_a_shipped_class_is_as_good_as_the_class(name: str) -> None:
    assert CliRunner().invoke(main, ["new", "--from", name]).exit_code == 0
    assert CliRunner().invoke(main, ["check", "--strict", f"{name}.yaml"]).exit_code == 0
