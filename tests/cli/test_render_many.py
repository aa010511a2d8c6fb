"""Several classes rendered side by side: lines in the order of the files, failures beside the rest, and what is left
alone because nothing has changed."""

import json
from pathlib import Path

import pytest
import soundfile
from click.testing import CliRunner, Result

from guide.cli import main
from guide.export.made_record import NAME

REST = "title: Rest {0}\nbells: {{class: none}}\nclass:\n  - rest: {0} s\n    say: none\n"

ANEW = "(--again makes {} anew)"


@pytest.fixture(autouse=True)
def _place_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("guide.cli.render_many.cores", lambda: 1)
    Path("out").mkdir()
    for seconds in (1, 2, 3):
        Path(f"rest{seconds}.yaml").write_text(REST.format(seconds), encoding="utf-8")


def render(*words: str, files: tuple[str, ...] = ("rest1.yaml", "rest2.yaml", "rest3.yaml")) -> Result:
    return CliRunner().invoke(main, ["render", *files, "-o", "out", "--format", "wav", *words])


def written(result: Result) -> list[str]:
    """The names of the tracks that a run wrote, as it told them."""
    return [line.partition(":")[0] for line in result.stdout.splitlines() if "LUFS" in line]


@pytest.mark.real
def test_two_processes_write_what_one_writes_and_tell_it_in_the_order_of_the_files(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    Path("out").rmdir()  # and a folder that is not there is made
    alone = render()
    tracks = {path.name: path.read_bytes() for path in Path("out").iterdir()}
    monkeypatch.setattr("guide.cli.render_many.cores", lambda: 2)
    side_by_side = render("--again")
    assert side_by_side.stdout == alone.stdout
    assert written(alone) == ["out/rest1.wav", "out/rest2.wav", "out/rest3.wav"]
    assert alone.stdout.endswith("3 tracks: 3 written\n")
    assert {path.name: path.read_bytes() for path in Path("out").iterdir()} == tracks


def test_one_that_fails_keeps_none_of_the_others_up() -> None:
    Path("rest2.yaml").write_text("class: [{pose: tree}]\n", encoding="utf-8")
    result = render(files=("rest1.yaml", "rest2.yaml", "nowhere.yaml", "rest3.yaml"))
    assert result.exit_code == 2
    assert written(result) == ["out/rest1.wav", "out/rest3.wav"]
    assert "rest2.yaml:1:1: a class needs `title`" in result.stderr
    told = result.stdout.splitlines()[-3:]
    assert told[0] == "4 tracks: 2 written, 2 failed:"
    assert told[1].startswith("  rest2.yaml:1:1: a class needs `title`")
    assert told[2].startswith("  nowhere.yaml: ")


def test_what_has_not_changed_is_left_alone_and_what_has_is_not() -> None:
    render()
    again = render()
    assert again.exit_code == 0
    assert again.stdout.splitlines()[0] == "out/rest1.wav: nothing has changed"
    assert again.stdout.splitlines()[-1] == f"3 tracks: 0 written, 3 unchanged {ANEW.format('them')}"
    # A date is no change, and words are; a track that was edited or deleted is none that was left.
    Path("rest1.yaml").touch()
    Path("rest2.yaml").write_text(REST.format(2).replace("Rest 2", "Rest"), encoding="utf-8")
    Path("out/rest3.wav").unlink()
    result = render()
    assert written(result) == ["out/rest2.wav", "out/rest3.wav"]
    assert result.stdout.splitlines()[-1] == f"3 tracks: 2 written, 1 unchanged {ANEW.format('it')}"
    track = Path("out/rest1.wav")
    track.write_bytes(track.read_bytes()[:-1] + b"!")
    assert written(render()) == ["out/rest1.wav"]
    assert written(render("--again")) == ["out/rest1.wav", "out/rest2.wav", "out/rest3.wav"]


def test_all_that_goes_into_a_track_is_what_it_was_made_of() -> None:
    """A block file and a bell of the class, and what is asked; but not by what leave it was written."""
    soundfile.write("bell.wav", [0.5, -0.5] * 2400, 48_000)
    Path("blocks.yaml").write_text("blocks:\n  quiet:\n    - rest: 2 s\n      say: none\n", encoding="utf-8")
    text = "title: Quiet\nblocks from: [blocks.yaml]\nsounds: {class: bell.wav}\nclass: [{block: quiet}]\n"
    Path("quiet.yaml").write_text(text, encoding="utf-8")
    one = ("quiet.yaml",)
    assert written(render(files=one)) == ["out/quiet.wav"]
    assert written(render("--force", files=one)) == []
    assert written(render("--stereo", files=one)) == ["out/quiet.wav"]
    assert written(render(files=one)) == ["out/quiet.wav"]
    blocks = Path("blocks.yaml")
    blocks.write_text(blocks.read_text(encoding="utf-8").replace("2 s", "3 s"), encoding="utf-8")
    assert written(render(files=one)) == ["out/quiet.wav"]
    soundfile.write("bell.wav", [0.4, -0.4] * 2400, 48_000)
    assert written(render(files=one)) == ["out/quiet.wav"]
    assert written(render(files=one)) == []


@pytest.mark.parametrize("name", ["rest3.yaml", "track.mp3"])
def test_what_is_no_folder_is_not_made_one(name: str) -> None:
    result = CliRunner().invoke(main, ["render", "rest1.yaml", "rest2.yaml", "-o", name])
    assert (result.exit_code, result.stderr) == (
        2,
        f"{name}: is not a folder, and 2 classes need one (name one)\n",
    )


def test_a_file_that_is_hers_stays_and_the_rest_is_written() -> None:
    Path("out/rest2.wav").write_bytes(b"her own recording")
    result = render()
    assert result.exit_code == 2
    assert written(result) == ["out/rest1.wav", "out/rest3.wav"]
    assert Path("out/rest2.wav").read_bytes() == b"her own recording"
    assert written(render("--force")) == ["out/rest2.wav"]


@pytest.mark.parametrize("kept", [b"", b"[]", b'{"tracks": {"rest1.wav": 3}}', b'{"tracks": 1}', b"\xff"])
def test_a_record_that_is_damaged_costs_time_and_nothing_else(kept: bytes) -> None:
    render(files=("rest1.yaml",))
    Path("out", NAME).write_bytes(kept)
    assert written(render(files=("rest1.yaml",))) == ["out/rest1.wav"]
    assert json.loads(Path("out", NAME).read_bytes())["tracks"].keys() == {"rest1.wav"}
