"""What `guide check` says of a class without faults: the advice, how it looks, and what it leaves with."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from guide.cli import main
from guide.sequence.advice_names import ADVICE_NAMES
from guide.sequence.caution import CAUTION

#: A move whose words need longer than its breath, and nothing else to be said.
LONG = """\
title: Short
class:
  - inhale: Lift your chest, then your arms, then your eyes, and then all of it a little more.
  - exhale: Let go.
"""

SHOWN = """\
long.yaml:3:5: these words need about 7.2 s, and the inhale lasts 4 s (say less, or give the move a slower `pace:`) \
[long move]
      - inhale: Lift your chest, then your arms, then your eyes, and then all of it a little more.
        ^
long.yaml: no problems found; 1 piece of advice
"""

FAULTY = "title: Bad\nclass:\n  - inhale: Lift.\n    hodl: 3 breaths\n"


@pytest.fixture(autouse=True)
def _place_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.setenv("GUIDE_CACHE", str(tmp_path / "cache"))


def check(*arguments: str, stdin: str | None = None) -> Result:
    return CliRunner().invoke(main, ["check", *arguments], input=stdin)


def class_file(text: str, name: str = "long.yaml") -> str:
    Path(name).write_text(text, encoding="utf-8")
    return name


def test_advice_looks_like_a_problem_and_has_the_name_to_silence_it_by() -> None:
    result = check(class_file(LONG))
    assert result.exit_code == 0
    assert result.stderr == ""
    assert result.stdout.startswith(SHOWN)


def test_how_to_silence_it_stands_once_before_the_caution() -> None:
    result = check(class_file(LONG), class_file(LONG, "again.yaml"))
    assert result.stdout.count("To silence a piece of advice, write `let be: `") == 1
    assert result.stdout.count("[long move]") == 2
    assert " ".join(result.stdout.split()).endswith(f"`guide check --rules` gives the reasons. {CAUTION}")


def test_strict_leaves_with_two_where_there_is_advice() -> None:
    assert check("--strict", class_file(LONG)).exit_code == 2
    assert (
        check("--strict", class_file(LONG.replace(", then your arms, then your eyes, and then", " and"))).exit_code == 0
    )


def test_silenced_advice_is_not_shown_and_not_strict() -> None:
    result = check("--strict", class_file(LONG.replace("class:", "let be: long move\nclass:")))
    assert result.exit_code == 0
    assert result.stdout.split() == f"long.yaml: no problems found {CAUTION}".split()


def test_a_faulty_file_gets_no_advice_and_keeps_the_others_from_nothing() -> None:
    result = check(class_file(FAULTY, "bad.yaml"), class_file(LONG))
    assert result.exit_code == 2
    assert result.stderr.startswith("bad.yaml:4:5: ")
    assert "bad.yaml" not in result.stdout
    assert result.stdout.startswith(SHOWN)


def test_a_class_from_standard_input_gets_advice_without_its_lines() -> None:
    result = check("-", stdin=LONG)
    assert result.exit_code == 0
    first, second, *_ = result.stdout.splitlines()
    assert first.startswith("<stdin>:3:5: these words need about ")
    assert second == "-: no problems found; 1 piece of advice"


def test_a_file_of_blocks_gets_none() -> None:
    blocks = "blocks:\n  one:\n    - inhale: Lift your chest, your arms, your eyes, and then all of it a little more.\n"
    assert check("--strict", class_file(blocks)).exit_code == 0


def test_no_voice_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    """So that advice is instant, and the same on every machine."""
    monkeypatch.setattr("guide.voice.class_clips.speak_all", None)
    monkeypatch.setattr("guide.sound.palette.load", None)
    assert check(class_file(LONG)).stdout.startswith(SHOWN)
    assert not Path("cache").exists()


def test_a_slower_voice_needs_longer() -> None:
    slow = LONG.replace("class:", "voice: {rate: 0.5}\nclass:")
    assert "these words need about 8.8 s" in check(class_file(slow)).stdout


def test_the_slot_is_filled_before_the_class_is_read_over() -> None:
    """Plank is held for ten breaths and more only where the class has so much time to fill."""
    text = "title: Planks\nclass:\n  - {pose: plank, hold: 3 to 20 breaths, enter: Step back.}\n"
    assert "[long hold]" not in check("--slot", "1 min", class_file(text)).stdout
    assert "[long hold]" in check("--slot", "3 min", class_file(text)).stdout


def test_every_rule_is_listed_with_its_reason() -> None:
    result = check("--rules")
    assert result.exit_code == 0
    names = [line for line in result.stdout.splitlines() if not line.startswith(" ")]
    assert names == list(ADVICE_NAMES)
    reasons = [line for line in result.stdout.splitlines() if line.startswith("    ")]
    assert len(reasons) >= len(names)
    assert max(map(len, reasons)) <= 100


@pytest.mark.slow
def test_a_figure_that_no_body_can_be_is_found_though_nothing_is_drawn() -> None:
    own = "poses:\n  oar:\n    base: seated\n    figure: {like: easy seat, right elbow: 400}\n"
    Path("oar.yaml").write_text(f"title: Oar\n{own}class:\n  - pose: oar\n    hold: 3 breaths\n")
    found = check("oar.yaml")
    assert found.exit_code == 2
    assert "oar.yaml:5:5: no body does this in `oar`: right elbow: 400 (short by " in found.stderr
    assert "no problems found" not in found.output
