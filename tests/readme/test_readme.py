"""The README says what is so: its outputs are real, its commands run, its table names what is installed."""

import re
import subprocess
import tomllib
from difflib import unified_diff
from pathlib import Path

import pytest
from fill import alike, made_anew, made_of_kept_speech

from guide.sequence.expand import expand
from guide.sequence.reader import read_text

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_every_output_and_the_command_reference_are_what_the_commands_print() -> None:
    assert made_of_kept_speech(README) == README


@pytest.mark.slow
def test_every_output_is_what_the_commands_print_with_the_voice_of_this_machine() -> None:
    made = made_anew(README, {"run", "run, own voice"})
    assert alike(README, made), "\n".join(unified_diff(README.splitlines(), made.splitlines(), lineterm=""))


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
    wanted = [*project["dependencies"], *(line for lines in extras.values() for line in lines)]
    for line in wanted:
        name = re.match(r"[A-Za-z0-9._-]+", line)
        assert name is not None
        if name[0] != "practice-guide":
            assert f"| {name[0]} " in README, f"{name[0]} is not in the README's table"


def test_the_class_that_the_page_shows_is_one() -> None:
    example = re.search(r"^```yaml\n(.+?)^```", README, re.DOTALL | re.MULTILINE)
    assert example is not None
    steps = expand(read_text(example[1], "README.md", ROOT / "sequences"))
    assert {section.title for section in steps.sections} == {"Arriving", "Standing"}


@pytest.mark.parametrize(
    "page", ["README.md", "DEVELOPERS.md", "guide/README.md", "sequences/README.md", "sounds/README.md"]
)
def test_every_link_to_a_file_leads_somewhere(page: str) -> None:
    text = (ROOT / page).read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)#]+)\)", text):
        if "://" not in target:
            assert ((ROOT / page).parent / target).exists(), f"{page} links to {target}"


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
