"""Whatever stands in a file or its name, no command sends a terminal, a log, a caption or a page an order by it.

Every command that reads something is given words with control characters in them, in each place where words can stand;
all that it prints, and all that it writes, is looked at byte by byte.
"""

import json
import random
import re
import sys
import unicodedata
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner
from examples import tried
from hypothesis import given
from hypothesis import strategies as st
from rows import each_row

from guide.cli import main

sys.path += [str(Path(__file__).parents[1] / folder) for folder in ("export", "live", "review")]

from any_comparison import comparisons
from export_samples import lakeside
from live_scenes import SCENES

from guide.export.registry import EXPORTERS, TextExporter
from guide.export.tags import one_line
from guide.live.record import Asked, Began, Opened, Record
from guide.live.scene import Scene
from guide.live.screen.drawing import drawn
from guide.live.screen.rows import Day, Room
from guide.plan.timeline import Timeline
from guide.review.comparison import Comparison
from guide.review.comparison_json import comparison_as_json
from guide.review.text_report import text_report

GUIDE = Path(__file__).parents[2] / "guide"

#: What turns the order of words (Source: UAX #9, table 4), told by the database of characters that Python has.
TURNS = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}

#: Title of a terminal's window, a bell, a colour by C1, words turned round, a line that only some programs see.
NASTY = "a\x1b]0;x\x07b\x08\x7f\x9b31mc\u202ed\u2066e\u2028f\x85g"

CLASS = """\
title: "T{0}"
bells: {{class: none}}
class:
  - section: "S{0}"
  - pose: mountain
    hold: 2 breaths
    name: none
    say: {1}
"""


def raw(text: str) -> set[str]:
    """The characters in it that a terminal or a reader would obey."""
    return {
        char
        for char in text
        if (unicodedata.category(char) in ("Cc", "Zl", "Zp", "Cs") and char not in "\n\t")
        or unicodedata.bidirectional(char) in TURNS
    }


@pytest.fixture(autouse=True)
def _place_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for name in ("XDG_STATE_HOME", "XDG_CONFIG_HOME", "HOME"):
        monkeypatch.setenv(name, str(tmp_path / "own"))
    Path("good.yaml").write_text(CLASS.format("", "none"), encoding="utf-8")
    Path("bad.yaml").write_text(CLASS.format(NASTY, f'"Stand tall{NASTY}."'), encoding="utf-8")
    # As YAML writes what cannot be typed: the characters are in the text, and not in the file.
    Path("quoted.yaml").write_text(CLASS.format(json.dumps(NASTY)[1:-1], json.dumps(NASTY)), encoding="utf-8")
    Path("separators.yaml").write_text(CLASS.format("\\L\\P\\_", "none"), encoding="utf-8")
    Path("broken.yaml").write_text(f"title: {NASTY}\nclass:\n  - pose: {NASTY}\n  - {NASTY}: [\n", encoding="utf-8")
    Path(f"named {NASTY}.yaml").write_text(CLASS.format("", "none"), encoding="utf-8")
    captions = f"0:01 Mountain. Stand tall {NASTY}.\n0:20 Warrior two, right side. {NASTY}\n"
    Path("taught.txt").write_text(captions, encoding="utf-8")
    Path("none.txt").write_text(NASTY, encoding="utf-8")
    record = Record(Path("class.jsonl"))
    record.add(Opened(f"T{NASTY}", f"F{NASTY}", NASTY, NASTY, 1000))
    record.add(Began(0, f"T{NASTY}\n0:00 forged", NASTY, 0, 0))
    record.add(Asked(NASTY, 10, NASTY))
    record.close()


COMMANDS = [
    *(["check", f"{name}.yaml"] for name in ("bad", "quoted", "separators", "broken", f"named {NASTY}", f"no {NASTY}")),
    *(["plan", f"{name}.yaml"] for name in ("bad", "quoted", "separators", f"named {NASTY}")),
    ["plan", "separators.yaml", "--json"],
    ["plan", "good.yaml", "--slot", NASTY],
    ["plan", "good.yaml", "--voice", NASTY],
    ["render", "separators.yaml", "-o", f"{NASTY}.wav", "--captions", "vtt", "--captions", "srt", "--captions", "lrc"],
    ["render", "good.yaml", "-o", f"{NASTY}.doc"],
    ["render", "good.yaml", "--captions", NASTY],
    ["play", f"no {NASTY}.yaml", "--output", "silent"],
    ["play", "good.yaml", "--end-at", NASTY],
    ["rehearse", f"no {NASTY}.yaml"],
    ["log", "class.jsonl"],
    ["log", f"no {NASTY}.jsonl"],
    *(["compare", "good.yaml", "taught.txt", *more] for more in ([], ["--json"], ["--html", "page.html"])),
    ["compare", "good.yaml", "none.txt"],
    ["compare", "good.yaml", "class.jsonl"],
    ["compare", f"named {NASTY}.yaml", "taught.txt", "--keep"],
    *(["draft", "taught.txt", *more] for more in ([], ["--say"], ["-o", f"draft {NASTY}.yaml"])),
    ["keys", "--learn", NASTY],
    ["keys", "--pedal", NASTY, "--show"],
    ["poses", NASTY],
    ["new", f"no folder {NASTY}/new.yaml"],
    ["new", "--from", NASTY],
    ["voices", "--voice", NASTY, "--sample", "hello.wav"],
    ["sounds", "--play", NASTY],
    ["sounds", "--write", f"good.yaml/{NASTY}"],
    ["doctor", NASTY],
    [NASTY],
    [f"--{NASTY}"],
    ["plan", f"--{NASTY}"],
]


@each_row("arguments", COMMANDS)
def test_no_command_prints_or_writes_a_control_character_that_it_was_given(arguments: list[str]) -> None:
    before = set(Path().iterdir())
    result = CliRunner().invoke(main, arguments, input="")
    assert result.exception is None or isinstance(result.exception, SystemExit), repr(result.exception)
    assert result.output
    assert not raw(result.output), ascii(result.output)
    for path in set(Path().iterdir()) - before:
        if path.is_file() and path.suffix != ".wav":
            assert not raw(path.read_text(encoding="utf-8")), path


def test_a_record_holds_none_and_is_read_as_it_was() -> None:
    assert not raw(Path("class.jsonl").read_text(encoding="utf-8"))
    assert json.loads(Path("class.jsonl").read_text(encoding="utf-8").splitlines()[0])["title"] == f"T{NASTY}"
    printed = CliRunner().invoke(main, ["log", "class.jsonl"]).output
    assert len(printed.splitlines()) == 3
    assert "\\x1b]0;x\\x07" in printed and "\\n0:00 forged" in printed


def test_what_is_shown_of_a_line_has_its_caret_under_the_place() -> None:
    Path("bell.yaml").write_bytes(b"title: a\x1b[31m\x07\nclass: []\n")
    shown = CliRunner().invoke(main, ["check", "bell.yaml"]).output.splitlines()
    assert shown[4:6] == ["    title: a\\x1b[31m\\x07", " " * 20 + "^"]


def test_files_with_control_characters_anywhere_are_shown_without() -> None:
    chance = random.Random(0)
    every = [chr(point) for point in (*range(32), *range(127, 160), 0x2028, 0x2029, *range(0x202A, 0x202F))]
    text = Path("good.yaml").read_text(encoding="utf-8")
    for number, char in enumerate(every):
        at = chance.randrange(len(text))
        Path("fuzzed.yaml").write_text(text[:at] + char + text[at:], encoding="utf-8", newline="")
        result = CliRunner().invoke(main, ["check", "fuzzed.yaml"])
        assert not raw(result.output), (number, ascii(char), at)


WORDS = st.text(st.sampled_from([*NASTY, *"\x00\t\n\r\x0b\x0c\x1f\x80\u2029\u2069\ud800", *"é<->&"]), max_size=12)


@given(WORDS, WORDS, st.sampled_from([one for one in EXPORTERS.values() if one.subject is Timeline]))
def test_no_text_that_is_written_of_a_class_holds_one(title: str, words: str, exporter: TextExporter[Timeline]) -> None:
    made = lakeside()
    cues = tuple(replace(cue, words=words) for cue in made.cues)
    chapters = tuple(replace(chapter, title=title) for chapter in made.chapters)
    text = exporter.text(replace(made, title=title, cues=cues, chapters=chapters))
    assert not raw(text), ascii(text)
    assert not raw(one_line(title))


@tried(40)
@given(comparisons())
def test_no_report_holds_one(comparison: Comparison) -> None:
    page = EXPORTERS[".html"]
    assert isinstance(page, TextExporter)
    for text in (page.text(comparison), text_report(comparison, 80), comparison_as_json(comparison)):
        assert not raw(text), ascii(text)


@given(SCENES, WORDS, WORDS)
def test_no_screen_shows_one(made: Scene, title: str, told: str) -> None:
    moment = replace(made.moment, title=title, next_title=told, section=told, words=title)
    for row in drawn(replace(made, title=title, told=told, moment=moment), Day("19:00", "19:30"), Room(80, 24)):
        assert not any(raw(run.text) or "\n" in run.text or "\t" in run.text for run in row)


def test_commands_write_to_the_terminal_in_one_place() -> None:
    """Every other call would be a way out that escapes nothing; the one exception erases progress bars."""
    ways = {
        (path.name, call)
        for path in GUIDE.rglob("*.py")
        for call in re.findall(r"\b((?:click\.)?(?:s?echo|print|echo_via_pager))\(", path.read_text(encoding="utf-8"))
    }
    # A trial of a device tells the program that started it, in JSON; the making of figures tells who works on them.
    own = {("device_trial.py", "print"), ("figures_source.py", "print")}
    assert ways == {("tell.py", "click.echo"), ("class_argument.py", "click.echo"), *own}
