"""Music: without a seam, far enough under the words, the same however it is asked for, and read from any sound file."""

from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import soundfile
from sound_samples import led_class, palette_of_shipped

from guide.plan.timeline import MusicSpan
from guide.problem import GuideError, MachineTrouble, UnusableChoice
from guide.ready.load import load_text
from guide.sound import mixer
from guide.sound.balance import Balance
from guide.sound.clip_finish import from_int16, to_int16
from guide.sound.clip_measures import whole_lufs
from guide.sound.loudness_meter import Meter
from guide.sound.music import kept_music
from guide.sound.music.beds import bed
from guide.sound.music.measured import HOP_FRAMES, HopMeter
from guide.sound.music.shelf import MusicShelf
from guide.sound.music.tape import InMemory, MusicPiece, Tape, joined
from guide.sound.sound_files import streamed
from guide.units import RATE_HZ

SECOND = RATE_HZ


def noise(seconds: float, seed: int = 1) -> np.ndarray:
    return (0.1 * np.random.default_rng(seed).standard_normal(int(seconds * RATE_HZ))).astype(np.float32)


def sine(seconds: float, hz: float = 221.3) -> np.ndarray:
    return (0.3 * np.sin(2 * np.pi * hz * np.arange(int(seconds * RATE_HZ)) / RATE_HZ)).astype(np.float32)


def piece(sound: np.ndarray) -> MusicPiece:
    meter, whole = HopMeter(), sound[: sound.size // HOP_FRAMES * HOP_FRAMES]
    meter.feed(whole)
    return MusicPiece(InMemory(to_int16(whole)), meter.hops())


@cache
def tape() -> Tape:
    return joined([piece(noise(6, 1)), piece(noise(9, 2))])


def levels(sound: np.ndarray, frames: int = HOP_FRAMES) -> np.ndarray:
    """The level of each hop, in dB."""
    hops = sound[: sound.size // frames * frames].reshape(-1, frames)
    return 10 * np.log10((hops.astype(np.float64) ** 2).mean(axis=1))


# Without a seam.


@pytest.mark.parametrize("name", ["drone", "rain", "brown noise"])
def test_a_made_bed_goes_round_without_a_step(name: str) -> None:
    """The third difference takes from a sound all that goes on smoothly, and leaves what breaks off."""
    sound = np.tile(from_int16(bed(name)), 2).astype(np.float64)
    broken = np.abs(np.diff(sound, 3))
    seam = slice(sound.size // 2 - 4, sound.size // 2 + 4)
    assert broken[seam].max() <= broken[: sound.size // 2 - 8].max()
    assert np.ptp(levels(sound, SECOND // 2)[-61:]) == pytest.approx(np.ptp(levels(sound, SECOND // 2)[:60]), abs=0.5)


@pytest.mark.parametrize("sound", [noise(20), sine(20.0), sine(20.013)], ids=["noise", "sine", "sine in other phase"])
def test_a_file_goes_round_with_no_step_in_level_or_spectrum_above_its_own(sound: np.ndarray) -> None:
    one = joined([piece(sound)])
    first, last = one.period - SECOND, one.period + 4 * SECOND
    around, inside = one.sound(first, last - first), one.sound(5 * SECOND, last - first)
    assert np.ptp(levels(around)) <= np.ptp(levels(inside)) + 0.25

    def bands(heard: np.ndarray) -> np.ndarray:
        """The level of 20 bands in each half second, in dB."""
        spectra = np.abs(np.fft.rfft(heard.reshape(-1, SECOND // 2) * np.hanning(SECOND // 2), axis=1)) ** 2
        return 10 * np.log10(spectra[:, :12_000].reshape(len(spectra), 20, -1).mean(axis=2) + 1e-2)

    assert np.ptp(bands(around), axis=0).max() <= np.ptp(bands(inside), axis=0).max() + 1.0
    assert np.abs(np.diff(around, 3)).max() <= np.abs(np.diff(inside, 3)).max() * 1.05


def test_the_samples_of_a_tape_depend_on_nothing_but_the_frame() -> None:
    borders = [0, 1, 4799, 48_000, 200_000, 200_001, tape().period - 7, tape().period + 5, 2 * tape().period + 99]
    in_blocks = np.concatenate([tape().sound(a, b - a) for a, b in pairwise(borders)])
    assert np.array_equal(in_blocks, tape().sound(0, borders[-1]))
    assert np.array_equal(tape().sound(3 * tape().period + 9, 50), tape().sound(2 * tape().period + 9, 50))


def test_the_files_of_a_folder_follow_each_other_and_the_first_comes_after_the_last() -> None:
    sound = tape().sound(0, 2 * tape().period)
    assert tape().period == pytest.approx((6 + 9 - 2 * 1.5) * SECOND, abs=0.21 * SECOND)
    assert np.array_equal(sound[: 4 * SECOND], from_int16(to_int16(noise(6, 1)))[: 4 * SECOND])
    assert np.ptp(levels(sound)) < 1.0


# In a class.


@cache
def music_class() -> mixer.Mix:
    timeline, clips = led_class(9000, 120_000)
    spans = (MusicSpan(0, 62_000, "m", 20.0, 3000, 4000), MusicSpan(58_000, 110_000, "n", 20.0, 4000, 6000))
    tapes = {"m": tape(), "n": joined([piece(noise(8, 3) * np.linspace(0.2, 1, 8 * SECOND, dtype=np.float32))])}
    return mixer.prepare(replace(timeline, music=spans), clips, palette_of_shipped(), tapes=tapes)


@cache
def parts() -> tuple[np.ndarray, ...]:
    """The bells, the words and the music of the whole of it."""
    mix = music_class()
    return tuple(part(mix, 0, mix.length_frames) for part in (mixer.bells, mixer.voice, mixer.music))


def test_every_word_is_20_db_over_the_music_which_rises_where_nobody_speaks() -> None:
    mix = music_class()
    _, voice, music = parts()
    over = []
    for cue in mix.cues:
        said = slice(cue.start, cue.start + cue.frames)
        if cue.start + cue.frames < 104 * SECOND:
            over.append(whole_lufs(voice[said]) - whole_lufs(music[said]))
    assert len(over) > 8 and min(over) >= 20
    quiet = slice(mix.cues[2].start - 2 * SECOND, mix.cues[2].start - SECOND - SECOND // 2)
    down = slice(mix.cues[2].start, mix.cues[2].start + SECOND)
    assert whole_lufs(music[quiet]) - whole_lufs(music[down]) > 5
    assert not music[110 * SECOND :].any()


def test_the_parts_of_a_class_sum_to_it_sample_by_sample_in_whatever_blocks() -> None:
    mix = music_class()
    bells, voice, music = parts()
    whole = mixer.centre(mix, 0, mix.length_frames)
    assert np.array_equal(bells + voice + music, whole)
    rounded = sum(to_int16(part).astype(int) for part in (bells, voice, music)) - to_int16(whole)
    assert np.abs(rounded).max() <= 2
    for first, count in ((57 * SECOND + 11, 3 * SECOND), (61 * SECOND, 977), (109 * SECOND, 3 * SECOND)):
        assert np.array_equal(mixer.centre(mix, first, count), whole[first : first + count])


def test_a_class_with_music_measures_what_was_asked_and_no_peak_passes() -> None:
    mix, meter = music_class(), Meter(RATE_HZ)
    meter.feed(mixer.centre(mix, 0, mix.length_frames))
    assert meter.integrated == pytest.approx(-18.0, abs=0.15)
    assert mix.predicted.loudness_lufs == pytest.approx(meter.integrated, abs=0.15)
    assert meter.true_peak <= -1.0


def test_words_bells_and_music_are_as_much_louder_or_softer_as_is_asked() -> None:
    timeline, clips = led_class(9000, 60_000)
    timeline = replace(timeline, music=(MusicSpan(0, 60_000, "m", 20.0, 3000, 6000),))
    usual, other = (
        mixer.prepare(timeline, clips, palette_of_shipped(), tapes={"m": tape()}, balance=balance).predicted
        for balance in (Balance(), Balance(voice_db=-6, bells_db=2, music_db=-60))
    )
    turned = [(other.voice, usual.voice), (other.bells, usual.bells), (other.music, usual.music)]
    assert [20 * np.log10(one / was) for one, was in turned] == pytest.approx([-6, 2, -60], abs=0.01)


def test_music_plays_on_wherever_a_class_goes() -> None:
    mix = music_class()
    jumped = mixer.with_music_going_on(mix, 90 * SECOND, mix, 80 * SECOND)
    near = mixer.music(jumped, 90 * SECOND, SECOND) / mix.predicted.music
    assert jumped.music[1].tape is mix.music[1].tape
    played = mix.music[1].tape.sound(80 * SECOND - mix.music[1].origin, SECOND)
    assert np.corrcoef(near, played)[0, 1] > 0.95
    assert mixer.with_music_going_on(mix, 30 * SECOND, mix, 80 * SECOND) == mix


# From files.


def written(path: Path, sound: np.ndarray, rate_hz: int = RATE_HZ) -> Path:
    soundfile.write(path, sound, rate_hz)
    return path


def test_a_file_of_another_rate_is_decoded_once_without_the_silence_around_it(tmp_path: Path) -> None:
    tone = 0.3 * np.sin(2 * np.pi * 330 * np.arange(66_150) / 22_050)
    sound = np.concatenate([np.zeros(11_025), tone, np.zeros(11_025)])
    path = written(tmp_path / "low.wav", np.column_stack([sound, sound]), 22_050)
    told: list[tuple[int, int]] = []
    made = kept_music.kept_piece(path, tmp_path / "kept", lambda *frames: told.append(frames))
    assert made.frames == pytest.approx(3 * SECOND, abs=2 * HOP_FRAMES)
    heard = made.sound(SECOND, SECOND)
    assert np.abs(np.fft.rfft(heard)).argmax() == 330
    assert told[-1] == (88_200, 88_200)
    again = kept_music.kept_piece(path, tmp_path / "kept", lambda *frames: pytest.fail("it was decoded again"))
    assert np.array_equal(again.sound(0, made.frames), made.sound(0, made.frames))


@pytest.mark.parametrize("name", ["low.wav", "low.flac", "low.ogg", "low.mp3"])
def test_a_file_that_is_read_piece_by_piece_is_what_it_is_read_at_once(tmp_path: Path, name: str) -> None:
    """A pure tone needs few bits, so that frames of an MP3 lie in earlier ones, as with a bowl or a drone."""
    path = written(tmp_path / name, sine(6, 500.0))
    pieces = np.concatenate(list(streamed(path).blocks))
    assert np.abs(pieces - soundfile.read(path, dtype="float32")[0]).max() < 1e-4


@pytest.mark.parametrize(
    ("name", "spoil", "said"),
    [
        ("song.mp3", lambda raw: b"Lyrics: by the lake, by the lake.\n" * 99, "not a sound file"),
        ("song.wav", lambda raw: raw[: len(raw) // 2], "cut off"),
        ("song.flac", lambda raw: raw[: len(raw) // 2], "cut off"),
        ("song.ogg", lambda raw: raw[: len(raw) // 2], "cut off"),
        ("song.mp3", lambda raw: raw[: len(raw) // 2], "cut off"),
        ("song.wav", lambda raw: b"", "empty"),
    ],
)
def test_a_file_that_is_no_music_says_why_and_what_to_do(tmp_path: Path, name: str, spoil, said: str) -> None:
    path = written(tmp_path / name, noise(3))
    path.write_bytes(spoil(path.read_bytes()))
    with pytest.raises(UnusableChoice, match=said) as caught:
        kept_music.kept_piece(path, tmp_path / "kept")
    assert str(path) in str(caught.value)
    assert not list((tmp_path / "kept").glob("*")) if (tmp_path / "kept").exists() else True


def test_music_that_is_none_is_a_problem_of_the_class_at_its_place(tmp_path: Path) -> None:
    (tmp_path / "song.mp3").write_text("Lyrics")
    text = "title: T\nmusic: song.mp3\nclass:\n  - silence: 10 s\n"
    problem = load_text(text, "t.yaml", tmp_path).problems[0]
    assert (problem.place.line, problem.place.column) == (2, 8)
    assert problem.fix == "use WAV, FLAC, MP3, Ogg or M4A"


def test_what_is_wrong_with_music_whose_name_has_brackets_is_told_whole(tmp_path: Path) -> None:
    (tmp_path / "song (1).mp3").write_text("Lyrics")
    problem = load_text("title: T\nmusic: song (1).mp3\nclass: [{silence: 10 s}]\n", "t.yaml", tmp_path).problems[0]
    assert problem.what == f"{tmp_path}/song (1).mp3: this is not a sound file that can be read"
    assert problem.fix == "use WAV, FLAC, MP3, Ogg or M4A"


def test_silence_is_no_music(tmp_path: Path) -> None:
    with pytest.raises(UnusableChoice, match="silent, or shorter than a second"):
        kept_music.kept_piece(written(tmp_path / "still.wav", np.zeros(2 * SECOND)), tmp_path / "kept")


def test_eight_hours_are_looked_at_in_no_time_and_streamed(tmp_path: Path) -> None:
    path = written(tmp_path / "night.wav", np.zeros(8000), 8000)
    sound = 8 * 3600 * 8000 * 2
    raw = path.read_bytes()
    head = raw[:4] + (36 + sound).to_bytes(4, "little") + raw[8:40] + sound.to_bytes(4, "little")
    with path.open("wb") as file:
        file.write(head)
        file.truncate(44 + sound)
    found = streamed(path)
    assert (found.rate_hz, found.frames) == (8000, sound // 2)
    assert next(found.blocks).size == 1 << 16


def test_a_disk_that_takes_no_music_is_told_with_the_room_it_needs(tmp_path: Path) -> None:
    path = written(tmp_path / "song.wav", noise(3))
    (tmp_path / "kept").write_text("in the way")
    with pytest.raises(GuideError, match="about 1 MB, and "):
        kept_music.kept_piece(path, tmp_path / "kept")


def test_music_plays_on_when_its_file_is_taken_away_and_that_is_told_once(tmp_path: Path) -> None:
    path = written(tmp_path / "song.wav", noise(8))
    shelf = MusicShelf([str(path), "rain"], tmp_path / "kept").make()
    before = shelf[str(path)].sound(0, SECOND)
    assert shelf.news() == ""
    path.unlink()
    assert shelf.news() == "song.wav was taken away; the music plays on as it was"
    assert shelf.news() == ""
    assert np.array_equal(shelf[str(path)].sound(0, SECOND), before)
    assert set(shelf) == {str(path), "rain"}


def test_what_is_kept_of_music_and_is_gone_is_told_and_never_taken_for_silence(tmp_path: Path) -> None:
    made = kept_music.kept_piece(written(tmp_path / "song.wav", noise(8)), tmp_path / "kept")
    (pcm,) = (tmp_path / "kept").glob("*.pcm")
    with pcm.open("r+b") as file:
        file.truncate(2 * SECOND)
    assert made.sound(0, SECOND - HOP_FRAMES).any()
    with pytest.raises(
        MachineTrouble, match=r"song.wav: what is kept of this music cannot be read on \(it was cut off"
    ):
        made.sound(SECOND, SECOND)


def test_what_was_not_played_for_the_longest_makes_room(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    old = kept_music.kept_piece(written(tmp_path / "old.wav", noise(3, 4)), tmp_path / "kept")
    monkeypatch.setattr(kept_music, "MOST_KEPT_BYTES", 400_000)
    kept_music.kept_piece(written(tmp_path / "new.wav", noise(3, 5)), tmp_path / "kept")
    assert len(list((tmp_path / "kept").glob("*.pcm"))) == 1
    assert old.sound(0, SECOND).any()
