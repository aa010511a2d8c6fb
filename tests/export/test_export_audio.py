"""Sound files: time zero is time zero, the length is exact, tags come back, and every failure is told and clean."""

import errno
import importlib.util
import io
import os
import resource
import subprocess
import threading
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import av
import mutagen
import numpy as np
import pytest
import soundfile
from export_samples import RATE_HZ, blocks, clicks, lakeside, missing, murmur, names, tags
from hypothesis import given, settings
from hypothesis import strategies as st
from mutagen.id3 import ID3
from numpy.typing import NDArray
from rows import each_row

from guide.export.audio import AUDIO, opus, wav, write_audio
from guide.export.audio.base import Encoder, Frames, Sink
from guide.export.audio.pump import PIECE_FRAMES, WAITING_PIECES, encode
from guide.export.chapters import chapters
from guide.export.tags import Tags
from guide.plan.timeline import Chapter
from guide.problem import MachineTrouble, UnusableChoice

BY_SNDFILE = [".wav", ".flac", ".mp3", ".opus", ".ogg"]
CLICKS = (0, 48_000, 96_001, 191_000)
FRAMES = 192_017


def loudest_near(sound: NDArray[np.float32], frame: int) -> int:
    """Where the loudest frame within 20 ms of `frame` is."""
    start = max(frame - 960, 0)
    return start + int(np.abs(sound[start : frame + 960, 0]).argmax())


@pytest.mark.parametrize("suffix", BY_SNDFILE)
def test_clicks_come_back_at_their_frames_and_the_length_is_exact(tmp_path: Path, suffix: str) -> None:
    """Source: libsndfile (with libFLAC, libvorbis, libopus, mpg123), a reader that is not the writer of the head."""
    path = tmp_path / f"class{suffix}"
    write_audio(path, blocks(clicks(FRAMES, CLICKS)), Tags("Clicks"))
    sound, rate = soundfile.read(path, dtype="float32", always_2d=True)
    assert (rate, sound.shape) == (RATE_HZ, (FRAMES, 2))
    assert [loudest_near(sound, at) for at in CLICKS] == list(CLICKS)


@pytest.mark.real
@pytest.mark.parametrize("suffix", AUDIO)
def test_clicks_come_back_at_their_frames_in_ffmpeg(
    tmp_path: Path,
    suffix: str,
    decoded: Callable[[Path], NDArray[np.float32]],
    ffprobe: Callable[[Path], dict[str, Any]],
) -> None:
    """Source: ffmpeg and ffprobe.

    What ffmpeg makes of the last Vorbis block is up to 1,024 frames off, with a file of sox just the same; it does not
    cut the last AAC frame. The length that both files state is exact.
    """
    path = tmp_path / f"class{suffix}"
    write_audio(path, blocks(clicks(FRAMES, CLICKS)), Tags("Clicks"))
    sound = decoded(path)
    assert [loudest_near(sound, at) for at in CLICKS] == list(CLICKS)
    if suffix in (".ogg", ".m4a"):
        assert float(ffprobe(path)["format"]["duration"]) == pytest.approx(FRAMES / RATE_HZ, abs=1e-6)
        assert abs(len(sound) - FRAMES) <= 1024
    else:
        assert len(sound) == FRAMES


@given(st.integers(1, 9000), st.data())
@settings(deadline=None, max_examples=60)
def test_an_mp3_of_any_length_has_exactly_that_length(frames: int, data: st.DataObject) -> None:
    """Source: mpg123 in libsndfile, which believes the LAME frame. A click is where it was put."""
    at = data.draw(st.integers(0, frames - 1))
    file = io.BytesIO()
    sink = Sink(file)
    encode(blocks(clicks(frames, (at,)), 1000), AUDIO[".mp3"].start(sink, Tags("")), sink)
    file.seek(0)
    back, _ = soundfile.read(file, dtype="float32", always_2d=True)
    assert len(back) == frames
    assert loudest_near(back, at) == at


@pytest.mark.parametrize("suffix", AUDIO)
def test_no_sound_at_all_is_still_a_file(tmp_path: Path, suffix: str) -> None:
    path = tmp_path / f"class{suffix}"
    write_audio(path, iter(()), Tags("Nothing"))
    with av.open(path) as container:
        assert sum(frame.samples for frame in container.decode(audio=0)) >= 1


@pytest.mark.parametrize("suffix", AUDIO)
def test_the_same_sound_gives_the_same_bytes_however_it_is_cut(tmp_path: Path, suffix: str) -> None:
    sound = murmur(100_003)
    about = tags(lakeside(), chapters(lakeside()))
    files = []
    for frames in (4096, 1000, 100_003):
        path = tmp_path / f"{frames}{suffix}"
        write_audio(path, blocks(sound, frames), about)
        files.append(path.read_bytes())
    assert files[0] == files[1] == files[2]
    assert b"Lakeside morning" in files[0]


@pytest.mark.parametrize("suffix", AUDIO)
def test_the_bytes_change_with_the_sound_and_with_the_tags(tmp_path: Path, suffix: str) -> None:
    def written(seed: int, title: str) -> bytes:
        path = tmp_path / f"class{suffix}"
        write_audio(path, blocks(murmur(20_000, seed)), Tags(title))
        return path.read_bytes()

    assert len({written(0, "a"), written(1, "a"), written(0, "b")}) == 3


@pytest.mark.parametrize("suffix", BY_SNDFILE)
def test_what_comes_back_sounds_like_what_went_in(tmp_path: Path, suffix: str) -> None:
    """The error is at least 10 dB below the sound (noise is the hardest thing to encode; limit by common sense)."""
    sound = murmur(96_000)
    path = tmp_path / f"class{suffix}"
    write_audio(path, blocks(sound), Tags(""))
    back, _ = soundfile.read(path, dtype="float32", always_2d=True)
    low = np.ones(48) / 48
    error = np.convolve(back[:, 0] - sound[:, 0], low), np.convolve(sound[:, 0], low)
    assert np.std(error[0]) < np.std(error[1]) * 10 ** (-10 / 20)


def test_a_sound_of_one_channel_is_the_same_in_both(tmp_path: Path) -> None:
    sound = murmur(30_000)[:, 0]
    for name, kind in (("one", sound), ("two", np.stack((sound, sound), axis=1))):
        write_audio(tmp_path / f"{name}.wav", iter((kind[:7], kind[7:])), Tags(""))
    assert (tmp_path / "one.wav").read_bytes() == (tmp_path / "two.wav").read_bytes()


# Tags


def read_chapters(path: Path) -> list[tuple[str, str]]:
    """Chapters in Vorbis comments, as mutagen reads them."""
    read = mutagen.File(path)
    assert read is not None
    names = sorted(key for key in read if key.lower().startswith("chapter") and key[7:].isdigit())
    return [(read[key][0], read[key + "name"][0]) for key in names]


@pytest.mark.parametrize("suffix", [".flac", ".ogg", ".opus"])
def test_vorbis_comments_come_back(tmp_path: Path, suffix: str) -> None:
    """Source: mutagen; wiki.xiph.org/Chapter_Extension for the names of the chapters."""
    path = tmp_path / f"class{suffix}"
    write_audio(path, blocks(murmur(10_000)), tags(lakeside(), chapters(lakeside())))
    read = mutagen.File(path)
    assert read is not None
    assert (read["title"], read["artist"]) == (["Lakeside morning"], ["Śānti at the lake"])
    assert read["date"] == ["2026-11-25"]
    assert read["comment"] == ["Move within your own range; stop at pain."]
    assert read_chapters(path) == [
        ("00:00:00.000", "Lakeside morning"),
        ("00:00:07.000", "Arriving"),
        ("00:01:00.000", "Standing & śavāsana"),
    ]


def test_id3_chapters_come_back_in_order_of_time(tmp_path: Path) -> None:
    """Source: mutagen; ID3v2 Chapter Frame Addendum 1.0: unique ids, one ordered top-level table of contents."""
    many = tuple(Chapter("x" * (30 - n), n * 100, n * 100 + 100) for n in range(30))
    path = tmp_path / "class.mp3"
    write_audio(path, blocks(murmur(10_000)), tags(lakeside(), many))
    read = ID3(path)
    assert (str(read["TIT2"]), str(read["TPE1"]), str(read["TDRC"])) == (
        "Lakeside morning",
        "Śānti at the lake",
        "2026-11-25",
    )
    assert read.getall("COMM")[0].text == ["Move within your own range; stop at pain."]
    (contents,) = read.getall("CTOC")
    assert int(contents.flags) == 3
    found = [read[f"CHAP:{child}"] for child in contents.child_element_ids]
    assert [(one.start_time, one.end_time, str(one.sub_frames["TIT2"])) for one in found] == [
        (one.start_ms, one.end_ms, one.title) for one in many
    ]
    data = path.read_bytes()
    places = [data.index(b"CHAP" + data[at + 4 : at + 10], at) for at in _all_places(data, b"CHAP")]
    assert places == sorted(places) and len(places) == 30
    assert [data[at + 10 : at + 16].split(b"\0")[0] for at in places] == [b"chp%d" % n for n in range(30)]


def _all_places(data: bytes, what: bytes) -> Iterator[int]:
    at = data.find(what)
    while at >= 0:
        yield at
        at = data.find(what, at + 1)


def test_more_chapters_than_one_table_of_contents_holds(tmp_path: Path) -> None:
    """Source: ID3v2 Chapter Frame Addendum 1.0: the entry count is one byte, tables nest, one is at the top."""
    many = tuple(Chapter(f"Part {n}", n * 10, n * 10 + 10) for n in range(600))
    path = tmp_path / "class.mp3"
    write_audio(path, blocks(murmur(10_000)), Tags("", chapters=many))
    read = ID3(path)
    tables = {one.element_id: one for one in read.getall("CTOC")}
    (top,) = [one for one in tables.values() if int(one.flags) & 2]
    children = [child for name in top.child_element_ids for child in tables[name].child_element_ids]
    assert [read[f"CHAP:{child}"].start_time for child in children] == [one.start_ms for one in many]
    assert max(len(one.child_element_ids) for one in tables.values()) <= 255


@pytest.mark.parametrize("suffix", [".flac", ".ogg", ".opus"])
def test_more_chapters_than_a_format_numbers_are_refused(tmp_path: Path, suffix: str) -> None:
    many = tuple(Chapter(f"Part {n}", n * 10, n * 10 + 10) for n in range(1001))
    with pytest.raises(UnusableChoice, match="1001 sections"):
        write_audio(tmp_path / f"class{suffix}", blocks(murmur(100)), Tags("", chapters=many))
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("suffix", [".flac", ".ogg", ".opus"])
def test_tags_longer_than_a_page_do_not_harm_the_sound(tmp_path: Path, suffix: str) -> None:
    many = tuple(Chapter(f"Part {n} " + "x" * 300, n * 10, n * 10 + 10) for n in range(1000))
    path = tmp_path / f"class{suffix}"
    write_audio(path, blocks(clicks(FRAMES, CLICKS)), Tags("", chapters=many))
    sound, _ = soundfile.read(path, dtype="float32", always_2d=True)
    assert [loudest_near(sound, at) for at in CLICKS] == list(CLICKS)
    assert len(read_chapters(path)) == 1000


@pytest.mark.real
@pytest.mark.parametrize("suffix", AUDIO)
def test_ffprobe_reads_chapters_to_the_millisecond(
    tmp_path: Path, suffix: str, ffprobe: Callable[[Path], dict[str, Any]]
) -> None:
    ends = (0, 1001, 2503, 2999, 4000)
    titles = ("Arriving & <b>", "Vīrabhadrāsana", "Long " * 30, "Śavāsana")
    listed = tuple(Chapter(title.strip(), *pair) for title, pair in zip(titles, pairwise(ends), strict=True))
    path = tmp_path / f"class{suffix}"
    write_audio(path, blocks(murmur(4 * RATE_HZ)), tags(lakeside(), listed))
    probed = ffprobe(path)
    read = [
        (one["tags"]["title"], round(float(one["start_time"]) * 1000, 3), round(float(one["end_time"]) * 1000, 3))
        for one in probed["chapters"]
    ]
    expected = [(one.title, float(one.start_ms), float(one.end_ms)) for one in listed]
    # Vorbis comments hold no ends: the last chapter ends with the file, of which Opus counts the lead-in of 6.5 ms.
    assert read[:-1] == expected[:-1]
    assert read[-1][:2] == expected[-1][:2]
    assert read[-1][2] == pytest.approx(4000, abs=7 if suffix == ".opus" else 0.001)
    stated = probed["format"].get("tags") or probed["streams"][0]["tags"]
    texts = {key.lower(): value for key, value in stated.items()}
    assert texts["title"] == "Lakeside morning"
    assert texts["artist"] == "Śānti at the lake"
    assert texts["comment"] == "Move within your own range; stop at pain."
    assert texts["date"].startswith("2026")


def test_line_breaks_in_a_title_do_not_break_the_tags(tmp_path: Path) -> None:
    path = tmp_path / "class.flac"
    write_audio(path, blocks(murmur(100)), Tags("By\nthe\x00lake"))
    read = mutagen.File(path)
    assert read is not None and read["title"] == ["By the lake"]


@pytest.mark.parametrize("frames", [1_000_000, 2**30, 5 * 2**30])
def test_a_wav_larger_than_four_gigabytes_tells_its_length(tmp_path: Path, frames: int) -> None:
    """Source: libsndfile reads the head; EBU Tech 3306 (RF64). The sound is a hole in the file and takes no room."""
    path = tmp_path / "class.wav"
    head = wav.wav_head(frames, 0)
    path.write_bytes(head)
    os.truncate(path, len(head) + frames * 2 * wav.SAMPLE_BYTES)
    info = soundfile.info(path)
    assert (info.frames, info.channels, info.samplerate) == (frames, 2, RATE_HZ)


# Failures


def test_an_unknown_suffix_is_refused_with_the_known_ones(tmp_path: Path) -> None:
    with pytest.raises(UnusableChoice) as caught:
        write_audio(tmp_path / "class.wma", blocks(murmur(100)), Tags(""))
    assert str(caught.value).endswith(
        "class.wma: no sound file ends in .wma (use one of .wav, .flac, .mp3, .opus, .ogg, .m4a)"
    )
    with pytest.raises(UnusableChoice, match="the name has no ending"):
        write_audio(tmp_path / "class", blocks(murmur(100)), Tags(""))
    assert not list(tmp_path.iterdir())


def test_the_suffix_may_be_in_capitals(tmp_path: Path) -> None:
    write_audio(tmp_path / "CLASS.WAV", blocks(murmur(100)), Tags(""))
    assert soundfile.info(tmp_path / "CLASS.WAV").frames == 100


def no_pyav(name: str) -> None:
    assert name == "av"


def test_an_m4a_without_the_extra_names_the_line_that_installs_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(importlib.util, "find_spec", no_pyav)
    with pytest.raises(MachineTrouble, match=r"pip install 'practice-guide\[m4a\]'"):
        write_audio(tmp_path / "class.m4a", blocks(murmur(100)), Tags(""))
    assert not list(tmp_path.iterdir())


def test_opus_without_the_extra_is_as_exact(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(importlib.util, "find_spec", no_pyav)
    assert isinstance(opus.start(Sink(io.BytesIO()), Tags("")), opus.SndfileOpusEncoder)
    files = []
    for frames in (4096, 777):
        path = tmp_path / "class.opus"
        write_audio(path, blocks(clicks(FRAMES, CLICKS), frames), tags(lakeside(), chapters(lakeside())))
        files.append(path.read_bytes())
    assert files[0] == files[1]
    sound, _ = soundfile.read(path, dtype="float32", always_2d=True)
    assert len(sound) == FRAMES
    assert [loudest_near(sound, at) for at in CLICKS] == list(CLICKS)
    assert len(read_chapters(path)) == 3


class FullDisk(io.BytesIO):
    """A file on a disk with room for so many bytes."""

    def __init__(self, room: int) -> None:
        super().__init__()
        self.room = room

    def write(self, data: Any) -> int:
        if self.tell() + len(data) > self.room:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return super().write(data)


@each_row("room", [0, 100, 3000])
@each_row("suffix", AUDIO)
def test_a_full_disk_is_told_as_such_whatever_library_met_it(suffix: str, room: int) -> None:
    sink = Sink(FullDisk(room))
    with pytest.raises(OSError) as caught:
        encode(blocks(murmur(100_000)), AUDIO[suffix].start(sink, Tags("Full")), sink)
    assert caught.value.errno == errno.ENOSPC


@pytest.mark.parametrize("suffix", AUDIO)
def test_a_file_that_may_not_grow_leaves_the_old_one_whole(tmp_path: Path, suffix: str) -> None:
    """The system itself refuses (RLIMIT_FSIZE), in the middle of the library's own writing."""
    path = tmp_path / f"class{suffix}"
    path.write_bytes(b"old")
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (5000, limits[1]))
    try:
        with pytest.raises(MachineTrouble) as caught:
            write_audio(path, blocks(murmur(100_000)), Tags("Large"))
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
    assert str(caught.value) == f"{path}: the file grows too large for this disk (write to another disk)"
    assert path.read_bytes() == b"old"
    assert names(tmp_path) == [path.name]


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    folder = tmp_path / "disk"
    folder.mkdir()
    mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(folder)], check=False)
    if mounted.returncode:
        missing("the right to mount a small tmpfs")
    yield folder
    subprocess.run(["umount", str(folder)], check=True)


@pytest.mark.real
@pytest.mark.parametrize("suffix", AUDIO)
def test_a_disk_that_is_really_full_leaves_the_old_file_whole(small_disk: Path, suffix: str) -> None:
    path = small_disk / f"class{suffix}"
    path.write_bytes(b"old")
    with pytest.raises(MachineTrouble) as caught:
        write_audio(path, blocks(murmur(20 * RATE_HZ)), Tags("Full"))
    assert str(caught.value) == f"{path}: the disk is full (make room, or write to another disk)"
    assert path.read_bytes() == b"old"
    assert names(small_disk) == [path.name]


class Recorder:
    """An encoder that notes what happens to it, and fails at the write it is told to."""

    def __init__(self, fails_at: int = -1) -> None:
        self.fails_at = fails_at
        self.frames = 0
        self.writes = 0
        self.ends: list[str] = []
        self.threads: set[int] = set()

    def write(self, frames: Frames) -> None:
        self.threads.add(threading.get_ident())
        if self.writes == self.fails_at:
            raise RuntimeError("the encoder broke")
        self.writes += 1
        self.frames += len(frames)

    def finish(self) -> None:
        self.ends.append("finished")

    def abandon(self) -> None:
        self.ends.append("abandoned")


def no_encoder_runs() -> bool:
    return not [thread for thread in threading.enumerate() if thread.name == "encoder"]


def test_encoding_happens_in_a_thread_of_its_own_and_in_pieces_of_one_length() -> None:
    recorder: Encoder = Recorder()
    assert isinstance(recorder, Recorder)
    encode(blocks(murmur(200_000), 150_000), recorder, Sink(io.BytesIO()))
    assert (recorder.frames, recorder.ends) == (200_000, ["finished"])
    assert threading.get_ident() not in recorder.threads
    assert recorder.writes == -(-200_000 // PIECE_FRAMES)
    assert no_encoder_runs()


@pytest.mark.parametrize("fails_at", [0, 1, 7, 30])
def test_an_error_of_the_encoder_reaches_the_caller_and_ends_the_thread(fails_at: int) -> None:
    recorder = Recorder(fails_at)
    with pytest.raises(RuntimeError, match="the encoder broke"):
        encode(blocks(murmur(40 * PIECE_FRAMES), 1000), recorder, Sink(io.BytesIO()))
    assert recorder.ends == ["abandoned"]
    assert no_encoder_runs()


@pytest.mark.parametrize("error", [RuntimeError("the mixer broke"), KeyboardInterrupt()])
def test_an_error_of_the_caller_ends_the_thread(error: BaseException) -> None:
    def broken() -> Iterator[NDArray[np.float32]]:
        yield from blocks(murmur(50_000), 1000)
        raise error

    recorder = Recorder()
    with pytest.raises(type(error)):
        encode(broken(), recorder, Sink(io.BytesIO()))
    assert recorder.ends == ["abandoned"]
    assert no_encoder_runs()


@pytest.mark.parametrize("suffix", AUDIO)
def test_an_error_of_the_caller_leaves_the_old_file_whole(tmp_path: Path, suffix: str) -> None:
    def broken() -> Iterator[NDArray[np.float32]]:
        yield from blocks(murmur(50_000), 1000)
        raise FileNotFoundError(errno.ENOENT, "no such file", "bowl.wav")

    path = tmp_path / f"class{suffix}"
    path.write_bytes(b"old")
    with pytest.raises(FileNotFoundError, match=r"bowl\.wav"):
        write_audio(path, broken(), Tags(""))
    assert path.read_bytes() == b"old"
    assert names(tmp_path) == [path.name]


def test_only_a_few_blocks_wait_however_slow_the_encoder_is() -> None:
    """What keeps the memory from growing: the sound is not asked for faster than it is encoded."""
    asked = 0

    def counted() -> Iterator[NDArray[np.float32]]:
        nonlocal asked
        for block in blocks(murmur(40 * PIECE_FRAMES), PIECE_FRAMES):
            asked += 1
            yield block

    class Ahead(Recorder):
        most = 0

        def write(self, frames: Frames) -> None:
            self.most = max(self.most, asked - self.writes)
            super().write(frames)

    encoder = Ahead()
    encode(counted(), encoder, Sink(io.BytesIO()))
    assert encoder.writes == 40
    assert 1 <= encoder.most <= WAITING_PIECES + 2


def test_a_block_may_be_used_again_by_the_caller_once_it_is_handed_over(tmp_path: Path) -> None:
    sound = murmur(40_000)

    def reused() -> Iterator[NDArray[np.float32]]:
        block = np.empty((1000, 2), np.float32)
        for start in range(0, 40_000, 1000):
            block[:] = sound[start : start + 1000]
            yield block

    write_audio(tmp_path / "reused.wav", reused(), Tags(""))
    write_audio(tmp_path / "fresh.wav", blocks(sound), Tags(""))
    assert (tmp_path / "reused.wav").read_bytes() == (tmp_path / "fresh.wav").read_bytes()


def test_tags_without_anything_are_left_out(tmp_path: Path) -> None:
    write_audio(tmp_path / "class.flac", blocks(murmur(100)), replace(Tags(""), date=""))
    read = mutagen.File(tmp_path / "class.flac")
    assert read is not None and dict(read.tags or {}) == {}


@pytest.mark.parametrize("suffix", BY_SNDFILE)
def test_one_channel_has_the_same_frames_in_about_half_the_size(tmp_path: Path, suffix: str) -> None:
    """Source: libsndfile, as above. Vorbis and FLAC notice by themselves that two channels are the same."""
    sound = clicks(FRAMES, CLICKS)[:, 0]
    one, two = tmp_path / f"one{suffix}", tmp_path / f"two{suffix}"
    for path, channels in ((one, 1), (two, 2)):
        write_audio(path, iter([sound]), Tags("Clicks"), channels)
    back, rate = soundfile.read(one, dtype="float32", always_2d=True)
    assert (rate, back.shape) == (RATE_HZ, (FRAMES, 1))
    assert [loudest_near(back, at) for at in CLICKS] == list(CLICKS)
    if suffix in (".wav", ".mp3"):
        assert one.stat().st_size == pytest.approx(two.stat().st_size / 2, rel=0.05)
    assert one.stat().st_size <= two.stat().st_size
