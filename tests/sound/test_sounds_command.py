"""`guide sounds`: listing, making and playing the palette."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from guide.cli import main
from guide.sequence.sound_names import PALETTE

SHIPPED = Path(__file__).parents[2] / "sounds"


def run(*words: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(main, ["sounds", *words])
    return result.exit_code, result.stdout, result.stderr


def test_the_list_names_every_sound_with_its_length_and_its_role() -> None:
    code, out, _ = run()
    assert code == 0
    lines = out.splitlines()
    assert len(lines) == len(PALETTE)
    assert lines[0] == "deep bowl    9.6 s  a large bronze bowl, low and long (default for class)"


def test_the_sounds_are_made_where_asked(tmp_path: Path) -> None:
    code, out, _ = run("--write", str(tmp_path / "made"))
    assert code == 0
    assert out.splitlines()[0] == str(tmp_path / "made" / "deep-bowl.wav")
    assert (tmp_path / "made" / "tick.wav").read_bytes() == (SHIPPED / "tick.wav").read_bytes()


def test_a_place_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file")
    code, _, err = run("--write", str(tmp_path / "taken"))
    assert code == 1
    assert err == f"{tmp_path / 'taken'}: the sounds cannot be written there: File exists\n"


def test_a_sound_that_is_not_there_cannot_be_played() -> None:
    code, _, err = run("--play", "gong")
    assert code == 2
    assert err.startswith("sound 'gong': the palette has deep bowl, small bowl")


def test_without_the_player_the_line_to_type_is_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "simpleaudio", None)
    monkeypatch.setattr("guide.cli.sounds._LAST_PYTHON_THAT_PLAYS", sys.version_info[:2])
    code, _, err = run("--play", "tick")
    assert code == 1
    assert "pip install 'practice-guide[play]'" in err
    if sys.platform.startswith("linux"):
        assert "sudo apt install libasound2-dev gcc && " in err


def test_on_a_python_that_the_player_would_crash_it_is_not_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("guide.cli.sounds._LAST_PYTHON_THAT_PLAYS", (3, 10))
    code, _, err = run("--play", "tick")
    assert code == 1
    assert err == "playing from here works with Python 3.11 only; type: guide sounds --write . and open the file\n"


def play(tmp_path: Path, device: str) -> subprocess.CompletedProcess[str]:
    """Play a sound through an ALSA device of the test's own."""
    if os.environ.get("CI") is None:
        pytest.importorskip("simpleaudio")
    (tmp_path / "asound.conf").write_text(f"pcm.!default {{ {device} }}\n")
    return subprocess.run(
        [sys.executable, "-m", "guide", "sounds", "--play", "rising"],
        env={**os.environ, "ALSA_CONFIG_PATH": str(tmp_path / "asound.conf")},
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )


@pytest.mark.real
@pytest.mark.skipif(sys.version_info >= (3, 12), reason="simpleaudio crashes there, and the command refuses")
def test_a_sound_is_played_whole_and_unchanged(tmp_path: Path) -> None:
    from guide.sound.bells import pcm

    file = tmp_path / "heard.raw"
    done = play(tmp_path, f'type file\n slave {{ pcm {{ type null }} }}\n file "{file}"\n format "raw"')
    assert (done.returncode, done.stderr) == (0, "")
    assert pcm("rising").astype("<i2").tobytes() in file.read_bytes()


@pytest.mark.real
@pytest.mark.skipif(sys.version_info >= (3, 12), reason="simpleaudio crashes there, and the command refuses")
def test_without_a_loudspeaker_it_says_so(tmp_path: Path) -> None:
    done = play(tmp_path, "type hw\n card 77")
    assert done.returncode == 1
    assert "there is no loudspeaker that can be used: " in done.stderr
    assert "Traceback" not in done.stderr
