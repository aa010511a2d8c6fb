"""A file takes the place of none but the program's own, and never of what it is made from."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner
from export_samples import blocks, lakeside, murmur, names
from hypothesis import given, settings
from hypothesis import strategies as st

from guide.cli import main
from guide.export.audio import AUDIO, write_audio
from guide.export.registry import EXPORTERS, TextExporter, write
from guide.export.replacing import Replace
from guide.export.seal import CHANGED, MADE_BY, MADE_ELSEWHERE
from guide.export.tags import Tags
from guide.plan.timeline import Timeline
from guide.problem import UnusableChoice

OF_TIMELINE = {ending: one for ending, one in EXPORTERS.items() if one.subject is Timeline}

CLASS = """title: Lake
sounds: {class: bowl.wav}
blocks from: more.yaml
class:
  - section: Rest
  - rest: 2 s
    say: none
"""

#: Files of her own, by the ending of what would take their place.
HERS = {
    ".vtt": "WEBVTT\n\n00:01.000 --> 00:02.000\nMy own words.\n",
    ".srt": "1\n00:00:01,000 --> 00:00:02,000\nMy own words.\n\n\n",
    ".lrc": "[ti:Mine]\n[00:01.00]My own words.\n",
    ".chapters.vtt": "WEBVTT\n\n00:01.000 --> 00:02.000\nMine\n",
    ".chapters.json": '{\n  "version": "1.2.0",\n  "chapters": []\n}\n',
    ".plan.txt": "0:05  Easy seat\n",
    ".plan.json": "{}",
}


def guide(*words: str) -> tuple[int, str]:
    done = CliRunner().invoke(main, list(words))
    return done.exit_code, done.stderr


@pytest.fixture
def lake(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a class that rings a bell of its own and names a file of blocks."""
    monkeypatch.chdir(tmp_path)
    write_audio(tmp_path / "bowl.wav", blocks(murmur(5000)), Tags("Bowl"))
    (tmp_path / "more.yaml").write_text("blocks:\n  more:\n    - rest: 1 s\n")
    (tmp_path / "lake.yaml").write_text(CLASS)
    return tmp_path


@pytest.mark.parametrize("suffix", AUDIO)
def test_a_recording_of_her_own_stays_and_a_track_of_ours_does_not(tmp_path: Path, suffix: str) -> None:
    path = tmp_path / f"class{suffix}"
    write_audio(path, blocks(murmur(5000)), Tags("Mine", comment=f"made with {MADE_BY}", length_ms=104))
    assert EXPORTERS[suffix].whose(path) == MADE_ELSEWHERE
    write_audio(path, blocks(murmur(5000)), Tags("", made_by=MADE_BY))
    assert EXPORTERS[suffix].whose(path) == ""


@pytest.mark.parametrize("ending", OF_TIMELINE)
def test_captions_and_plans_of_ours_are_replaced_and_hers_stay(tmp_path: Path, ending: str) -> None:
    path = tmp_path / f"class{ending}"
    for _ in range(2):
        write(lakeside(), path)
    path.write_text(HERS[ending.removeprefix(".exact")])
    with pytest.raises(UnusableChoice) as told:
        write(lakeside(), path)
    assert str(told.value) == (
        f"{path}: there is a file of that name already, and {MADE_ELSEWHERE} "
        "(name another, move it away, or write over it with --force)"
    )
    assert path.read_text() == HERS[ending.removeprefix(".exact")] and names(tmp_path) == [path.name]
    write(lakeside(), path, replace=Replace.ANY)
    assert EXPORTERS[ending].whose(path) == ""


@given(st.data())
@settings(deadline=None, max_examples=60)
def test_what_she_changed_in_one_of_ours_makes_it_hers(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    ending = data.draw(st.sampled_from(sorted(set(OF_TIMELINE) - {".srt"})))
    exporter = OF_TIMELINE[ending]
    assert isinstance(exporter, TextExporter)
    path = tmp_path_factory.getbasetemp() / f"changed{ending}"
    text = exporter.seal.put(exporter.text(lakeside()))
    place = data.draw(st.integers(0, len(text) - 1))
    path.write_text(text[:place] + "£" + text[place + data.draw(st.integers(0, 3)) :])
    assert exporter.whose(path) in (CHANGED, MADE_ELSEWHERE)


def test_subrip_that_she_changed_is_hers(tmp_path: Path) -> None:
    path, exporter = tmp_path / "class.srt", OF_TIMELINE[".srt"]
    write(lakeside(), path)
    text = path.read_text()
    assert exporter.whose(path) == "" and len(text) - len(text.rstrip("\n")) >= 4
    for change, why in (
        (text.replace("Mountain.", "Mountain pose."), CHANGED),
        (text.rstrip("\n") + "\n", MADE_ELSEWHERE),
    ):
        path.write_text(change)
        assert exporter.whose(path) == why


def test_an_empty_file_is_nobodys(tmp_path: Path) -> None:
    path = tmp_path / "class.vtt"
    path.touch()
    write(lakeside(), path)
    assert path.read_text().startswith("WEBVTT")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="only where there are pipes with a name")
def test_a_pipe_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "class.vtt")
    with pytest.raises(UnusableChoice, match="this is a device or a pipe"):
        write(lakeside(), tmp_path / "class.vtt", replace=Replace.ANY)


def test_a_render_beside_her_recording_leaves_it_and_writes_nothing(lake: Path) -> None:
    for name, hers in (("lake.mp3", b"her recording"), ("lake.vtt", b"WEBVTT\n\nher captions")):
        (lake / name).write_bytes(hers)
        before = names(lake)
        code, told = guide("render", "lake.yaml")
        assert (code, told.count("\n")) == (2, 1) and told.startswith(f"{name}: there is a file of that name already")
        assert (lake / name).read_bytes() == hers and names(lake) == before
        assert guide("render", "lake.yaml", "--force")[0] == 0
        assert guide("render", "lake.yaml")[0] == 0
        (lake / "lake.mp3").unlink()


def linked(path: Path) -> Path:
    path.with_name("link.wav").symlink_to(path)
    return path.with_name("link.wav")


def hard_linked(path: Path) -> Path:
    path.with_name("twin.wav").hardlink_to(path)
    return path.with_name("twin.wav")


def roundabout(path: Path) -> Path:
    return path.parent / ".." / path.parent.name / path.name


def test_a_take_is_never_written_over_whichever_voice_speaks(lake: Path) -> None:
    take = lake / "takes" / "sit.1.flac"
    take.parent.mkdir()
    take.write_bytes(b"a morning's work")
    says = "this is a take of your own voice, and is never written over (name another file)"
    assert guide("render", "lake.yaml", "-o", str(take), "--force") == (2, f"{take}: {says}\n")
    assert take.read_bytes() == b"a morning's work"


@pytest.mark.parametrize("spelt", [Path, linked, hard_linked, roundabout])
def test_an_input_is_never_written_over_by_any_name(lake: Path, spelt: Callable[[Path], Path]) -> None:
    target, before = spelt(lake / "bowl.wav"), (lake / "bowl.wav").read_bytes()
    code, told = guide("render", "lake.yaml", "-o", str(target), "--force")
    says = "this is a sound that the class rings, and is never written over (name another file)"
    assert (code, told) == (2, f"{target}: {says}\n")
    assert (lake / "bowl.wav").read_bytes() == before


@pytest.mark.parametrize(
    ("name", "target", "says"),
    [
        ("in.mp3", "in.mp3", "in.mp3: this is the class file itself"),
        ("in.vtt", "in.mp3", "in.vtt: this is the class file itself"),
        ("lake.yaml", "more.mp3", "more.mp3: this is a block file of the class"),
    ],
)
def test_nor_are_the_class_and_its_blocks(lake: Path, name: str, target: str, says: str) -> None:
    (lake / "more.yaml").rename(lake / "more.mp3")
    text = CLASS.replace("more.yaml", "more.mp3")
    (lake / name).write_text(text)
    code, told = guide("render", name, "-o", target, "--force")
    assert code == 2 and told.startswith(says)
    assert (lake / name).read_text() == text


def test_one_class_is_not_written_over_another(lake: Path) -> None:
    (lake / "lake.chapters.vtt").write_text(CLASS)
    code, told = guide("render", "lake.yaml", "lake.chapters.vtt", "-o", ".", "--force")
    assert code == 2 and told.startswith("lake.chapters.vtt: this is a class file, and is never written over")
    assert (lake / "lake.chapters.vtt").read_text() == CLASS


def test_a_page_of_hers_and_the_recording_are_not_written_over(lake: Path) -> None:
    (lake / "taught.vtt").write_text("WEBVTT\n\n00:01.000 --> 00:02.000\nRest.\n")
    (lake / "page.html").write_text("<p>hers</p>")
    for name, force, says in (
        ("page.html", (), "there is a file of that name already"),
        ("taught.vtt", ("--force",), "this is what the class is compared with"),
        ("lake.yaml", ("--force",), "this is the class file itself"),
    ):
        before = (lake / name).read_text()
        code, told = guide("compare", "lake.yaml", "taught.vtt", "--html", name, *force)
        assert code == 2 and told.startswith(f"{name}: {says}")
        assert (lake / name).read_text() == before
    for _ in range(2):
        assert guide("compare", "lake.yaml", "taught.vtt", "--html", "new.html")[0] == 0
