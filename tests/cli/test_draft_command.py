"""`guide draft`: captions in, a class file out that is never written over another."""

from pathlib import Path

import pytest
from class_texts import problems
from click.testing import CliRunner, Result

from guide.cli.draft import command
from guide.problem import UnusableChoice

CAPTIONS = """\
0:05 Mountain. Stand with your feet together.
0:40 Inhale, lift your arms.
0:44 Exhale, let them sink.
0:48 Inhale, lift your arms.
0:52 Exhale, let them sink.
1:00 Warrior two, right side. Bend your right knee.
1:45 Warrior two, left side. Bend your left knee.
2:30 Final rest. Lie down on your back.
4:30 That is all.
"""


@pytest.fixture
def captions(tmp_path: Path) -> Path:
    path = tmp_path / "my-class.txt"
    path.write_text(CAPTIONS, encoding="utf-8")
    return path


def draft(*arguments: str | Path) -> Result:
    # A command keeps its first help option for good, so that this one is the same as under `guide`.
    return CliRunner().invoke(command, [str(each) for each in arguments], help_option_names=["-h", "--help"])


def test_without_a_file_the_draft_is_printed(captions: Path) -> None:
    result = draft(captions)
    assert result.exit_code == 0
    assert 'title: "My class"' in result.output
    assert "- both sides:" in result.output
    assert "# 1:00 Warrior two, right side." in result.output


def test_it_writes_a_file_that_reads_back_and_says_so(captions: Path, tmp_path: Path) -> None:
    target = tmp_path / "lake.yaml"
    result = draft(captions, "-o", target, "--say")
    assert (result.exit_code, result.output) == (0, f"Wrote {target}. Look at it with: guide plan {target}\n")
    assert problems(target) == ()
    text = target.read_text(encoding="utf-8")
    assert 'title: "Lake"' in text
    assert '- "Bend your <side> knee."' in text


def test_a_file_that_is_there_is_left_alone(captions: Path, tmp_path: Path) -> None:
    target = tmp_path / "lake.yaml"
    target.write_text("mine", encoding="utf-8")
    result = draft(captions, "-o", target)
    assert isinstance(result.exception, UnusableChoice)
    assert str(result.exception) == f"{target}: there is a file of that name already (name another, or move it away)"
    assert target.read_text(encoding="utf-8") == "mine"


def test_a_folder_that_is_not_there_is_named(captions: Path, tmp_path: Path) -> None:
    target = tmp_path / "none" / "lake.yaml"
    result = draft(captions, "-o", target)
    assert isinstance(result.exception, UnusableChoice)
    assert str(result.exception) == f"{target}: there is no folder {target.parent} (make it first, or name another)"


def test_a_file_where_a_folder_should_be_is_named(captions: Path, tmp_path: Path) -> None:
    place = tmp_path / "notes"
    place.write_text("mine", encoding="utf-8")
    result = draft(captions, "-o", place / "lake.yaml")
    assert isinstance(result.exception, UnusableChoice)
    assert str(result.exception) == f"{place / 'lake.yaml'}: {place} is a file, not a folder (name another folder)"


def test_captions_that_are_not_there_are_named(tmp_path: Path) -> None:
    result = draft(tmp_path / "none.vtt")
    assert isinstance(result.exception, UnusableChoice)
    assert str(result.exception) == (f"{tmp_path / 'none.vtt'}: there is no such file (give the captions of the class)")


def test_another_language_is_told(tmp_path: Path) -> None:
    path = tmp_path / "kurs.txt"
    said = "Komm in einen bequemen Sitz und schließ die Augen. Spür den Atem im Bauch, so wie er kommt und geht. Heb"
    path.write_text(f"0:05 {said} die Arme über den Kopf.\n", encoding="utf-8")
    result = draft(path)
    assert isinstance(result.exception, UnusableChoice)
    assert str(result.exception) == (
        f"{path}: these words are hardly English, and only English is drafted from "
        "(give captions in English, or write the class with `guide new`)"
    )


@pytest.mark.parametrize(
    "said",
    [
        "Mountain. Inhale. Exhale. Fold. Exhale plank. Chaturanga. Updog. Downdog. Five. Four. Three. Two. One. Rest. "
        "Warrior one right. Warrior two. Triangle. Other side.",
        "Tadasana. Inhale urdhva hastasana. Exhale uttanasana. Inhale ardha uttanasana. Exhale chaturanga dandasana. "
        "Inhale urdhva mukha svanasana. Exhale adho mukha svanasana. Virabhadrasana A right. Trikonasana.",
    ],
)
def test_english_is_known_in_few_words_and_in_names_of_poses(tmp_path: Path, said: str) -> None:
    path = tmp_path / "class.txt"
    path.write_text(f"0:05 {said}\n", encoding="utf-8")
    assert draft(path).exit_code == 0


def test_more_words_than_a_class_has_are_told(tmp_path: Path) -> None:
    """Three hours of fast talk are 40,000 words; the limit is our own."""
    path = tmp_path / "retreat.txt"
    path.write_text(f"0:05 {'breathe out ' * 20_001}\n", encoding="utf-8")
    result = draft(path)
    assert isinstance(result.exception, UnusableChoice)
    assert str(result.exception) == (
        f"{path}: 40,002 words are more than one class has, and 40,000 the most that are drafted from "
        "(give the captions of one class)"
    )


def test_a_model_is_for_hearing_and_captions_have_words(captions: Path) -> None:
    result = draft(captions, "--model", "m")
    assert isinstance(result.exception, UnusableChoice)
    assert str(result.exception) == "--model m is for hearing words, and none are to be heard (leave it out)"
