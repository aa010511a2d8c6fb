"""The picture that a sound file bears: read back by others, whatever the container, and no sound changes for it."""

import base64
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import mutagen
import numpy as np
import pytest
import soundfile
from click.testing import CliRunner
from export_samples import blocks, lakeside, murmur, tags
from mutagen.flac import Picture
from mutagen.mp4 import MP4Cover
from numpy.typing import NDArray
from rows import each_row

from guide.cli import main
from guide.export.audio import AUDIO, write_audio
from guide.export.chapters import chapters
from guide.export.cover_image import MOST_BYTES, CoverImage, picture_block, read_cover
from guide.export.picture.drawn import picture_png
from guide.export.seal import whose_sound
from guide.export.tags import Tags
from guide.problem import UnusableChoice

BEARING = [suffix for suffix, audio_format in AUDIO.items() if audio_format.has_cover]
LITTLE = picture_png('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 3 2"><rect width="3" height="1"/></svg>', 30)
COVER = read_cover(LITTLE)


def with_cover(cover: CoverImage | None) -> Tags:
    made = tags(lakeside(), chapters(lakeside()))
    return Tags(made.title, made.by, chapters=made.chapters, made_by="practice-guide", cover=cover)


def borne(path: Path) -> tuple[str, bytes, int]:
    """The one picture that a file bears, its kind, and what it is of, as mutagen reads them."""
    read: Any = mutagen.File(path)
    if path.suffix == ".mp3":
        (frame,) = read.tags.getall("APIC")
        return frame.mime, frame.data, frame.type
    if path.suffix == ".m4a":
        (cover,) = read["covr"]
        return {MP4Cover.FORMAT_PNG: "image/png"}[cover.imageformat], bytes(cover), 3
    blocks_read = [*read.pictures] if path.suffix == ".flac" else [
        Picture(base64.b64decode(line)) for line in read["metadata_block_picture"]
    ]  # fmt: skip
    (picture,) = blocks_read
    assert (picture.width, picture.height) == (30, 20)
    return picture.mime, picture.data, picture.type


@pytest.mark.parametrize("suffix", [suffix for suffix in BEARING if suffix != ".m4a"])
def test_the_cover_comes_back_and_the_sound_is_the_same(tmp_path: Path, suffix: str) -> None:
    """Source: mutagen; ID3v2.3.0, 4.15; RFC 9639, 8.8: picture type 3 is the front cover."""
    bare, bearing = tmp_path / f"bare{suffix}", tmp_path / f"bearing{suffix}"
    for path, cover in ((bare, None), (bearing, COVER)):
        write_audio(path, blocks(murmur(30_000)), with_cover(cover))
    assert borne(bearing) == ("image/png", LITTLE, 3)
    one, two = (soundfile.read(path, dtype="float32")[0] for path in (bare, bearing))
    assert np.array_equal(one, two)
    assert whose_sound(bearing) == ""


@pytest.mark.parametrize("suffix", [".flac", ".ogg", ".opus"])
def test_a_cover_of_many_pages_harms_neither_tags_nor_sound(tmp_path: Path, suffix: str) -> None:
    large = CoverImage(LITTLE + bytes(MOST_BYTES - len(LITTLE)), "image/png", 30, 20)
    path = tmp_path / f"class{suffix}"
    write_audio(path, blocks(murmur(10_000)), with_cover(large))
    assert borne(path)[1] == large.data
    assert len(soundfile.read(path)[0]) == 10_000
    assert whose_sound(path) == ""


def test_the_size_of_a_jpeg_is_found_behind_its_other_segments() -> None:
    """Source: ITU-T T.81, B.1.1 and B.2.2: segments have a marker and a length; a frame has its lines, then columns."""
    jpeg = b"\xff\xd8\xff\xe0\x00\x10JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00\xff\xc4\x00\x04ab"
    jpeg += b"\xff\xc2\x00\x11\x08" + (480).to_bytes(2) + (640).to_bytes(2) + bytes(12)
    assert read_cover(jpeg) == CoverImage(jpeg, "image/jpeg", 640, 480)
    read = Picture(picture_block(read_cover(jpeg)))
    assert (read.mime, read.width, read.height, read.data) == ("image/jpeg", 640, 480, jpeg)


@each_row(
    "data, told",
    [
        (b"", "no PNG or JPEG that can be read"),
        (b"GIF89a" + bytes(40), "no PNG or JPEG that can be read"),
        (b"\xff\xd8\xff\xe0\x00\x10JFIF", "no PNG or JPEG that can be read"),
        (LITTLE + bytes(MOST_BYTES), "the cover has 1.0 MB (make it smaller: 1 MB at most)"),
    ],
)
def test_what_cannot_be_a_cover_is_refused(data: bytes, told: str) -> None:
    with pytest.raises(UnusableChoice) as caught:
        read_cover(data)
    assert told in str(caught.value)


def test_a_cover_that_cannot_be_is_refused_before_anything_is_spoken(tmp_path: Path) -> None:
    text = tmp_path / "cover.png"
    text.write_text("not a picture", encoding="utf-8")
    for path, told in ((text, "the cover is no PNG or JPEG"), (tmp_path / "none.png", "cannot be read: No such file")):
        result = CliRunner().invoke(main, ["render", "starter", "-o", str(tmp_path / "x.mp3"), "--cover", str(path)])
        assert result.exit_code == 2
        assert told in " ".join(result.stderr.split()) and str(path.name) in result.stderr
    assert not (tmp_path / "x.mp3").exists()


@pytest.mark.real
@pytest.mark.parametrize("suffix", BEARING)
def test_ffprobe_sees_the_cover_and_ffmpeg_decodes_the_same_sound(
    tmp_path: Path,
    suffix: str,
    ffprobe: Callable[[Path], dict[str, Any]],
    decoded: Callable[[Path], NDArray[np.float32]],
) -> None:
    sound = []
    for cover in (None, COVER):
        path = tmp_path / f"class{suffix}"
        write_audio(path, blocks(murmur(30_000)), with_cover(cover))
        sound.append(decoded(path))
    assert np.array_equal(*sound)
    probed = ffprobe(path)
    (picture,) = [stream for stream in probed["streams"] if stream["disposition"]["attached_pic"]]
    assert (picture["codec_name"], picture["width"], picture["height"]) == ("png", 30, 20)
    assert len(probed["chapters"]) == 3
    taken = tmp_path / "taken.png"
    command = ["ffmpeg", "-v", "error", "-i", str(path), "-map", "0:v", "-c", "copy", "-f", "image2", str(taken)]
    subprocess.run(command, check=True)
    assert taken.read_bytes() == LITTLE


@pytest.mark.real
def test_an_m4a_bears_its_cover_and_says_what_it_is(tmp_path: Path) -> None:
    """Source: mutagen; ISO/IEC 14496-12, 4.3: the brand stands in the first box."""
    path = tmp_path / "class.m4a"
    write_audio(path, blocks(murmur(30_000)), with_cover(COVER))
    assert borne(path) == ("image/png", LITTLE, 3)
    assert path.read_bytes()[4:12] == b"ftypM4A "
    assert whose_sound(path) == ""
