"""`guide play`, silently, with classes of two seconds that last no longer than it takes to look at them."""

import json
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
import soundfile
from click.testing import CliRunner, Result

from guide.cli import main
from guide.live import line_view, steady_clock
from guide.live.journal import Journal
from guide.live.lead_loop import TICK_S
from guide.live.record import Began, Opened, read
from guide.live.speakers import SPEAKERS, reconnecting
from guide.live.speakers.base import Pull
from guide.units import frames_from_ms

SHORT = "title: Short\nbells: {class: none}\nclass:\n  - silence: 1 s\n  - silence: 1 s\n"


class InStep:
    """The silent output and the clock, which go on by a tick whenever keys are waited for, and at no other time."""

    name = "silent"
    latency_ms = 0
    alive = True
    widens = False

    def sink(self) -> None:
        """No sound server tells."""

    def __init__(self) -> None:
        self.now_s = 1000.0
        self.loudest = np.zeros(2)

    def start(self, pull: Pull, wanted: object) -> None:
        self._pull, self.alive = pull, True

    def stop(self) -> None:
        self.alive = False

    def tick(self) -> str:
        sound = self._pull(frames_from_ms(round(TICK_S * 1000)))
        self.loudest = np.maximum(self.loudest, np.abs(sound).max(axis=0))
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
def in_step(monkeypatch: pytest.MonkeyPatch) -> InStep:
    made = InStep()
    monkeypatch.setitem(SPEAKERS, "silent", lambda: made)
    monkeypatch.setattr(line_view, "_nothing", made.tick)
    monkeypatch.setattr(reconnecting, "time", made)
    monkeypatch.setattr(steady_clock, "now_s", made.monotonic)
    return made


def play(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["play", *arguments])


def test_a_class_is_led_to_its_end_with_a_line_for_each_step() -> None:
    result = play("short.yaml", "--output", "silent", "--log", "log.jsonl")
    assert result.exit_code == 0, result.output
    assert result.stdout.splitlines() == ["   0:00  silence", "   0:01  silence"]
    printed = CliRunner().invoke(main, ["log", "log.jsonl"]).stdout.splitlines()
    assert printed[0].startswith("Short, ") and printed[0].endswith(", planned 0:02")
    assert [line[9:16] for line in printed[1:]] == ["silence", "silence", "the end"]


def test_whether_a_class_can_be_led_rests_on_its_music_too_all_of_it() -> None:
    """A FLAC that was cut off begins as a whole one does: it shows at its end alone."""
    path = Path("song.flac")
    soundfile.write(path, 0.1 * np.random.default_rng(1).standard_normal(96_000), 48_000)
    Path("music.yaml").write_text(f"{SHORT}music: song.flac\n", encoding="utf-8")
    good = play("music.yaml", "--ready", "--output", "silent")
    assert (good.exit_code, "; music: song.flac; " in good.stdout) == (0, True), good.output
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    bad = play("music.yaml", "--ready", "--output", "silent")
    assert bad.exit_code == 1
    assert bad.stdout.startswith("not ready: music; ")
    assert "; music: song.flac: the sound file is damaged or was cut off (copy or export it again); " in " ".join(
        bad.stdout.replace(str(path.parent.resolve()) + "/", "").split()
    )


def test_bells_and_words_are_heard_on_the_sides_that_are_asked_for(in_step: InStep) -> None:
    Path("ringing.yaml").write_text("title: Ringing\nclass:\n  - silence: 1 s\n")
    for side in (0, 1):
        in_step.loudest = np.zeros(2)
        words, chimes = ("left", "right") if side else ("right", "left")
        assert play("ringing.yaml", "--output", "silent", "--words-to", words, "--chimes-to", chimes).exit_code == 0
        assert in_step.loudest[side] > 0 and not in_step.loudest[1 - side]


def test_there_is_nothing_to_go_on_with_after_an_end() -> None:
    play("short.yaml", "--output", "silent")
    result = play("short.yaml", "--output", "silent", "--resume")
    assert result.exit_code == 2
    assert "this class was not broken off" in result.stderr


def test_a_class_that_was_ended_goes_on_where_it_was_as_it_was(monkeypatch: pytest.MonkeyPatch) -> None:
    other = SHORT.replace("Short", "Other")
    Path("long.yaml").write_text(f"{SHORT}  - pose: tree\n    hold: 9 breaths\n    say: none\n")
    Path("other.yaml").write_text(other)
    keys = iter([*[""] * 12, "f", *[""] * 20, "v", *[""] * 20, "\x03"])
    play_typing(monkeypatch, keys, "long.yaml", "--log", "first.jsonl")
    assert play("other.yaml", "--output", "silent").exit_code == 0, "another class, which is led to its end"
    kept = Journal(Path("own/practice-guide/under-way"), str(Path("long.yaml").resolve()))
    by_names = kept.path.read_text()
    kept.path.write_text(json.dumps({**json.loads(by_names), "names": []}))
    refused = play("long.yaml", "--output", "silent", "--resume")
    assert refused.exit_code == 2
    assert "not told by the plan that it has now (go on with --from, and a time or a pose)" in refused.stderr
    kept.path.write_text(by_names)
    result = play("long.yaml", "--output", "silent", "--resume", "--log", "second.jsonl")
    assert result.exit_code == 0
    assert kept.bookmark() is None
    printed = CliRunner().invoke(main, ["log", "second.jsonl"]).stdout.splitlines()
    assert "gone on with at 0:02" in printed[0]
    assert printed[1].endswith("tree (+0.0 s)")
    opened, began = read(Path("second.jsonl"))[:2]
    assert isinstance(opened, Opened) and isinstance(began, Began)
    assert began.where.startswith("long.yaml:") and began.where.endswith(" pose 1")
    first = read(Path("first.jsonl"))
    assert isinstance(first[0], Opened)
    assert opened.length_ms < first[0].length_ms, "it is quicker, as was asked for"


def play_typing(monkeypatch: pytest.MonkeyPatch, keys: Iterator[str], *arguments: str) -> None:
    """A class that is led while a key is typed at each tick."""
    made = SPEAKERS["silent"]()
    with monkeypatch.context() as typing:
        typing.setattr(line_view, "_nothing", lambda: made.tick() + next(keys, ""))  # type: ignore[attr-defined]
        assert play(*arguments, "--output", "silent").exit_code == 0


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
    assert " short.jsonl: what happens cannot be written down (Not a directory)\n" in result.stderr
    assert [line for line in result.stdout.splitlines() if "silence" in line] == [
        "   0:00  silence",
        "   0:01  silence",
    ]
    # While the class goes on, or behind it: the disk has its own time.
    assert result.output.count(".json: where the class is cannot be kept (Not a directory)") == 1
    asked_for = play("short.yaml", "--output", "silent", "--log", str(home / "log.jsonl"))
    assert asked_for.exit_code == 0
    assert asked_for.stderr == f"{home}/log.jsonl: what happens cannot be written down (File exists)\n"


@pytest.mark.parametrize("moment", ["25:00", "7", "19.15"])
def test_an_end_that_is_no_moment_of_the_day_is_told(moment: str) -> None:
    result = play("short.yaml", "--end-at", moment)
    assert result.exit_code == 2
    assert f"`{moment}` is no moment of the day (write one such as `19:15`)" in result.stderr


def test_standard_input_is_for_the_keys() -> None:
    assert play("-").exit_code == 2
