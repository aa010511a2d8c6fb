"""A sound encoded in stretches is the sound that one encoder would have made of it."""

import threading
from collections.abc import Callable, Sequence
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import soundfile
from export_samples import RATE_HZ, clicks
from numpy.typing import NDArray
from rows import each_row

from guide.export.audio import stretches, write_audio
from guide.export.audio.base import Frames
from guide.export.audio.stretches import LEAST_ALIKE, PacketFormat, Stretches, join_place
from guide.export.tags import Tags

Single = NDArray[np.float32]
Parted = Callable[[Path, Single, float], int]

#: A whole number of packets of MP3 and of Opus, about 4 s.
SHORT_FRAMES = 192_000 // 5760 * 5760


def spoken(seconds: int) -> Single:
    """Noise in syllables and phrases over a soft tone: something to decide for an encoder all the time."""
    at_s = np.arange(seconds * RATE_HZ) / RATE_HZ
    noise = np.convolve(np.random.default_rng(3).normal(0, 1, at_s.size), np.hanning(24) / 12, "same")
    phrases = np.clip(np.sin(at_s * 2.1) + 0.3, 0, 1) * np.abs(np.sin(at_s * 13))
    return (0.15 * noise * phrases + 0.02 * np.sin(2 * np.pi * 220 * at_s)).astype(np.float32)


@pytest.fixture
def parted(monkeypatch: pytest.MonkeyPatch) -> Parted:
    """Writes a sound in stretches of so many frames; returns how often one encoder took over from another."""

    def write(path: Path, sound: Single, stretch_frames: float) -> int:
        taken_over = 0

        def counted(alike: Sequence[bool], settled: int | None) -> int | None:
            nonlocal taken_over
            place = join_place(alike, settled)
            taken_over += place is not None
            return place

        monkeypatch.setattr(stretches, "join_place", counted)
        monkeypatch.setattr(stretches, "STRETCH_FRAMES", stretch_frames)
        write_audio(path, iter([sound]), Tags("Parted"), sound.ndim)
        return taken_over

    return write


def read(path: Path) -> Single:
    sound: Single = soundfile.read(path, dtype="float32", always_2d=True)[0]
    return sound


@pytest.mark.parametrize("channels", [1, pytest.param(2, marks=pytest.mark.slow)])
def test_an_mp3_in_stretches_decodes_to_the_very_samples_of_one_encoder(
    tmp_path: Path, parted: Parted, channels: int
) -> None:
    """Source: mpg123 in libsndfile."""
    sound = spoken(9)
    if channels == 2:
        sound = np.stack((sound, np.roll(sound, 99)), axis=1)
    assert not parted(tmp_path / "whole.mp3", sound, float("inf"))
    assert parted(tmp_path / "apart.mp3", sound, SHORT_FRAMES) == 1
    assert np.array_equal(read(tmp_path / "apart.mp3"), read(tmp_path / "whole.mp3"))


def test_an_opus_in_stretches_is_as_near_the_sound_as_by_one_encoder(tmp_path: Path, parted: Parted) -> None:
    """Source: libopus in libsndfile. The error of any 60 ms is at most 6 dB more, and of all together 0.5 dB (limits by
    common sense: two encoders that know the same differ by 3.4 and 0.1; one that begins without a past has 26 dB)."""
    sound = spoken(9)
    parted(tmp_path / "whole.opus", sound, float("inf"))
    assert parted(tmp_path / "apart.opus", sound, SHORT_FRAMES) == 1
    whole, apart = (
        np.square(read(tmp_path / name)[:, 0] - sound).reshape(-1, 2880).mean(axis=1)
        for name in ("whole.opus", "apart.opus")
    )
    assert (apart <= 10**0.6 * whole + 1e-9).all()
    assert apart.mean() <= 10**0.05 * whole.mean()


@each_row("suffix", [".mp3", ".opus"])
def test_clicks_stay_at_their_frames_where_encoders_change_on_any_number_of_cores(
    tmp_path: Path, parted: Parted, monkeypatch: pytest.MonkeyPatch, suffix: str
) -> None:
    join = 2 * SHORT_FRAMES
    at = (0, SHORT_FRAMES, join - 1, join + 48_000, join + 100_001)
    sound = clicks(12 * RATE_HZ + 17, at)[:, 0]
    written = []
    for cores in (1, 3):
        monkeypatch.setattr(stretches, "cores", lambda cores=cores: cores)
        path = tmp_path / f"{cores}{suffix}"
        assert parted(path, sound, SHORT_FRAMES) >= 2
        written.append(path.read_bytes())
    assert written[0] == written[1]
    back = read(path)[:, 0]
    assert back.size == sound.size
    near = [np.arange(max(0, frame - 960), min(back.size, frame + 960)) for frame in at]
    assert [int(around[np.abs(back[around]).argmax()]) for around in near] == list(at)


class Numbered:
    """An encoder whose packets say from which packet on it encodes, and which one of all they are."""

    def __init__(self, first_frame: int, breaks_at: int | None = None) -> None:
        self._first = first_frame // 960
        self._frames = 0
        self._breaks_at = breaks_at

    def encode(self, frames: Frames) -> list[tuple[int, int]]:
        before, self._frames = self._frames // 960, self._frames + len(frames)
        numbers = range(self._first + before, self._first + self._frames // 960)
        if self._breaks_at in numbers:
            raise RuntimeError("the encoder broke")
        return [(self._first, number) for number in numbers]

    def flush(self) -> list[tuple[int, int]]:
        return [(self._first, self._first + self._frames // 960)] if self._frames % 960 else []


def handed_out(agree_after: int | None, settled: int | None, seconds: int = 100) -> list[tuple[int, int]]:
    """The packets of a sound by encoders that write the same from so many packets on."""

    def heard(packets: Sequence[tuple[int, int]]) -> list[object]:
        known = 1 << 40 if agree_after is None else agree_after
        return [number if not first or number - first >= known else (first, number) for first, number in packets]

    out: list[tuple[int, int]] = []
    work = Stretches(PacketFormat(960, Numbered, heard, settled), out.extend)
    for _ in range(seconds):
        work.write(np.zeros((RATE_HZ, 1), np.int16))
    work.write(np.zeros((5, 1), np.int16))
    work.finish()
    assert [number for _, number in out] == list(range(seconds * 50 + 1))
    return out


@each_row(
    "agree_after, settled, places",
    [
        (0, None, [1275, 2475, 3675, 4875]),
        (100, None, [1325, 2525, 3725, 4925]),
        (150 - LEAST_ALIKE, None, [1340, 2540, 3740, 4940]),
        (151 - LEAST_ALIKE, None, []),
        (None, None, []),
        (None, 100, [1300, 2500, 3700, 4900]),
    ],
)
def test_one_encoder_takes_over_amid_packets_alike_else_when_it_is_settled_else_never(
    agree_after: int | None, settled: int | None, places: list[int]
) -> None:
    """No packet is lost or doubled; 150 packets are heard by both encoders."""
    out = handed_out(agree_after, settled)
    assert [number for (before, _), (first, number) in pairwise(out) if first != before] == places


def test_what_is_held_does_not_grow_with_the_sound_where_encoders_never_agree(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(stretches, "cores", lambda: 1)
    out: list[tuple[int, int]] = []
    work = Stretches(PacketFormat(960, Numbered, lambda packets: packets, None), out.extend)
    for second in range(300):
        work.write(np.zeros((RATE_HZ, 1), np.int16))
        assert second * 50 - len(out) <= 4 * 24 * 50
    work.finish()


def test_a_last_stretch_too_short_to_agree_is_made_by_the_encoder_ahead() -> None:
    assert {first for first, _ in handed_out(10, None, 27)} == {0, 1200}
    assert {first for first, _ in handed_out(140, None, 27)} == {0}


@pytest.mark.parametrize("breaks_at", [10, 3500, 9_700])
def test_an_encoder_that_breaks_in_any_stretch_is_told_and_no_thread_stays(breaks_at: int) -> None:
    work = Stretches(
        PacketFormat(960, lambda first: Numbered(first, breaks_at), lambda packets: packets, 100), lambda packets: None
    )
    with pytest.raises(RuntimeError, match="the encoder broke"):
        for _ in range(200):
            work.write(np.zeros((RATE_HZ, 1), np.int16))
        work.finish()
    work.abandon()
    assert not [thread for thread in threading.enumerate() if thread.name.startswith("stretch")]
