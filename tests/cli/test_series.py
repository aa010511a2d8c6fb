"""`guide series`: tracks of one class whose words thin out, while everything else stays where it was."""

import re
from pathlib import Path

import numpy as np
import pytest
import soundfile
from click.testing import CliRunner, Result

from guide.cli import main
from guide.export.made_record import NAME
from guide.sequence.caution import CAUTION

CLASS = """\
title: Short
about: For a quiet noon.
library cues: no
pace: {inhale: 2 s, exhale: 2 s}
bells: {class: none}
class:
  - section: One
  - rounds: 2
    of:
      - pose: mountain
        hold: 2 breaths
        say: Let your hands lie on your thighs.
"""


@pytest.fixture(autouse=True)
def _place_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")
    Path("short.yaml").write_text(CLASS, encoding="utf-8")


def guide(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["series", "short.yaml", *arguments])


def spoken(week: int) -> list[tuple[str, ...]]:
    """When a week's words are said, and they themselves."""
    text = Path(f"weeks/{week}-short.exact.vtt").read_text(encoding="utf-8")
    return re.findall(r"(\S+) --> (\S+).*\n(.+)", text)


def test_each_week_is_a_track_of_an_album_and_what_is_still_heard_is_where_and_as_it_was() -> None:
    made = guide("-o", "weeks", "--words", "all,some,bells", "--format", "wav", "--captions", "exact")
    assert made.exit_code == 0, made.stderr
    assert made.stdout.splitlines() == [
        "weeks: 3 tracks of 0:20, and how-to-practise.txt",
        "week  track        lines said  left out",
        "   1  1-short.wav  4 of 4      nothing",
        "   2  2-short.wav  3 of 4      repeated alignment",
        "   3  3-short.wav  0 of 4      all words",
    ]
    kinds = ("wav", "exact.vtt", "chapters.vtt")
    tracks = {f"{week}-short.{kind}" for week in (1, 2, 3) for kind in kinds}
    assert {path.name for path in Path("weeks").iterdir()} == {*tracks, "how-to-practise.txt", NAME}

    all_words, some, none = (spoken(week) for week in (1, 2, 3))
    assert [words for *_, words in all_words] == ["Mountain.", "Let your hands lie on your thighs."] * 2
    assert (some, none) == (all_words[:3], [])

    sounds = []
    for week in (1, 2, 3):
        with soundfile.SoundFile(f"weeks/{week}-short.wav") as track:
            told = (track.title, track.album, track.tracknumber)
            assert told == (f"Short, week {week}", "Short", f"{week}/3")
            assert track.comment.startswith(f"Week {week} of 3: {(4, 3, 0)[week - 1]} of 4 lines are said. For a quiet")
            sounds.append(track.read(dtype="float32"))
    first, second, third = sounds
    assert first.size == second.size == third.size
    # Half a second before the words that are left out nothing has changed yet.
    minutes, seconds = all_words[3][0].split(":")[-2:]
    differs = np.flatnonzero(first != second)
    assert differs[0] / 48_000 > 60 * int(minutes) + float(seconds) - 0.5
    assert np.any(third) and not np.array_equal(second, third)

    text = Path("weeks/how-to-practise.txt").read_text(encoding="utf-8")
    assert text.startswith("Short, week by week\n===================\n\nThese 3 tracks are one class of 0:20.")
    assert "   2  2-short.wav  3 of 4      repeated alignment\n" in text
    assert "Week 3 has bells and chimes alone" in " ".join(text.split())
    assert CAUTION in " ".join(text.split())


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (
            ["--words", "all,few"],
            "`few` is not how many words are kept (write all, some, names, bells, or a share such",
        ),
        (["--words", "all,names", "--weeks", "3"], "--words tells of 2 weeks, and --weeks is 3 (leave --weeks out, or"),
        (["--words", "all"], "a series has 2 to 52 weeks (for one track, `guide render --words …`)"),
        (["--weeks", "1"], "1 is not in the range 2<=x<=52"),
        (["--format", "doc"], "1-short.doc: "),
        (["--level", "gentle"], "short.yaml: has no levels"),
        (["-o", "nowhere/weeks"], "nowhere/weeks: there is no folder nowhere to make it in (name another folder)"),
        (["-o", "short.yaml"], "short.yaml: is a file (name another folder)"),
    ],
)
def test_what_cannot_be_made_is_refused_before_any_work(arguments: list[str], sentence: str) -> None:
    refused = guide("-o", "weeks", *arguments)
    assert refused.exit_code == 2
    assert sentence in " ".join(refused.stderr.split())
    assert {path.name for path in Path().iterdir()} == {"short.yaml"}


def test_a_file_of_ones_own_stays_and_so_do_all_old_ones() -> None:
    Path("weeks").mkdir()
    for name in ("2-short.wav", "how-to-practise.txt"):
        own = Path("weeks") / name
        own.write_bytes(b"mine")
        refused = guide("-o", "weeks", "--weeks", "2", "--format", "wav", "--captions", "none")
        assert refused.exit_code == 2
        assert f"weeks/{name}: " in refused.stderr
        assert [path.name for path in Path("weeks").iterdir()] == [name]
        own.unlink()
    for _ in range(2):
        made = guide("-o", "weeks", "--words", "all,names", "--format", "wav", "--captions", "none")
        assert made.exit_code == 0, made.stderr
    assert "are said in every track" in " ".join(Path("weeks/how-to-practise.txt").read_text("utf-8").split())


def test_a_track_of_which_nothing_has_changed_is_left_alone_and_what_has_is_made_again() -> None:
    text, tracks = "how-to-practise.txt", ["1-short.wav", "2-short.wav", "3-short.wav"]
    every, anew = {*tracks, text}, "(--again makes them anew)"
    rest = "title: Rest\nbells: {class: none}\nclass: [{rest: 1 s, say: none}]\n"

    def made(*words: str) -> tuple[str, set[str]]:
        """What is told first, and which files are other ones than before."""
        before = {path.name: path.stat().st_ino for path in Path("weeks").glob("[!.]*")}
        result = guide("-o", "weeks", "--format", "wav", "--captions", "none", *words)
        assert result.exit_code == 0, result.stderr
        after = {path.name: path.stat().st_ino for path in Path("weeks").glob("[!.]*")}
        return result.stdout.splitlines()[0], {name for name in after if after[name] != before.get(name)}

    Path("short.yaml").write_text(rest, encoding="utf-8")
    assert made("--weeks", "3") == (f"weeks: 3 tracks of 0:01, and {text}", every)
    Path("short.yaml").touch()
    assert made("--weeks", "3") == (f"weeks: nothing has changed, 3 unchanged {anew}", set())
    # Another rule for one week, and a track that was taken away.
    told = f"weeks: 3 tracks of 0:01, and {text}; 1 written, 2 unchanged {anew}"
    assert made("--words", "all,70%,bells") == (told, {tracks[1], text})
    Path("weeks/1-short.wav").unlink()
    assert made("--words", "all,70%,bells") == (told, {tracks[0]})
    Path("short.yaml").write_text(rest.replace("1 s", "2 s"), encoding="utf-8")
    assert made("--words", "all,70%,bells")[1] == every
    assert made("--words", "all,70%,bells", "--again")[1] == every


def test_where_a_track_cannot_be_written_no_folder_is_left(monkeypatch: pytest.MonkeyPatch) -> None:
    from guide.export import series_text

    def full(*_: object) -> str:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(series_text.TextExporter, "write", full)
    failed = guide("-o", "weeks", "--weeks", "2", "--format", "wav", "--captions", "none")
    assert failed.exit_code == 1
    assert failed.stderr == "weeks/how-to-practise.txt: the disk is full (make room, or write to another disk)\n"
    assert not Path("weeks").exists()
