"""The pages say what is so: their outputs are real, their commands run, their links lead somewhere."""

import re
import subprocess
import tomllib
from difflib import unified_diff
from pathlib import Path

import pytest
from fill import ROOT, SAME, alike, made_anew, pages

from guide.cli import COMMANDS
from guide.ready.make_ready import make_ready

README = (ROOT / "README.md").read_text(encoding="utf-8")


each_page = pytest.mark.parametrize("page", pages(), ids=lambda page: page.relative_to(ROOT).as_posix())


@each_page
def test_every_output_is_what_the_commands_print(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    assert made_anew(text, SAME) == text


@pytest.mark.slow
@each_page
def test_every_output_is_what_the_commands_print_with_the_voice_of_this_machine(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    made = made_anew(text, {"run", "run, at the end", "run, own voice"})
    assert alike(text, made), "\n".join(unified_diff(text.splitlines(), made.splitlines(), lineterm=""))


@pytest.mark.slow
def test_the_picture_of_a_track_has_its_levels_with_the_voice_of_this_machine() -> None:
    """Made anew by `python tests/readme/music_picture.py`. Another processor's voice may move a level a little."""
    import music_picture

    shown, made = (
        [int(level) for level in re.findall(r"[L ][0-9.]+ ([0-9]+)", text)]
        for text in (
            music_picture.PICTURE.read_text(encoding="utf-8"),
            music_picture.drawn(music_picture.levels_dbfs(make_ready(music_picture.CLASS))),
        )
    )
    assert abs(len(shown) - len(made)) <= 3
    off_px = [abs(one - other) for one, other in zip(shown, made, strict=False)]
    assert len(off_px) > 300 and sum(off > 2 * music_picture.A_DB for off in off_px) < len(off_px) / 10


@pytest.mark.parametrize("name", COMMANDS)
def test_the_page_of_the_commands_shows_what_each_of_them_prints(name: str) -> None:
    page = (ROOT / "guide" / "cli" / "README.md").read_text(encoding="utf-8")
    section = page.partition(f"\n## guide {name}\n")[2].partition("\n## ")[0]
    assert re.search(rf"<!-- run[a-z, ]*: guide {name}\b", section) or "![" in section


def test_the_first_page_is_short() -> None:
    assert len(README.splitlines()) < 250


@pytest.mark.parametrize(
    ("shown", "made", "told"),
    [
        ("ends 6:00, -18.0 LUFS", "ends 6:00, -18.0 LUFS", True),
        ("ends 6:00, -18.0 LUFS", "ends 5:59, -17.9 LUFS", True),
        ("ends 6:00, -18.0 LUFS", "ends 6:03, -18.0 LUFS", False),
        ("ends 6:00, -18.0 LUFS", "ends 6:00, -18.2 LUFS", False),
        ("ends 6:00, 52 cues", "ends 6:00, 53 cues", False),
        ("ends 6:00, 52 cues", "ends 6:00, 52 words", False),
        ("ends 1:59:59", "ends 2:00:00", True),
        ("Python 3.11.7", "Python 3.11.7", True),
    ],
)
def test_another_voice_of_the_same_length_may_change_a_figure_by_its_last_place(
    shown: str, made: str, told: bool
) -> None:
    assert alike(shown, made) is told


def test_every_library_we_depend_on_is_in_the_table_with_its_reason() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"]
    tested = [
        line for path in (ROOT / "tests").glob("requirements*.txt") for line in path.read_text("utf-8").splitlines()
    ]
    wanted = [*project["dependencies"], *(line for lines in extras.values() for line in lines), *tested]
    for line in wanted:
        name = re.match(r"[A-Za-z0-9][A-Za-z0-9._-]*", line)
        if name is not None and name[0] != "practice-guide":
            assert f"| {name[0]} " in README, f"{name[0]} is not in the README's table"


@each_page
def test_every_link_to_a_file_leads_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#]+)[^)]*\)", page.read_text(encoding="utf-8")):
        if "://" not in target:
            assert (page.parent / target).exists(), f"{page} links to {target}"


def test_every_page_is_reached_from_the_first() -> None:
    found, new = set[Path](), [ROOT / "README.md"]
    while new:
        page = new.pop()
        found.add(page)
        links = re.findall(r"\]\(([^)#]+\.md)[^)]*\)", page.read_text(encoding="utf-8"))
        new += [path for link in links if (path := (page.parent / link).resolve()) not in found]
    assert set(pages()) <= found


def test_the_full_check_runs_the_test_command_of_the_readme() -> None:
    """What the script itself takes from the page, by its own function, is the line that stands there."""
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    taken_by = re.search(r"^readme\(\) .+$", script, re.MULTILINE)
    assert taken_by is not None
    for name in ("render command", "test command"):
        line = re.search(rf"<!-- {name} -->\n```sh\n(.+)\n```", README)
        assert line is not None
        assert f" bash -euxc \"$(readme '{name}')\"\n" in script
        taken = subprocess.run(
            ["bash", "-c", f"{taken_by[0]}\nreadme '{name}'"], cwd=ROOT, capture_output=True, text=True, check=True
        )
        assert taken.stdout == f"{line[1]}\n"
