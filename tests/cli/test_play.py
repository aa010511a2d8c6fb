"""`guide play`, silently, with classes of two seconds that last no longer than it takes to look at them."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from guide.cli import main
from guide.live import line_view, steady_clock
from guide.live.lead_loop import TICK_S
from guide.live.speakers import SPEAKERS, reconnecting
from guide.live.speakers.base import Pull
from guide.units import frames_from_ms

SHORT = "title: Short\nbells: {class: none}\nclass:\n  - silence: 1 s\n  - silence: 1 s\n"


class InStep:
    """The silent output and the clock, which go on by a tick whenever keys are waited for, and at no other time."""

    name = "silent"
    latency_ms = 0
    alive = True

    def __init__(self) -> None:
        self.now_s = 1000.0

    def start(self, pull: Pull) -> None:
        self._pull = pull

    def stop(self) -> None:
        self.alive = False

    def tick(self) -> str:
        self._pull(frames_from_ms(round(TICK_S * 1000)))
        self.now_s += TICK_S
        return ""

    def monotonic(self) -> float:
        return self.now_s

    def sleep(self, seconds: float) -> None:
        self.now_s += seconds


@pytest.fixture(autouse=True)
def _own_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for name in ("XDG_STATE_HOME", "XDG_CONFIG_HOME", "HOME"):
        monkeypatch.setenv(name, str(tmp_path / "own"))
    Path("short.yaml").write_text(SHORT)


@pytest.fixture(autouse=True)
def _own_time(monkeypatch: pytest.MonkeyPatch) -> None:
    made = InStep()
    monkeypatch.setitem(SPEAKERS, "silent", lambda: made)
    monkeypatch.setattr(line_view, "_nothing", made.tick)
    monkeypatch.setattr(reconnecting, "time", made)
    monkeypatch.setattr(steady_clock, "now_s", made.monotonic)


def play(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["play", *arguments])


def test_a_class_is_led_to_its_end_with_a_line_for_each_step() -> None:
    result = play("short.yaml", "--output", "silent", "--log", "log.jsonl")
    assert result.exit_code == 0, result.output
    assert result.stdout.splitlines() == ["   0:00  silence", "   0:01  silence"]
    printed = CliRunner().invoke(main, ["log", "log.jsonl"]).stdout.splitlines()
    assert printed[0].startswith("Short, ") and printed[0].endswith(", planned 0:02")
    assert [line[9:16] for line in printed[1:]] == ["silence", "silence", "the end"]


def test_there_is_nothing_to_go_on_with_after_an_end() -> None:
    play("short.yaml", "--output", "silent")
    result = play("short.yaml", "--output", "silent", "--resume")
    assert result.exit_code == 2
    assert "no class was broken off here" in result.stderr


def test_what_happens_is_kept_and_the_last_class_is_printed() -> None:
    result = CliRunner().invoke(main, ["log"])
    assert (result.exit_code, result.stderr) == (2, "no class has been led here yet (lead one with `guide play`)\n")
    play("short.yaml", "--output", "silent")
    listed = CliRunner().invoke(main, ["log", "--list"]).stdout.splitlines()
    assert [Path(line).suffix for line in listed] == [".jsonl"] and "short" in listed[0]
    assert CliRunner().invoke(main, ["log"]).stdout == CliRunner().invoke(main, ["log", listed[0]]).stdout


def test_a_home_that_cannot_be_written_keeps_no_class_from_being_led(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path / "no folder"
    home.write_text("")
    for name in ("XDG_STATE_HOME", "XDG_CONFIG_HOME", "HOME"):
        monkeypatch.setenv(name, str(home))
    result = play("short.yaml", "--output", "silent")
    assert result.exit_code == 0, result.output
    assert result.stderr.startswith(f"{home}/")
    assert result.stderr.endswith(" short.jsonl: what happens cannot be written down (Not a directory)\n")
    first, untold, second = result.stdout.splitlines()
    assert (first, second) == ("   0:00  silence", "   0:01  silence")
    assert untold.endswith("under-way.json: where the class is cannot be kept (Not a directory))")
    asked_for = play("short.yaml", "--output", "silent", "--log", str(home / "log.jsonl"))
    assert asked_for.exit_code == 1
    assert asked_for.stderr == f"{home}/log.jsonl: what happens cannot be written down (File exists)\n"


@pytest.mark.parametrize("moment", ["25:00", "7", "19.15"])
def test_an_end_that_is_no_moment_of_the_day_is_told(moment: str) -> None:
    result = play("short.yaml", "--end-at", moment)
    assert result.exit_code == 2
    assert f"`{moment}` is no moment of the day (write one such as `19:15`)" in result.stderr


def test_standard_input_is_for_the_keys() -> None:
    assert play("-").exit_code == 2
