"""Sounds of a person's own: brought to one shape, and refused with a word that helps."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import soundfile

from guide.problem import MachineTrouble, UnusableChoice
from guide.sequence.sound_names import PALETTE_NAMES
from guide.sound import palette
from guide.sound.clip_measures import loudest_lufs, measure
from guide.sound.palette import Palette, load
from guide.units import ms_from_frames


def own(path: Path) -> Palette:
    return load([path.name], path.parent)


@pytest.mark.parametrize("suffix", ["wav", "flac", "mp3", "ogg"])
def test_a_file_is_trimmed_levelled_and_at_48_khz(own_sound: Callable[..., Path], suffix: str) -> None:
    path = own_sound(f"my bell.{suffix}")
    sounds = own(path)
    assert 990 <= sounds.length_ms(path.name) <= 1060
    assert loudest_lufs(measure(sounds.samples(path.name))) == pytest.approx(-20.0, abs=0.05)
    spectrum = np.abs(np.fft.rfft(sounds.samples(path.name)[:48_000]))
    assert np.argmax(spectrum) == pytest.approx(500, abs=2)
    assert np.abs(sounds.samples(path.name)[-5:]).max() < 1e-3


def test_m4a_is_read_where_the_extra_is(own_sound: Callable[..., Path]) -> None:
    av = pytest.importorskip("av")
    source, target = own_sound("bell.wav"), own_sound("bell.wav").with_suffix(".m4a")
    with av.open(str(source)) as read, av.open(str(target), "w") as written:
        stream = written.add_stream("aac", rate=44_100)
        for frame in read.decode(audio=0):
            written.mux(stream.encode(frame))
        written.mux(stream.encode(None))
    sounds = own(target)
    assert 980 <= sounds.length_ms(target.name) <= 1100
    assert loudest_lufs(measure(sounds.samples(target.name))) == pytest.approx(-20.0, abs=0.05)


def test_m4a_without_the_extra_says_what_to_type(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "av", None)
    (tmp_path / "bell.m4a").write_bytes(b"anything")
    with pytest.raises(MachineTrouble, match=r"bell\.m4a: to read M4A, type: pip install 'practice-guide\[m4a\]'"):
        own(tmp_path / "bell.m4a")


def test_a_long_file_is_cut_at_fifteen_seconds_and_fades(own_sound: Callable[..., Path]) -> None:
    path = own_sound("sea.flac", seconds=60.0)
    sounds = own(path)
    assert sounds.length_ms(path.name) == 15_000
    loud, end = sounds.samples(path.name)[-96_000:-72_000], sounds.samples(path.name)[-480:]
    assert np.abs(end).max() < 0.02 * np.abs(loud).max()


def test_a_file_in_a_folder_below_may_be_named(own_sound: Callable[..., Path], tmp_path: Path) -> None:
    (tmp_path / "bells").mkdir()
    own_sound("bells/one.wav")
    assert load(["bells/one.wav"], tmp_path).length_ms("bells/one.wav") > 0


def test_a_sound_named_twice_is_loaded_once(tmp_path: Path) -> None:
    assert list(load(["tick", "tick", "rising"], tmp_path).sounds) == ["tick", "rising"]


def test_a_very_short_file_is_a_sound_too(tmp_path: Path) -> None:
    soundfile.write(tmp_path / "tap.wav", np.full(480, 0.5), 48_000)
    assert own(tmp_path / "tap.wav").length_ms("tap.wav") == 10


REFUSED = {
    "text.wav": (b"This is a letter, not a sound.\n" * 400, "this is not a sound file that can be read"),
    "text.mp3": (b"This is a letter, not a sound.\n" * 400, "this is not a sound file that can be read"),
    "text.m4a": (b"This is a letter, not a sound.\n" * 400, "this is not a sound file that can be read"),
    "empty.wav": (b"", "the sound file is empty"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_a_file_that_is_no_sound_is_refused_by_name(tmp_path: Path, name: str) -> None:
    if name.endswith(".m4a"):
        pytest.importorskip("av")
    content, said = REFUSED[name]
    (tmp_path / name).write_bytes(content)
    with pytest.raises(UnusableChoice) as refused:
        own(tmp_path / name)
    assert str(refused.value).startswith(f"{tmp_path / name}: {said}")


def test_a_cut_off_file_is_refused_or_read_but_never_a_traceback(own_sound: Callable[..., Path]) -> None:
    for suffix in ("wav", "flac", "mp3", "ogg"):
        path = own_sound(f"bell.{suffix}")
        whole = path.read_bytes()
        for kept in (10, 60, len(whole) // 3, len(whole) - 7):
            path.write_bytes(whole[:kept])
            try:
                assert own(path).length_ms(path.name) > 0
            except UnusableChoice as refused:
                assert str(refused).startswith(str(path))


@pytest.mark.parametrize(
    ("frames", "said"),
    [
        (np.zeros(48_000), "the sound file holds only silence (choose another)"),
        (np.zeros(0), "the sound file holds no sound (export it again)"),
        (np.full(4800, np.nan), "the sound file holds numbers that are no sound (export it again as WAV)"),
        (np.full(4800, np.inf), "the sound file holds numbers that are no sound (export it again as WAV)"),
    ],
    ids=["silence", "no frames", "nan", "inf"],
)
def test_a_file_without_sound_is_refused(tmp_path: Path, frames: np.ndarray, said: str) -> None:
    soundfile.write(tmp_path / "odd.wav", frames, 48_000, subtype="FLOAT")
    with pytest.raises(UnusableChoice) as refused:
        own(tmp_path / "odd.wav")
    assert str(refused.value) == f"{tmp_path / 'odd.wav'}: {said}"


def test_a_missing_file_and_a_folder_are_named(tmp_path: Path) -> None:
    (tmp_path / "bells").mkdir()
    with pytest.raises(UnusableChoice, match=r"gone\.wav: there is no such sound file \(put it back"):
        own(tmp_path / "gone.wav")
    with pytest.raises(UnusableChoice, match=r"bells: this is a folder \(name a sound file in it\)$"):
        own(tmp_path / "bells")


def test_a_file_that_may_not_be_read_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    soundfile.write(tmp_path / "mine.wav", np.full(480, 0.5), 48_000)

    def refuse(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(soundfile, "SoundFile", refuse)
    with pytest.raises(UnusableChoice, match=r"mine\.wav: the sound file may not be read by you"):
        own(tmp_path / "mine.wav")


@pytest.mark.parametrize("name", ["../bell.wav", "/etc/hostname", "inner/../../bell.wav"])
def test_no_path_leaves_the_folder_of_the_class(tmp_path: Path, name: str) -> None:
    (tmp_path / "class").mkdir()
    soundfile.write(tmp_path / "bell.wav", np.full(480, 0.5), 48_000)
    with pytest.raises(UnusableChoice, match=f"sound '{name}': the file must lie in"):
        load([name], tmp_path / "class")


def test_no_link_leaves_the_folder_of_the_class(tmp_path: Path) -> None:
    (tmp_path / "class").mkdir()
    soundfile.write(tmp_path / "bell.wav", np.full(480, 0.5), 48_000)
    (tmp_path / "class" / "bell.wav").symlink_to(tmp_path / "bell.wav")
    with pytest.raises(UnusableChoice, match="the file must lie in"):
        load(["bell.wav"], tmp_path / "class")


def test_a_slip_of_the_pen_gets_the_name_that_was_meant(tmp_path: Path) -> None:
    with pytest.raises(UnusableChoice, match=r"no such sound in the palette \(did you mean 'deep bowl'"):
        load(["deep bowls"], tmp_path)
    with pytest.raises(UnusableChoice, match="the palette has deep bowl, falling, metal bar"):
        load(["gong"], tmp_path)


@pytest.mark.parametrize("name", ["a\0b", "x" * 5000])
def test_a_name_that_no_file_can_have_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(UnusableChoice):
        load([name], tmp_path)


def test_a_missing_shipped_sound_says_how_to_get_it_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(palette, "__file__", str(tmp_path / "guide" / "sound" / "palette.py"))
    with pytest.raises(MachineTrouble, match=r"the sound 'tick' is missing from the program.*guide sounds --write"):
        load(["tick"], tmp_path)


def test_shipped_sounds_are_found_inside_an_installed_package(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "guide" / "sounds").mkdir(parents=True)
    (tmp_path / "guide" / "sounds" / "tick.wav").write_bytes(palette.shipped("tick").read_bytes())
    monkeypatch.setattr(palette, "__file__", str(tmp_path / "guide" / "sound" / "palette.py"))
    assert palette.shipped("tick") == tmp_path / "guide" / "sounds" / "tick.wav"


def test_asking_for_a_sound_that_was_not_loaded_is_a_mistake_of_the_program(shipped_palette: Palette) -> None:
    with pytest.raises(KeyError):
        shipped_palette.samples("gong")


def test_what_a_sound_of_the_palette_measures_is_what_its_samples_do() -> None:
    for sound in load(sorted(PALETTE_NAMES), Path()).sounds.values():
        found = measure(sound.samples)
        assert sound.measures.mean_squares == pytest.approx(found.mean_squares, rel=1e-4, abs=1e-12)
        assert sound.measures.peaks == pytest.approx(found.peaks, rel=1e-4, abs=1e-7)


@pytest.mark.parametrize("name", sorted(PALETTE_NAMES))
def test_a_shipped_sound_is_as_long_as_it_is_known_to_be_before_it_is_read(name: str) -> None:
    palette = load([name], Path())
    assert palette.length_ms(name) == ms_from_frames(palette.samples(name).size)
