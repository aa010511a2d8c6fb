"""The pictures of the README show what the program shows: each moment is come to again, in a real terminal."""

import importlib.util
import re
import sys
from pathlib import Path
from types import ModuleType

import pytest
from hall import need

pytestmark = [pytest.mark.real, pytest.mark.paced]

README = Path(__file__).resolve().parents[1] / "readme"


def pictures() -> ModuleType:
    spec = importlib.util.spec_from_file_location("readme_pictures", README / "pictures.py")
    assert spec is not None and spec.loader is not None
    made = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = made
    spec.loader.exec_module(made)
    return made


@pytest.mark.parametrize("name", ["hold", "move", "paused", "rehearsed"])
def test_a_picture_is_what_is_shown_at_its_moment(name: str, tmp_path: Path) -> None:
    need("tmux", mend="sudo apt install tmux")
    made = pictures()
    rows = made.taken(name, tmp_path).split("\n")
    drawing = made.screen_picture
    shown = {
        part
        for row in made.MOMENTS[name].same
        for part in drawing.row_drawn(rows[row], drawing.AROUND + row * drawing.HIGH)
    }
    kept = (made.FOLDER / f"{name}.svg").read_text(encoding="utf-8")
    assert shown and shown <= set(kept.splitlines())
    assert re.findall(r"https?://[^\"]+", kept) == ["http://www.w3.org/2000/svg"]
