"""`guide compare` as a person types it."""

import json
import re
import sys
from collections.abc import Callable, Sequence
from itertools import pairwise
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from jsonschema import Draft202012Validator

from guide.cli import COMMANDS, compare_history, main
from guide.problem import GuideError, MachineTrouble, UnusableChoice
from guide.review import recordings
from guide.review.captions.transcript import WHAT_IT_MAY_BE, read
from guide.review.comparison_json import comparison_schema
from guide.review.hearing import heard_words
from guide.review.hearing.heard_words import Heard
from guide.review.hearing.recorded_speech import NoVoice
from guide.review.history.history_json import history_schema
from guide.units import clock

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


def test_chapters_are_written_for_the_video_at_the_moments_at_which_sections_began() -> None:
    found = json.loads(compare(STARTER, "taught.vtt", "--json", "--chapters", "chapters.txt").stdout)
    begun: dict[int, int] = {}
    for step in found["steps"]:
        if step["section"] is not None and step["real_start_ms"] is not None:
            begun.setdefault(step["section"], step["real_start_ms"])
    lines = Path("chapters.txt").read_text(encoding="utf-8").rstrip("\n").split("\n")
    sections = [f"{clock(ms)} {found['sections'][number]}" for number, ms in begun.items()]
    assert lines == ["0:00 My class", *sections] and len(sections) == len(found["sections"])


def test_chapters_take_the_form_that_the_ending_names() -> None:
    for name in ("chapters.vtt", "chapters.ffmetadata"):
        assert compare(STARTER, "taught.vtt", "--chapters", name).exit_code == 0
        # Its own older file is written anew.
        assert compare(STARTER, "taught.vtt", "--chapters", name).exit_code == 0
    told = Path("chapters.ffmetadata").read_text(encoding="utf-8")
    assert told.startswith(";FFMETADATA1\n; made by practice-guide ")
    blocks = [block.splitlines() for block in told.split("[CHAPTER]\n")[1:]]
    edges = [(int(start.removeprefix("START=")), int(end.removeprefix("END="))) for _, start, end, _ in blocks]
    assert edges[0][0] == 0 and all(end == start for (_, end), (start, _) in pairwise(edges))
    shown = Path("chapters.vtt").read_text(encoding="utf-8")
    assert shown.startswith("WEBVTT My class\n\nNOTE made by practice-guide ")
    assert shown.count(" --> ") == len(blocks)


@pytest.mark.parametrize(
    ("path", "message"),
    [
        (
            "chapters.avi",
            "chapters.avi: no file of ours ends in .avi "
            "(use one of .vtt, .txt, .ffmetadata, .mp4, .m4v, .m4a, .mov, .mkv)",
        ),
        (
            "chapters.mp4",
            "chapters.mp4: chapters go into a copy of a recording, and none is given "
            "(give the recording beside its captions, or name a file .txt or .vtt)",
        ),
        ("nowhere/one.txt", "nowhere/one.txt: there is no folder nowhere (make it first, or name another)"),
    ],
)
def test_chapters_that_could_not_be_written_are_refused_first(path: str, message: str) -> None:
    result = compare(STARTER, "taught.vtt", "--chapters", path)
    assert (result.exit_code, result.stdout, result.stderr) == (2, "", f"{message}\n")


def test_the_captions_themselves_are_not_overwritten_by_chapters() -> None:
    before = Path("taught.vtt").read_bytes()
    assert compare(STARTER, "taught.vtt", "--chapters", "taught.vtt", "--force").exit_code == 2
    assert Path("taught.vtt").read_bytes() == before


@pytest.mark.parametrize("ending", [".vtt", ".srt"])
def test_captions_are_given_back_beside_hers_and_it_says_how_many_words_were_mended(ending: str) -> None:
    result = compare(STARTER, "taught.vtt", "--captions", f"mine{ending}")
    assert (result.exit_code, result.stderr.startswith(f"mine{ending}: captions with ")) == (0, True)
    assert result.stderr.endswith(" mended.\n")
    assert len(read(Path(f"mine{ending}")).blocks) > 20


@pytest.mark.parametrize(
    ("captions", "message"),
    [
        ("taught.vtt", "taught.vtt: "),
        ("mine.txt", "mine.txt: no file of ours ends in .txt (use one of .vtt, .srt)\n"),
        ("nowhere/one.vtt", "nowhere/one.vtt: there is no folder nowhere (make it first, or name another)\n"),
    ],
)
def test_captions_that_could_not_be_written_are_refused_first(captions: str, message: str) -> None:
    before = Path("taught.vtt").read_bytes()
    result = compare(STARTER, "taught.vtt", "--captions", captions, "--force")
    assert (result.exit_code, result.stdout) == (2, "") and result.stderr.startswith(message)
    assert Path("taught.vtt").read_bytes() == before


def test_a_record_has_no_words_to_make_captions_of() -> None:
    Path("record.jsonl").write_bytes((Path(__file__).parents[1] / "readme" / "rehearsal.jsonl").read_bytes())
    result = compare(STARTER, "record.jsonl", "--captions", "mine.vtt")
    assert result.exit_code == 2 and result.stderr.startswith("record.jsonl: it has no words to make captions of")


def test_of_another_class_there_are_no_captions() -> None:
    Path("other.vtt").write_text("WEBVTT\n\n00:01.000 --> 00:04.000\nThe train leaves at noon\n", encoding="utf-8")
    result = compare(STARTER, "other.vtt", "--captions", "mine.vtt")
    assert result.exit_code == 2 and not Path("mine.vtt").exists()
    assert result.stderr == "other.vtt: it seems to be of another class (no captions)\n"


def test_of_another_class_there_are_no_chapters() -> None:
    Path("other.vtt").write_text("WEBVTT\n\n00:01.000 --> 00:04.000\nThe train leaves at noon\n", encoding="utf-8")
    result = compare(STARTER, "other.vtt", "--chapters", "chapters.txt")
    assert result.exit_code == 2 and not Path("chapters.txt").exists()
    assert result.stderr == "other.vtt: it does not tell when a section or a pose began (no chapters)\n"


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


@pytest.mark.parametrize("why", [NoVoice("class.mp4: no voice is heard in it"), MachineTrouble("PyAV is needed")])
def test_a_recording_whose_words_are_heard_is_compared_by_them_where_no_voice_can_be_heard(
    monkeypatch: pytest.MonkeyPatch, why: GuideError
) -> None:
    Path("class.mp4").write_bytes(b"\0\0\0\x18ftypmp42" + bytes(100))
    asked: list[Sequence[str]] = []

    def recognised(recording: Path, names: Sequence[str], *_: object) -> Heard:
        asked.append(names)
        return Heard(read(Path("taught.vtt")), Path("class.mp4.heard.vtt"))

    def unheard_for(error: GuideError) -> Callable[..., None]:
        def unheard(*_: object) -> None:
            raise error

        return unheard

    monkeypatch.setattr(heard_words, "heard", recognised)
    monkeypatch.setattr(recordings, "heard_in", unheard_for(UnusableChoice("class.mp4: is cut off")))
    broken = compare(STARTER, "class.mp4", "--hear")
    assert broken.exit_code == 2 and "class.mp4: is cut off" in broken.stderr, "no other fault is kept quiet"
    monkeypatch.setattr(recordings, "heard_in", unheard_for(why))
    heard = compare(STARTER, "class.mp4", "--hear")
    told = f"Compared by words alone: {why}."
    assert heard.stderr.splitlines()[-2:] == ["The words are in class.mp4.heard.vtt.", told]
    assert heard.stdout == compare(STARTER, "taught.vtt").stdout
    assert "easy seat" in asked[0], "the poses of the class are told to the recogniser"


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("taught.vtt", "--hear"), "taught.vtt: this is no sound, and no film (leave out --hear)"),
        (("class.mp4", "--model", "m"), "--model m is for hearing words, and none are to be heard (leave it out)"),
    ],
)
def test_what_is_asked_of_hearing_for_nothing_is_refused(arguments: tuple[str, ...], told: str) -> None:
    result = compare(STARTER, *arguments)
    assert (result.exit_code, result.stdout) == (2, "")
    assert told in result.stderr


def performed(name: str, seed: int) -> str:
    """Captions of another performance of the same class."""
    _, timeline = planned(shipped_steps("starter"))
    Path(name).write_text(webvtt_of(taught(timeline, LIGHT, 5000, seed).transcript), encoding="utf-8")
    return name


def test_performances_are_shown_beside_each_other_whatever_they_are_known_from() -> None:
    """Captions, a record of the program's and a comparison that it printed; the page and the JSON of the same."""
    Path("kept.json").write_text(compare(STARTER, performed("second.vtt", 2), "--json").stdout, encoding="utf-8")
    Path("record.jsonl").write_bytes((Path(__file__).parents[1] / "readme" / "rehearsal.jsonl").read_bytes())
    given = (STARTER, "taught.vtt", "kept.json", "record.jsonl", "--history")
    result = compare(*given, "--html", "page.html")
    assert (result.exit_code, result.stderr) == (0, "")
    assert re.match(r"My class: 3 performances, planned 7:\d\d of the plan's 7:\d\d, usually ", result.stdout)
    assert "\n3  record.jsonl  2026-11-25 22:36  rehearsed" in result.stdout
    assert "Performances beside each other" in Path("page.html").read_text(encoding="utf-8")
    made = json.loads(compare(*given, "--json").stdout)
    Draft202012Validator(history_schema()).validate(made)
    assert [one["on"] for one in made["performances"]] == [None, None, "2026-11-25 22:36"]


def test_without_recordings_the_classes_that_were_held_here_from_this_file_are_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    Path("own.yaml").write_bytes(Path(STARTER).read_bytes())
    monkeypatch.setattr(compare_history, "logs", lambda: sorted(tmp_path.glob("*.jsonl")))
    result = compare("own.yaml", "--history")
    told = "own.yaml: no class was led or rehearsed here from this file (name recordings of it behind it)\n"
    assert (result.exit_code, result.stderr) == (2, told)
    first, *events = (Path(__file__).parents[1] / "readme" / "rehearsal.jsonl").read_text("utf-8").splitlines()
    for day, file, longer_ms in ((24, "own.yaml", 0), (23, "own.yaml", 40), (22, "other.yaml", 90)):
        opened = json.loads(first) | {"at": f"2026-11-{day}T18:00:00", "file": str(Path(file).resolve())}
        rows = [
            row | {"real_ms": row["real_ms"] + longer_ms} if row["real_ms"] else row for row in map(json.loads, events)
        ]
        Path(f"{day}.jsonl").write_text("".join(f"{json.dumps(row)}\n" for row in (opened, *rows)), encoding="utf-8")
    Path("21.jsonl").write_text(json.dumps(json.loads(first) | {"file": str(Path("own.yaml").resolve())}) + "\n")
    result = compare("own.yaml", "--history")
    assert [line.split()[1] for line in result.stdout.splitlines() if "rehearsed" in line] == ["23.jsonl", "24.jsonl"]
    assert result.stderr.startswith("Left aside: ") and "21.jsonl: no step begins in this record" in result.stderr


def test_usual_lengths_of_several_performances_are_kept_in_the_file_and_nothing_else() -> None:
    Path("own.yaml").write_bytes(Path(STARTER).read_bytes())
    given = ("own.yaml", "taught.vtt", performed("second.vtt", 2), performed("third.vtt", 3))
    result = compare(*given, "--history", "--keep", "--yes")
    assert result.exit_code == 0 and Path("own.yaml.before").read_bytes() == Path(STARTER).read_bytes()
    assert re.search(r"\(usually [^)]* in (?:2 to )?3 +performances\)", " ".join(result.stdout.split()))
    before, after = (path.read_text("utf-8").splitlines() for path in (Path(STARTER), Path("own.yaml")))
    differ = [(one, other) for one, other in zip(before, after, strict=True) if one != other]
    assert differ and all(re.match(r" *(hold|rest): \d", other) for _, other in differ)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (
            ("taught.vtt", "--history"),
            "--history shows several performances beside each other, and one is given: name another\n",
        ),
        (
            ("taught.vtt", "--history", "--captions", "c.vtt"),
            "--captions goes with one performance, and --history shows several (leave out --history)\n",
        ),
        (
            ("taught.vtt", "--history", "--hear"),
            "--hear goes with one performance, and --history shows several (give what was heard, NAME.heard.vtt)\n",
        ),
        (
            ("a.vtt", "b.vtt", "c.vtt"),
            "c.vtt: captions and their sound are two files (give no more than those, "
            "or add --history to show several performances)\n",
        ),
    ],
)
def test_what_does_not_go_with_a_history_is_refused(arguments: tuple[str, ...], told: str) -> None:
    result = compare(STARTER, *arguments)
    assert (result.exit_code, result.stdout, result.stderr) == (2, "", told)
