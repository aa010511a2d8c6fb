"""`guide play`, silently, with classes of a second."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from guide.cli import main

SHORT = "title: Short\nbells: {class: none}\nclass:\n  - silence: 1 s\n  - silence: 1 s\n"


@pytest.fixture(autouse=True)
def _own_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("HOME", str(tmp_path))
    Path("short.yaml").write_text(SHORT)


def play(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["play", *arguments])


def test_a_class_is_led_to_its_end_with_a_line_for_each_step() -> None:
    result = play("short.yaml", "--output", "silent", "--log", "log.jsonl")
    assert result.exit_code == 0, result.output
    assert result.stdout.splitlines() == ["   0:00  silence", "   0:01  silence"]
    assert len(Path("log.jsonl").read_text().splitlines()) == 2


def test_there_is_nothing_to_go_on_with_after_an_end() -> None:
    play("short.yaml", "--output", "silent")
    result = play("short.yaml", "--output", "silent", "--resume")
    assert result.exit_code == 2
    assert "no class was broken off here" in result.stderr


@pytest.mark.parametrize("moment", ["25:00", "7", "19.15"])
def test_an_end_that_is_no_moment_of_the_day_is_told(moment: str) -> None:
    result = play("short.yaml", "--end-at", moment)
    assert result.exit_code == 2
    assert f"`{moment}` is no moment of the day (write one such as `19:15`)" in result.stderr


def test_standard_input_is_for_the_keys() -> None:
    assert play("-").exit_code == 2
