"""Room tone keeps a loudspeaker awake where it is asked for, and is nowhere else."""

import hashlib

import numpy as np
import pytest

from guide.live.speakers import sound_server
from guide.plan.timeline import Timeline
from guide.sound.clip_finish import VOICE_LUFS
from guide.sound.loudness_meter import Meter
from guide.sound.mixer import block, centre, prepare, voice, with_room_tone
from guide.sound.palette import Palette
from guide.sound.room_tone import LEVEL_DBFS, SECONDS, room_tone
from guide.units import RATE_HZ


class NoClips:
    def __getitem__(self, text: str) -> np.ndarray:
        raise KeyError(text)

    def measures(self, text: str) -> np.ndarray:
        raise KeyError(text)


def silent_class() -> Timeline:
    return Timeline("Quiet", 20_000, (), (), (), (), (), (), ())


def test_it_has_its_level_and_is_the_same_everywhere() -> None:
    sound = room_tone(0, SECONDS * RATE_HZ)
    level = 10 * np.log10(np.mean(sound.astype(np.float64) ** 2))
    assert abs(level - LEVEL_DBFS) < 0.3
    assert np.abs(np.rint(sound * 32768)).max() <= 20
    assert hashlib.sha256((sound * 65536).astype("<i4").tobytes()).hexdigest()[:16] == "d8618126a21b5e8e"


def test_it_has_no_seam() -> None:
    around = SECONDS * RATE_HZ
    seam = np.diff(room_tone(around - 1000, 2000))
    assert np.abs(seam).max() <= np.abs(np.diff(room_tone(0, around))).max()
    assert np.array_equal(room_tone(3, 100), room_tone(around + 3, 100))


def test_no_block_is_other_than_the_whole() -> None:
    mix = with_room_tone(prepare(silent_class(), NoClips(), Palette({})))
    whole = centre(mix, 0, mix.length_frames)
    parts = [centre(mix, first, 777) for first in range(0, mix.length_frames, 777)]
    assert np.array_equal(np.concatenate(parts)[: whole.size], whole)
    assert np.count_nonzero(whole[: RATE_HZ // 100]) > 400
    assert np.array_equal(block(mix, 500, 50)[:, 0], whole[500:550])
    assert not centre(mix, mix.length_frames, 100).any()


def test_without_it_quiet_is_exactly_zero() -> None:
    mix = prepare(silent_class(), NoClips(), Palette({}))
    assert not voice(mix, 0, mix.length_frames).any()


def test_it_is_far_under_the_gate_of_a_meter_that_hears_words() -> None:
    meter = Meter(RATE_HZ)
    meter.feed(room_tone(0, 3 * RATE_HZ))
    assert meter.integrated < VOICE_LUFS - 40


@pytest.mark.parametrize(
    ("name", "sleeps"),
    [("bluez_output.00_11_22_33_44_55.1", True), ("bluez_sink.00_11.a2dp_sink", True), ("alsa_output.pci", False)],
)
def test_a_bluetooth_loudspeaker_is_known_by_the_name_that_the_server_gives(
    name: str, sleeps: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sound_server, "sinks", lambda: (sound_server.ServerSink(name, "Lake"),))
    assert sound_server.has_bluetooth() == sleeps
