"""`guide poses`: what it finds, how it shows a pose, and what it says when it finds nothing."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from examples import FULL

from guide.cli import main, poses
from guide.drawing.text_width import width
from guide.export.poses_text import LEAST_COLUMNS
from guide.problem import MachineTrouble
from guide.sequence.caution import CAUTION
from guide.sequence.poses.library import Library
from guide.sequence.poses.library_source import read_file
from guide.sequence.poses.pose import ALSO_CALLED, Base, Condition, Does
from guide.sequence.poses.shipped_library import shipped

LAKE = """\
poses:
  lake:
    also: [still water, sarasana]
    sanskrit: sarāsana
    base: seated
    sides: yes
    does: [twist, rest]
    strength: moderate
    after: [shore]
    rests: [shore]
    props: [cushion, blanket]
    easier:
      say: Sit on the cushion.
      pose: shore
    stronger: Close your eyes.
    enter: Sit down, and turn to the <side> as though you looked along the water for a boat that is late today.
    say:
      - Rest the <side> hand behind you.
      - Let your breath grow quiet.
    leave: Turn to the front.
    cautions:
      knee: Stretch the leg.
      blood pressure: Keep your eyes open.
    hold: 3 to 8 breaths
    usual: 4 breaths
    head low: yes
  shore:
    base: standing
    hold: 1 breath
    cautions:
      balance: Hold a post.
"""

LAKE_PAGE = """\
Lake (sarāsana)

  also            still water, sarasana
  base            seated
  sides           right and left
  does            twist, rest
  strength        moderate
  hold            4 breaths (3 to 8)
  load            the head below the heart
  after           shore
  rest in         shore
  props           cushion, blanket

  enter           Sit down, and turn to the <side> as though you looked along
                  the water for a boat that is late today.
  say             Rest the <side> hand behind you.
                  Let your breath grow quiet.
  leave           Turn to the front.
  easier          Sit on the cushion. (shore)
  stronger        Close your eyes.

With care for
  knee            Stretch the leg.
  blood pressure  Keep your eyes open.

"""


@pytest.fixture
def lake(monkeypatch: pytest.MonkeyPatch) -> None:
    library = Library(read_file(LAKE.encode(), "lake.yaml"))
    monkeypatch.setattr(poses, "shipped", lambda: library)


@pytest.fixture(autouse=True)
def _of_80_columns(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")


def find(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["poses", *arguments])


@pytest.mark.parametrize("words", ["lake", "Still waters", "sarāsana", "sarasana, left", "water"])
def test_words_that_name_one_pose_show_it_in_full(words: str, lake: None) -> None:
    result = find(*words.split())
    assert result.exit_code == 0
    assert result.stdout.startswith(LAKE_PAGE)
    assert result.stdout.removeprefix(LAKE_PAGE).split() == CAUTION.split()


def test_without_words_every_pose_has_a_line(lake: None) -> None:
    result = find()
    assert result.exit_code == 0
    assert result.stdout == (
        "  name   Sanskrit  does         breaths\n"
        "\n"
        "Standing\n"
        "  shore                         1\n"
        "\n"
        "Seated\n"
        "  lake   sarāsana  twist, rest  3–8\n"
        "\n"
        "2 poses; `guide poses NAME` shows one in full\n"
    )


def test_for_a_condition_each_pose_has_its_caution_and_its_easier_way(lake: None) -> None:
    result = find("--for", "knees", "--for", "balance")
    assert result.exit_code == 0
    told = (
        "Lake (sarāsana)\n"
        "  knee     Stretch the leg.\n"
        "  easier   Sit on the cushion. (shore)\n"
        "\n"
        "Shore\n"
        "  balance  Hold a post.\n"
        "\n"
        "2 poses\n"
        "\n"
    )
    assert result.stdout.startswith(told)
    assert result.stdout.removeprefix(told).split() == CAUTION.split()


def test_what_is_asked_is_asked_together(lake: None) -> None:
    assert "1 pose;" in find("--does", "twist", "--does", "rest", "--base", "seated").stdout
    assert "1 pose;" in find("lake", "--does", "twists").stdout
    for arguments in (["--does", "twist", "--base", "prone"], ["--does", "fold"], ["shore", "--for", "knee"]):
        assert find(*arguments).stdout.startswith("No pose in the library is ")


def test_nothing_found_is_said_with_what_may_have_been_meant(lake: None) -> None:
    for words, told in (
        (["lakke"], "No pose in the library is found by “lakke” (did you mean “guide poses lake”?)\n"),
        (
            ["stil", "watr"],
            "No pose in the library is found by “stil watr” (did you mean “guide poses still water”?)\n",
        ),
        (
            ["moon", "salutation"],
            "“moon salutation” is a block of steps, and not a pose (write `block: moon salutation` in a class).\n",
        ),
        (["xyzzy"], "No pose in the library is found by “xyzzy” (`guide poses` lists them all)\n"),
        (["--for", "ankle"], "No pose in the library is like that.\n"),
    ):
        result = find(*words)
        assert (result.exit_code, result.stdout) == (0, told)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (
            ["--for", "liver"],
            f"'--for': “liver” is none of these: {', '.join([*(each.value for each in Condition), *ALSO_CALLED])}",
        ),
        (["--does", "flying"], f"'--does': “flying” is none of these: {', '.join(each.value for each in Does)}"),
        (["--base", "air"], f"'--base': “air” is none of these: {', '.join(each.value for each in Base)}"),
    ],
)
def test_an_unknown_condition_is_met_with_those_there_are(arguments: list[str], told: str) -> None:
    result = find(*arguments)
    assert result.exit_code == 2
    assert f"Invalid value for {told}\n" in result.stderr


def test_other_poses_of_the_same_words_are_named_below_the_pose(lake: None, monkeypatch: pytest.MonkeyPatch) -> None:
    many = "".join(f"  lake {word}:\n    base: prone\n" for word in "abcdefgh")
    library = Library(read_file((LAKE + many).encode(), "lake.yaml"))
    monkeypatch.setattr(poses, "shipped", lambda: library)
    told = " ".join(find("lake").stdout.split())
    assert "in their names: lake a, lake b, lake c, lake d, lake e, lake f, … This is not" in told


@pytest.mark.parametrize("columns", [40, 60, 80, 100])
def test_no_line_passes_the_width_and_none_ends_in_a_space(columns: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    shown = [find(), find("--for", "knee"), *(find(pose.name) for pose in list(shipped())[::7])]
    for line in (line for result in shown for line in result.stdout.splitlines()):
        assert width(line) <= max(columns, LEAST_COLUMNS), line
        assert line == line.rstrip()


def test_a_list_at_80_columns_has_every_name_whole() -> None:
    lines = find().stdout.splitlines()
    for pose in shipped():
        assert any(line.startswith(f"  {pose.name} ") for line in lines), pose.name


def test_every_pose_is_shown_by_its_name() -> None:
    for pose in [*shipped()][:: 1 if FULL else 6]:
        result = find(*pose.name.split())
        assert result.exit_code == 0
        assert result.stdout.lower().startswith(pose.name)


def test_an_installation_without_the_library_says_so(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def none() -> Library:
        raise MachineTrouble("the pose library is missing")

    monkeypatch.setattr(poses, "shipped", none)
    result = find("tree")
    assert (result.exit_code, result.stderr) == (1, "the pose library is missing\n")


def test_a_figure_is_written_as_svg(tmp_path: Path) -> None:
    target = tmp_path / "triangle.svg"
    result = CliRunner().invoke(main, ["poses", "trikonasana", "--figure", str(target)])
    assert (result.exit_code, result.output) == (0, "")
    assert "<title>triangle</title>" in target.read_text("utf-8")
    light = target.read_bytes()
    CliRunner().invoke(main, ["poses", "triangle", "--figure", str(target), "--dark"])
    assert target.read_bytes() != light


@pytest.mark.parametrize(
    "words, name, what",
    [
        ("triangle", "t.gif", "t.gif: a figure is an .svg or a .png (end the name so)"),
        ("warrior", "t.svg", "a figure is of one pose (name it: `guide poses triangle --figure triangle.svg`)"),
        ("standing", "t.svg", "a figure is of one pose"),
    ],
)
def test_a_figure_that_cannot_be_drawn_is_told(tmp_path: Path, words: str, name: str, what: str) -> None:
    result = CliRunner().invoke(main, ["poses", words, "--figure", str(tmp_path / name)])
    assert result.exit_code == 2
    assert what in result.output.replace("\n", " ")


def test_a_pose_without_a_figure_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("guide.figures.shipped_figures.shipped_figures", dict)
    result = CliRunner().invoke(main, ["poses", "tree", "--figure", str(tmp_path / "tree.svg")])
    assert (result.exit_code, "`tree` has no figure yet" in result.output) == (2, True)
