"""The classes that come with the program, called by name wherever a command takes a class file, and copied."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from guide.cli import COMMANDS, main
from guide.cli.write_back import check_has_file
from guide.problem import UnusableChoice
from guide.sequence import shipped_folder
from guide.sequence.shipped_folder import class_path, shipped_classes

NAMES = sorted(path.stem for path in (Path(__file__).resolve().parents[2] / "sequences").glob("*.yaml"))

NOT_THERE = "there is no such file, and no class of that name comes with the program"


@pytest.fixture(autouse=True)
def _place_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def guide(*arguments: str) -> Result:
    return CliRunner().invoke(main, arguments)


def own_class(name: str) -> None:
    Path(name).write_text("title: Mine\nclass:\n  - pose: mountain\n    say: none\n", encoding="utf-8")


def test_each_class_that_comes_with_the_program_has_its_name() -> None:
    assert list(shipped_classes()) == NAMES
    assert [class_path(name) for name in NAMES] == [str(path) for path in shipped_classes().values()]


def test_a_shipped_class_is_named_from_the_current_folder_where_it_is_below_that(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(shipped_folder.shipped_folder().parent)
    assert class_path("starter") == str(Path("sequences", "starter.yaml"))


@pytest.mark.parametrize("own", ["starter", "starter.yaml"])
def test_a_file_of_ones_own_goes_first(own: str) -> None:
    own_class(own)
    assert class_path("starter") == own


def test_a_class_of_ones_own_may_be_called_without_its_ending() -> None:
    own_class("quiet.yaml")
    assert class_path("quiet") == "quiet.yaml"


def test_a_folder_of_that_name_is_no_file() -> None:
    Path("starter").mkdir()
    assert class_path("starter") == str(shipped_classes()["starter"])


@pytest.mark.parametrize("name", ["starter", "starter.yaml"])
def test_plan_takes_a_shipped_class_by_its_name(name: str) -> None:
    assert json.loads(guide("plan", "--json", name).stdout)["title"] == "My class"


def test_check_takes_a_shipped_class_by_its_name() -> None:
    result = guide("check", "desk-break")
    assert result.exit_code == 0
    assert result.stdout.startswith(f"{shipped_classes()['desk-break']}: no problems found")


def test_a_track_is_called_after_the_shipped_class() -> None:
    result = guide("render", "starter", "--format", "flac", "--captions", "none")
    assert result.exit_code == 0, result.stderr
    assert [path.name for path in Path().iterdir()] == ["starter.flac"]


def test_a_recording_is_compared_with_a_shipped_class_by_its_name() -> None:
    Path("taught.txt").write_text("0:00 Sit tall on the front edge of a folded blanket, shins crossed.\n")
    assert guide("compare", "starter", "taught.txt").stdout.startswith("My class: planned")


@pytest.mark.parametrize(
    "arguments",
    [
        ("check",),
        ("plan",),
        ("render",),
        ("play", "--output", "silent"),
        ("rehearse", "--pedal", "x"),
        ("compare", "x.vtt"),
    ],
    ids=lambda arguments: arguments[0],
)
def test_a_name_that_is_neither_is_told_with_the_nearest_shipped_class_first(arguments: tuple[str, ...]) -> None:
    command, *rest = arguments
    result = guide(command, "desk-brek", *rest)
    assert result.exit_code == 2
    assert result.stderr.startswith(f"desk-brek: {NOT_THERE} (those that do: desk-break, ")
    assert sorted(result.stderr.rstrip(")\n").split("those that do: ")[1].split(", ")) == NAMES


def test_every_command_whose_help_speaks_of_a_class_file_takes_the_name_of_a_shipped_class() -> None:
    said = {name: " ".join(guide(name, "--help").stdout.split()) for name in COMMANDS}
    taking = [name for name, text in said.items() if "FILE is a class file" in text]
    assert taking == ["check", "plan", "sheet", "play", "rehearse", "compare", "render", "series", "picture"]
    assert all("or the name of a class that comes with the program" in said[name] for name in taking)


def test_the_rest_is_checked_where_one_name_is_neither() -> None:
    result = guide("check", "nowhere", "starter")
    assert result.exit_code == 2
    assert f"{shipped_classes()['starter']}: no problems found" in result.stdout


def test_a_path_in_a_folder_is_no_name() -> None:
    assert guide("plan", "no/where.yaml").stderr == f"{Path('no', 'where.yaml')}: there is no such file\n"


@pytest.mark.parametrize("name", NAMES)
def test_a_copy_keeps_its_title_says_where_it_comes_from_and_passes(name: str) -> None:
    assert guide("new", "--from", name).stdout == f"Wrote {name}.yaml. Look at it with: guide plan {name}.yaml\n"
    copy, original = Path(f"{name}.yaml").read_text("utf-8"), shipped_classes()[name].read_text("utf-8")
    assert copy.splitlines()[1] == f"# A copy of `{name}`, which comes with the program."
    titles = [next(line for line in text.splitlines() if line.startswith("title:")) for text in (copy, original)]
    assert titles[0] == titles[1]
    checked = guide("check", f"{name}.yaml")
    assert checked.exit_code == 0
    assert checked.stdout.startswith(f"{name}.yaml: no problems found")


def test_a_copy_may_have_a_name_and_a_title_of_its_own() -> None:
    guide("new", "--from", "starter", "noon", "--title", "Noon by the lake")
    assert json.loads(guide("plan", "--json", "noon").stdout)["title"] == "Noon by the lake"


def test_a_copy_never_goes_over_another_file() -> None:
    own_class("starter.yaml")
    refused = guide("new", "--from", "starter")
    assert refused.exit_code == 2
    assert "there is a file of that name already" in refused.stderr
    assert Path("starter.yaml").read_text("utf-8").startswith("title: Mine")


def test_a_copy_of_no_shipped_class_is_refused_with_those_there_are() -> None:
    refused = guide("new", "--from", "lakside-mornin", "x.yaml")
    assert refused.exit_code == 2
    assert refused.stderr.startswith(
        "lakside-mornin: no class of that name comes with the program (those that do: lakeside-morning, "
    )
    assert not Path("x.yaml").exists()


def test_new_needs_a_name_for_the_file_or_a_class_to_copy() -> None:
    assert "name the file to write (such as `guide new evening.yaml`)" in guide("new").stderr


def test_what_was_done_is_not_written_into_the_installed_program(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("guide.cli.write_back.PACKAGE", tmp_path)
    own_class("starter.yaml")
    with pytest.raises(UnusableChoice) as refused:
        check_has_file("starter.yaml")
    assert str(refused.value) == (
        "starter.yaml: this class comes with the program and stays as it is (make a copy: guide new --from starter)"
    )
