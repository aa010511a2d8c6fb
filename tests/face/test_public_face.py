"""What other programs may use: light to import, typed, and telling everything as values."""

import ast
import io
import os
import re
import subprocess
import sys
from contextlib import chdir, redirect_stdout
from pathlib import Path

import pytest

import guide

ROOT = Path(__file__).resolve().parents[2]
CONSUMER = Path(__file__).with_name("consumer.py")
PAGE = (ROOT / "guide" / "README.md").read_text(encoding="utf-8")
DESK_BREAK = ROOT / "sequences" / "desk-break.yaml"

#: Libraries that take long to import, and parts of ours that bring them in.
HEAVY = {"numpy", "ruamel", "av", "textual", "rich", "soundfile", "jinja2", "rapidfuzz"}

FAULTY = """title: Faulty
class:
  - pose: mountain
    hold: five breaths
  - pose: tree
    hold: 3 breths
"""


def imported_by(code: str) -> set[str]:
    """The libraries and parts of ours that a program brings in, beside those of the interpreter."""
    shown = f"import sys\nbefore = set(sys.modules)\n{code}\nprint(*set(sys.modules) - before)"
    done = subprocess.run([sys.executable, "-c", shown], check=True, capture_output=True, text=True, cwd=ROOT)
    return set(done.stdout.splitlines()[-1].split())


@pytest.mark.parametrize(
    "code",
    [
        "import guide",
        "import guide.cli",
        "import guide; dir(guide)",
        "import guide.cli\ntry: guide.cli.main(['--help'])\nexcept SystemExit: pass",
        "from guide import FaultyFile, GuideError, Problem",
    ],
)
def test_nothing_heavy_is_brought_in_before_it_is_used(code: str) -> None:
    assert not {name.split(".")[0] for name in imported_by(code)} & HEAVY


def test_the_package_alone_brings_in_nothing_at_all() -> None:
    assert imported_by("import guide") == {"guide"}


def test_loading_and_advice_need_no_sound() -> None:
    code = f"import guide; guide.advise(guide.load({str(DESK_BREAK)!r}))"
    assert not {name.split(".")[0] for name in imported_by(code)} & {"numpy", "soundfile", "click"}


def test_every_public_name_is_there_is_described_and_stands_on_the_page() -> None:
    for name in guide.__all__:
        assert getattr(guide, name).__doc__, name
        assert name in dir(guide)
        assert f"`{name}" in PAGE, f"{name} is not on the page"


def test_a_name_that_there_is_not_is_told_as_python_does() -> None:
    name = "lode"
    with pytest.raises(AttributeError, match="module 'guide' has no attribute 'lode'"):
        getattr(guide, name)


def test_loading_gives_every_problem_as_a_value_and_prints_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "faulty.yaml"
    path.write_text(FAULTY)
    loaded = guide.load(path)
    assert [(problem.place.line, problem.source.strip()) for problem in loaded.problems] == [
        (4, "hold: five breaths"),
        (6, "hold: 3 breths"),
    ]
    for use in (guide.make_ready, guide.advise):
        with pytest.raises(guide.FaultyFile) as told:
            use(loaded)
        assert told.value.problems == loaded.problems
    with pytest.raises(guide.GuideError, match="there is no such file"):
        guide.load(tmp_path / "none.yaml")
    assert capsys.readouterr() == ("", "")


def test_a_slot_that_is_asked_for_goes_before_that_of_the_file(tmp_path: Path) -> None:
    path = tmp_path / "rest.yaml"
    path.write_text("title: Rest\nslot: 2 min\nclass:\n  - rest: 1 to 4 min\n    say: none\n")
    assert guide.make_ready(path).timeline.length_ms == 120_000
    assert guide.make_ready(guide.load(path), slot_ms=180_000).timeline.length_ms == 180_000


def test_advice_is_given_on_what_was_loaded_and_on_what_is_ready(tmp_path: Path) -> None:
    path = tmp_path / "tree.yaml"
    path.write_text("title: T\nslot: 2 min\nclass:\n  - pose: tree\n    hold: 20 breaths\n    say: none\n")
    loaded = guide.load(path)
    rules = {advice.rule for advice in guide.advise(loaded)}
    assert rules and rules == {advice.rule for advice in guide.advise(guide.make_ready(loaded))}


def test_what_is_written_is_chosen_by_the_ending(tmp_path: Path) -> None:
    path = tmp_path / "rest.yaml"
    path.write_text("title: Rest\nclass:\n  - section: Rest\n  - rest: 2 s\n    say: none\n")
    ready = guide.make_ready(path)
    told: list[tuple[int, int]] = []
    for name, begins in (("r.WAV", b"RIFF"), ("r.vtt", b"WEBVTT"), ("r.srt", b""), ("r.chapters.json", b"{")):
        guide.write(ready, tmp_path / name, lambda done, total: told.append((done, total)))
        assert (tmp_path / name).read_bytes().startswith(begins)
    frames = 48 * ready.timeline.length_ms
    assert told == sorted(told) and told[-1] == (frames, frames)
    with pytest.raises(guide.UnusableChoice, match=r"r\.doc: no file of ours ends in \.doc \(use one of \.wav, "):
        guide.write(ready, tmp_path / "r.doc")


def test_the_program_on_the_page_prints_what_the_page_shows(tmp_path: Path) -> None:
    found = re.search(r"```python\n(.+?)```\n.*?```text\n(.+?)```", PAGE, re.DOTALL)
    assert found is not None
    program, shown = found.groups()
    assert len(program.split("\n\n", 1)[1].splitlines()) <= 10
    (tmp_path / "sequences").symlink_to(ROOT / "sequences")
    printed = io.StringIO()
    with chdir(tmp_path), redirect_stdout(printed):
        exec(compile(program, "guide/README.md", "exec"), {})
    assert printed.getvalue() == shown
    assert {path.suffix for path in tmp_path.iterdir()} == {"", ".wav", ".vtt"}


def test_the_consumer_uses_every_public_name() -> None:
    tree = ast.parse(CONSUMER.read_text(encoding="utf-8"))
    used = {
        node.attr
        for node in ast.walk(tree)
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "guide"
    }
    assert used - {"lode"} == set(guide.__all__)


def test_the_package_says_that_it_is_typed() -> None:
    assert (ROOT / "guide" / "py.typed").is_file()


@pytest.mark.real
def test_a_type_checker_finds_every_type_and_nothing_wrong_but_what_is(tmp_path: Path) -> None:
    options = ["--strict", "--follow-imports=silent", "--config-file=", f"--cache-dir={tmp_path}", "--no-error-summary"]
    done = subprocess.run(
        [sys.executable, "-m", "mypy", *options, str(CONSUMER)],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        env={**os.environ, "MYPYPATH": str(ROOT)},
    )
    lines = CONSUMER.read_text(encoding="utf-8").splitlines()
    wrong = [(number, line.split("  # ")[1]) for number, line in enumerate(lines, 1) if "  # " in line]
    found = done.stdout.splitlines()
    assert len(found) == len(wrong) == 3, done.stdout + done.stderr
    for line, (number, what) in zip(found, wrong, strict=True):
        assert f"consumer.py:{number}: error: {what}" in line
