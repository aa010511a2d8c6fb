"""Chapters as taught, in a copy of the recording: the streams are the same, and no recording is written over."""

import wave
from dataclasses import replace
from pathlib import Path

import av
import pytest
from page_samples import short

from guide.export.registry import TAUGHT_CHAPTERS, exporter_of, write_one
from guide.export.replacing import Replace
from guide.problem import UnusableChoice


@pytest.fixture
def recording(tmp_path: Path) -> Path:
    path = tmp_path / "class.wav"
    with wave.open(str(path), "wb") as file:
        file.setparams((1, 2, 8_000, 0, "NONE", ""))
        file.writeframes(bytes(range(256)) * 4 * 340 * 16)
    return path


def test_a_copy_has_the_chapters_and_the_same_sound(recording: Path) -> None:
    comparison, target = replace(short(), recording=str(recording)), recording.with_name("with.mkv")
    write_one(comparison, exporter_of(target, TAUGHT_CHAPTERS), target, Replace.OWN)
    with av.open(str(target)) as film, av.open(str(recording)) as before:
        chapters = [(one["metadata"]["title"], one["start"] * one["time_base"]) for one in film.chapters()]
        sound = [b"".join(bytes(packet) for packet in one.demux(audio=0)) for one in (film, before)]
    assert chapters[0] == (comparison.title, 0) or chapters[0][0] in comparison.sections
    assert [title for title, _ in chapters if title in comparison.sections] == list(comparison.sections)
    assert sound[0] == sound[1] != b""


def test_a_film_that_is_there_is_left_alone(recording: Path) -> None:
    comparison, target = replace(short(), recording=str(recording)), recording.with_name("mine.mp4")
    target.write_bytes(b"mine")
    with pytest.raises(UnusableChoice, match="a film may be the only one of its kind"):
        write_one(comparison, exporter_of(target, TAUGHT_CHAPTERS), target, Replace.OWN)
    assert target.read_bytes() == b"mine"


def test_captions_alone_have_nothing_to_copy(tmp_path: Path) -> None:
    comparison, target = replace(short(), recording="class.vtt"), tmp_path / "with.mp4"
    with pytest.raises(UnusableChoice) as told:
        write_one(comparison, exporter_of(target, TAUGHT_CHAPTERS), target, Replace.OWN)
    what = "class.vtt: chapters go into a copy of a recording, and none is given"
    assert str(told.value) == f"{what} (give the recording beside its captions, or name a file .txt or .vtt)"
    assert not target.exists()
