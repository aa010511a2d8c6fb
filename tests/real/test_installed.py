"""The program as a stranger has it: a wheel, installed into an environment of its own, far from any clone."""

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

pytestmark = pytest.mark.real


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", str(folder), str(ROOT)]
    subprocess.run(build, check=True)
    (made,) = folder.glob("*.whl")
    return made


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The command `guide` of the environment that the wheel is in."""
    folder = tmp_path_factory.mktemp("environment")
    subprocess.run([sys.executable, "-m", "venv", str(folder)], check=True)
    subprocess.run([folder / "bin" / "pip", "install", "-q", str(wheel)], check=True)
    return folder / "bin" / "guide"


def guide(command: Path, folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """The installed command run in `folder`, with no way back to this clone."""
    own = {"HOME": str(folder), "PATH": os.environ["PATH"]}
    return subprocess.run([command, *arguments], cwd=folder, env=own, capture_output=True, text=True, check=False)


def test_every_page_beside_the_program_is_in_the_wheel(wheel: Path) -> None:
    held = set(zipfile.ZipFile(wheel).namelist())
    pages = {path.relative_to(ROOT) for path in (ROOT / "guide").rglob("*.md")}
    assert {page.as_posix() for page in pages} <= held
    assert {"guide/sequences/README.md", "guide/sounds/README.md", "guide/sequences/blocks/basics.yaml"} <= held


def test_a_shipped_class_is_planned_and_rendered_by_its_name(installed: Path, tmp_path: Path) -> None:
    assert guide(installed, tmp_path, "plan", "starter").stdout.startswith("My class")
    assert guide(installed, tmp_path, "render", "starter", "--captions", "none").stdout.startswith("starter.mp3: 7:")


def test_a_copy_of_a_shipped_class_passes_the_check(installed: Path, tmp_path: Path) -> None:
    guide(installed, tmp_path, "new", "--from", "evening-lake")
    checked = guide(installed, tmp_path, "check", "evening-lake")
    assert checked.stdout.startswith("evening-lake.yaml: no problems found")


def test_the_installed_classes_are_not_written_into(installed: Path, tmp_path: Path) -> None:
    refused = guide(installed, tmp_path, "compare", "starter", "x.vtt", "--keep")
    assert refused.returncode == 2
    assert "comes with the program and stays as it is (make a copy: guide new --from starter)" in refused.stderr
