"""Every command as a person types it: what it prints, what it leaves behind, and how it refuses."""

import json
import re
import subprocess
import sys
from pathlib import Path
from urllib.request import urlopen

import pytest
import soundfile
from click.testing import CliRunner, Result

from guide.cli import COMMANDS, main
from guide.sequence.caution import CAUTION

ROOT = Path(__file__).resolve().parents[2]
SHIPPED = sorted((ROOT / "sequences").glob("*.yaml"))

SHORT = """\
title: Short
class:
  - section: One
  - pose: mountain
    hold: 2 breaths
    enter: none
    say: Inhale, grow tall.
    leave: none
"""


@pytest.fixture(autouse=True)
def _place_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")


def guide(*arguments: str, stdin: str | None = None) -> Result:
    return CliRunner().invoke(main, arguments, input=stdin)


def class_file(text: str = SHORT, name: str = "short.yaml") -> str:
    Path(name).write_text(text, encoding="utf-8")
    return name


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help_that_says_what_it_is_for(name: str) -> None:
    result = guide(name, "--help")
    assert result.exit_code == 0
    assert len(result.output.split("Options:")[0].split()) > 12
    assert f"{name} {COMMANDS[name][1]}" in " ".join(guide("--help").output.split())


def test_a_misspelt_command_is_met_with_the_one_that_was_meant() -> None:
    result = guide("rendre", "x.yaml")
    assert result.exit_code == 2
    assert "No such command 'rendre' (did you mean “guide render”?)" in result.stderr


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_every_shipped_class_passes_the_check(path: Path) -> None:
    result = guide("check", str(path))
    assert result.exit_code == 0
    levels = " at 3 levels (gentle, middle, strong)" if path.stem == "chair-by-the-window" else ""
    assert result.stdout.split() == f"{path}: no problems found{levels} {CAUTION}".split()


def test_check_shows_every_problem_of_every_file_and_leaves_with_two() -> None:
    good, bad = class_file(), class_file("title: Bad\nclass:\n  - pose: tree\n    hodl: 3 breaths\n", "bad.yaml")
    result = guide("check", good, bad)
    assert result.exit_code == 2
    assert f"{good}: no problems found" in result.stdout
    assert result.stderr == (
        "bad.yaml:4:5: `pose` has no `hodl` (did you mean `hold`?)\n        hodl: 3 breaths\n        ^\n"
    )


def test_a_class_can_come_from_standard_input() -> None:
    result = guide("check", "-", stdin=SHORT)
    assert result.exit_code == 0
    assert "-: no problems found" in result.stdout


@pytest.mark.parametrize("command", ["check", "plan", "render"])
def test_a_file_that_is_not_there_is_named(command: str) -> None:
    result = guide(command, "nowhere.yaml")
    assert result.exit_code == 2
    assert result.stderr.startswith("nowhere.yaml: ")


@pytest.mark.parametrize("command", ["check", "plan", "render"])
def test_a_folder_is_not_a_class(command: str) -> None:
    Path("folder").mkdir()
    result = guide(command, "folder")
    assert result.exit_code == 2
    assert result.stderr.startswith("folder: ")


def test_plan_prints_the_class_as_a_table() -> None:
    result = guide("plan", class_file())
    assert result.exit_code == 0
    assert "Mountain" in result.stdout
    assert "Inhale, grow tall." in result.stdout


def test_plan_tells_of_a_pose_that_the_library_does_not_know() -> None:
    shown = guide("plan", class_file("title: Short\nclass:\n  - pose: piegon\n    say: none\n")).stdout
    assert "short.yaml:3:5: the library does not know “piegon” (did you mean “pigeon”?" in " ".join(shown.split())


def test_a_slot_on_the_command_line_goes_before_the_files() -> None:
    text = "title: Short\nslot: 2 min\nclass:\n  - rest: 30 s to 5 min\n"
    ended = guide("plan", "--slot", "1:30", class_file(text)).stdout
    assert re.search(r"^ *1:30  end: 1 step, 0 cues, ease [+-]0\.\d\d$", ended, re.MULTILINE), ended
    refused = guide("plan", "--slot", "90", class_file(text))
    assert refused.exit_code == 2
    assert "`90` does not say of what (write `90 s` or `90 min`)" in refused.stderr


def test_plan_gives_the_timeline_to_programs() -> None:
    plan = json.loads(guide("plan", "--json", class_file()).stdout)
    assert plan["title"] == "Short"
    assert [cue["words"] for cue in plan["cues"]] == ["Mountain.", "Inhale, grow tall."]


def test_the_cues_of_a_class_are_counted_alike_everywhere() -> None:
    """Numbers counted aloud are cues: the table, the line of a track and JSON have one count, and so have captions."""
    text = SHORT.replace("    say: Inhale, grow tall.\n", "    say: none\n    count: voice\n")
    planned = json.loads(guide("plan", "--json", class_file(text)).stdout)["cues"]
    cues = len(planned)
    assert sum(cue["kind"] == "count" for cue in planned) == 2
    assert f", {cues} cues" in guide("plan", "short.yaml").stdout
    assert f", {cues} cues, " in guide("render", "short.yaml", "-o", "t.wav", "--captions", "exact").stdout
    assert Path("t.exact.vtt").read_text(encoding="utf-8").count("-->") == cues


def test_a_sound_file_that_is_none_is_found_by_check_at_its_place() -> None:
    Path("mine.wav").write_bytes(b"garbage, and no sound at all")
    head = "sounds:\n  class: deep bowl\n  inhale: mine.wav\nclass:"
    told = guide("check", class_file(SHORT.replace("class:", head)))
    assert told.exit_code == 2
    assert "short.yaml:4:11: " in told.stderr
    assert "mine.wav: this is not a sound file that can be read (use WAV, FLAC, MP3, Ogg or M4A)" in told.stderr
    assert "\n      inhale: mine.wav\n              ^" in told.stderr
    assert guide("plan", "short.yaml").stderr == told.stderr


def test_angle_brackets_in_titles_are_words() -> None:
    text = SHORT.replace("title: Short", "title: Get <fit> now\nby: Reed <House>\nabout: a <b>bold</b> one")
    text = text.replace("section: One", "section: One <two>")
    assert guide("check", class_file(text)).exit_code == 0
    plan = json.loads(guide("plan", "--json", "short.yaml").stdout)
    assert (plan["title"], plan["by"], plan["chapters"][0]["title"]) == ("Get <fit> now", "Reed <House>", "One <two>")
    refused = guide("check", class_file(SHORT.replace("Inhale, grow tall.", "Lift your <foot>.")))
    assert "nothing is known to put in for `<foot>`" in refused.stderr


def test_a_block_file_cannot_be_planned() -> None:
    blocks = class_file("title: Blocks\nblocks:\n  up:\n    - inhale: Reach up.\n", "blocks.yaml")
    result = guide("plan", blocks)
    assert result.exit_code == 2
    assert "holds blocks and no class" in result.stderr


def test_render_writes_the_track_its_captions_and_its_chapters() -> None:
    kinds = ("vtt", "srt", "lrc", "exact")
    result = guide("render", class_file(), *(word for kind in kinds for word in ("--captions", kind)))
    assert result.exit_code == 0, result.stderr
    assert result.stdout.startswith("short.mp3: 0:")
    written = {path.name for path in Path().iterdir()}
    endings = (".yaml", ".mp3", ".vtt", ".srt", ".lrc", ".exact.vtt", ".chapters.vtt")
    assert written == {f"short{ending}" for ending in endings}
    stamps = [Path(name).read_text(encoding="utf-8").split("-->") for name in ("short.exact.vtt", "short.vtt")]
    assert [len(each) for each in stamps] == [3, 3]
    assert stamps[0][1] < stamps[1][1]


def test_what_the_file_says_of_the_class_goes_into_the_tags_with_the_caution() -> None:
    head = "by: Reed House\ndate: 2026-05-04\nabout: For a quiet noon.\nclass:"
    guide("render", class_file(SHORT.replace("class:", head)), "-o", "track.flac")
    with soundfile.SoundFile("track.flac") as track:
        assert (track.title, track.artist, track.date) == ("Short", "Reed House", "2026-05-04")
        assert track.comment == f"For a quiet noon. {CAUTION}"


@pytest.mark.parametrize("suffix", ["wav", "flac", "mp3", "ogg", "opus"])
def test_the_name_chooses_the_format(suffix: str) -> None:
    result = guide("render", class_file(), "-o", f"track.{suffix}", "--captions", "none")
    assert result.exit_code == 0, result.stderr
    assert Path(f"track.{suffix}").stat().st_size > 1000
    assert {path.name for path in Path().iterdir()} == {"short.yaml", f"track.{suffix}"}


def test_fewer_words_are_left_out_of_the_track_and_its_captions_and_counted() -> None:
    result = guide("render", class_file(), "-o", "track.wav", "--captions", "exact", "--words", "names")
    assert ", 1 of 2 cues, " in result.stdout
    assert "Stand tall" not in Path("track.exact.vtt").read_text(encoding="utf-8")
    listed = guide("plan", "short.yaml", "--words", "names").stdout
    assert "Left out as asked" in listed and "1 of 2 cues are left out (--words names)" in listed
    refused = guide("render", "short.yaml", "--words", "few")
    assert refused.exit_code == 2
    assert "`few` is not how many words are kept" in refused.stderr


def test_a_level_is_a_track_of_its_own() -> None:
    text = SHORT.replace("    say: Inhale, grow tall.\n", "    say: [{how: Hold., level: gentle}]\n")
    result = guide("render", class_file(text), "--level", "gentle", "--format", "wav", "--captions", "none")
    assert result.exit_code == 0, result.stderr
    assert Path("short-gentle.wav").exists()
    assert "has no level `strong` (it has gentle, middle)" in guide("plan", "short.yaml", "--level", "strong").stderr


def test_the_same_class_gives_the_same_bytes() -> None:
    for name in ("one.mp3", "two.mp3"):
        guide("render", class_file(), "-o", name)
    assert Path("one.mp3").read_bytes() == Path("two.mp3").read_bytes()


def test_two_classes_that_would_become_one_file_are_refused_before_any_work() -> None:
    Path("a").mkdir()
    Path("b").mkdir()
    result = guide("render", class_file(name="a/x.yaml"), class_file(name="b/x.yaml"))
    assert result.exit_code == 2
    assert "would both become x.mp3" in result.stderr
    assert not Path("x.mp3").exists()


def test_an_unknown_ending_is_refused_with_those_there_are() -> None:
    result = guide("render", class_file(), "-o", "track.doc")
    assert result.exit_code == 2
    assert result.stderr.startswith("track.doc: ")
    assert ".mp3" in result.stderr


def test_a_voice_that_is_not_there_is_refused() -> None:
    result = guide("render", class_file(), "--voice", "nobody")
    assert result.exit_code == 2
    assert "nobody" in result.stderr
    assert "guide voices" in result.stderr


def test_a_sound_file_that_is_really_text_is_named() -> None:
    Path("gong.wav").write_text("not a sound", encoding="utf-8")
    result = guide("render", class_file(SHORT.replace("class:", "sounds: {section: gong.wav}\nclass:")))
    assert result.exit_code == 2
    assert "gong.wav" in result.stderr


def test_new_writes_a_class_that_passes_and_never_writes_over_one() -> None:
    result = guide("new", "quiet-evening")
    assert result.stdout == "Wrote quiet-evening.yaml. Look at it with: guide plan quiet-evening.yaml\n"
    assert 'title: "Quiet evening"' in Path("quiet-evening.yaml").read_text(encoding="utf-8")
    schema = re.search(r"\$schema=(\S+)", Path("quiet-evening.yaml").read_text(encoding="utf-8"))
    assert schema
    assert json.loads(urlopen(schema[1]).read())["title"]
    assert guide("check", "quiet-evening.yaml").exit_code == 0
    again = guide("new", "quiet-evening.yaml")
    assert again.exit_code == 2
    assert "there is a file of that name already" in again.stderr


def test_the_title_of_a_new_class_may_hold_anything() -> None:
    title = 'Slow: "soft" \\ {tea} # & *'
    guide("new", "x.yaml", "--title", title)
    assert json.loads(guide("plan", "--json", "x.yaml").stdout)["title"] == title


def test_doctor_reports_and_leaves_with_nought_where_nothing_needed_is_missing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("GUIDE_CACHE", str(tmp_path / "cache"))
    result = guide("doctor", "--quiet")
    assert result.exit_code == 0
    assert "natural voice" in result.stdout
    assert "lacks" not in result.stdout


def test_doctor_tells_where_speech_cannot_be_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    Path("file").write_text("")
    monkeypatch.setenv("GUIDE_CACHE", "file/cache")
    result = guide("doctor", "--quiet")
    assert result.exit_code == 1
    lines = [" ".join(line.split()) for line in result.stdout.splitlines()]
    at = lines.index("lacks speech cache file/cache cannot be written")
    assert lines[at + 1] == "to mend it: export GUIDE_CACHE=a/folder/of/your/own"


def test_the_command_itself_runs_as_a_program() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "guide", "check", class_file()], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")


def test_help_loads_nothing_heavy() -> None:
    """So that `guide --help` is instant: the command line brings in click and little else."""
    code = "import sys; from guide.cli import main\ntry: main(['-h'])\nexcept SystemExit: print(sorted(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    for heavy in ("numpy", "scipy", "soundfile", "ruamel", "onnxruntime", "pydub", "guide.sequence", "guide.plan"):
        assert f"'{heavy}'" not in done.stdout, f"{heavy} is loaded"
