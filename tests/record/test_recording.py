"""A recording under way, with a microphone and a clock of the tests: what is on the disk, and what is shown."""

import sys
from collections.abc import Iterator
from pathlib import Path
from unittest.mock import patch

import numpy as np
import pytest
from numpy.typing import NDArray
from take_sounds import recorded, spoken

from guide.live import steady_clock
from guide.live.scene import ReadingScene
from guide.live.speakers.base import Pull
from guide.problem import MachineTrouble, Place
from guide.record.lines import ReadingLine
from guide.record.reading_line_view import ReadingLines
from guide.record.record_keys import RecordKeys, keys_for
from guide.record.recording import Recording
from guide.record.session import COUNT_MS, COUNTED_FROM, Ask, begun
from guide.units import RATE_HZ
from guide.voice.takes.store import Takes

LINES = tuple(
    ReadingLine(words, "Standing", Place("a.yaml", 1, 1), 1, room_ms, (words,))
    for words, room_ms in (("Rise.", 4000), ("Fold.", 4000), ("Rest.", None))
)


class Mouth:
    """A loudspeaker that plays what it is asked to, at once; none where it `is_there` not."""

    def __init__(self) -> None:
        self.source: Pull | None = None
        self.is_there = True

    def open(self) -> None:
        if not self.is_there:
            raise MachineTrouble("no loudspeaker")

    def keep(self) -> str:
        return ""


class Studio:
    """A recording and a clock that stands still: time goes by where something is heard."""

    def __init__(self, folder: Path, flows: bool = False) -> None:
        self.now_s = 100.0
        self.mouth = Mouth()
        self.takes = Takes.in_folder(folder)
        kept = frozenset(line.key for line in LINES if self.takes.latest(line.words))
        self.recording = Recording("Evening", begun(LINES, kept, flows), self.takes, self.mouth)

    def hears(self, sound: NDArray[np.float32]) -> None:
        """Sound comes in pieces of 50 ms, and after each the recording is looked after."""
        pcm = (sound * 32767).astype("<i2").tobytes()
        for at in range(0, len(pcm), RATE_HZ // 10):
            piece = pcm[at : at + RATE_HZ // 10]
            self.recording.hear(piece)
            self.now_s += len(piece) / 2 / RATE_HZ
            self.recording.tick()

    def waits(self, ms: int) -> None:
        self.hears(quiet(ms))

    @property
    def scene(self) -> ReadingScene:
        return self.recording.scene()


def quiet(ms: int) -> NDArray[np.float32]:
    return np.random.default_rng(1).normal(0, 3e-4, ms * RATE_HZ // 1000).astype(np.float32)


@pytest.fixture
def studio(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Studio]:
    made = Studio(tmp_path)
    monkeypatch.setattr(steady_clock, "now_s", lambda: made.now_s)
    yield made


def test_a_line_is_recorded_as_it_was_said_and_kept_at_once(studio: Studio, tmp_path: Path) -> None:
    studio.recording.ask(Ask.GO)
    assert (studio.scene.state, studio.scene.counts) == ("counting in: 3", 3)
    studio.waits(COUNTED_FROM * COUNT_MS)
    said = recorded(spoken(1500), noise_db=40)
    studio.hears(said)
    assert studio.scene.phase == "recording"
    assert studio.scene.state.endswith(" of 4 s")
    studio.recording.ask(Ask.GO)
    assert (studio.scene.phase, studio.scene.told) == ("recorded", ())
    # What its place has to have room for are the words, without the quiet around them.
    assert studio.scene.at_ms == pytest.approx(1500, abs=200) and said.size * 1000 / RATE_HZ > 2000
    assert Takes.in_folder(tmp_path).latest("Rise.") is None
    studio.recording.ask(Ask.GO)
    kept = Takes.in_folder(tmp_path).latest("Rise.")
    assert kept is not None
    samples, rate_hz = kept.read()
    assert rate_hz == RATE_HZ
    np.testing.assert_allclose(samples[-said.size :], said, atol=1e-4)
    assert (studio.scene.words, studio.scene.recorded, studio.scene.number) == ("Fold.", 1, 2)


def test_next_time_it_goes_on_where_it_stopped(studio: Studio, tmp_path: Path) -> None:
    studio.takes.keep("Rise.", spoken(500), RATE_HZ)
    studio.takes.keep("Fold.", spoken(500), RATE_HZ)
    assert Studio(tmp_path).scene.words == "Rest."


def test_in_a_flow_all_lines_are_recorded_without_a_key(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    studio = Studio(tmp_path, flows=True)
    monkeypatch.setattr(steady_clock, "now_s", lambda: studio.now_s)
    studio.recording.ask(Ask.GO)
    studio.waits(COUNTED_FROM * COUNT_MS)
    for number in range(3):
        studio.hears(recorded(spoken(900, number), noise_db=40))
        studio.waits(2000)
    assert studio.scene.is_over
    for line in LINES:
        take = Takes.in_folder(tmp_path).latest(line.words)
        assert take is not None
        assert 900 < take.read()[0].size * 1000 / RATE_HZ < 4500


def test_how_loud_it_is_does_not_hang_on_how_short_the_pieces_of_sound_are(studio: Studio) -> None:
    """A pipe hands on some samples at a time, and a tone is zero twice in each of its waves."""
    tone = 0.1 * np.sin(2 * np.pi * 100 * np.arange(RATE_HZ // 5) / RATE_HZ)
    pcm, shown = (tone * 32767).astype("<i2").tobytes(), set[int]()
    for at in range(0, len(pcm), 24):
        studio.recording.hear(pcm[at : at + 24])
        if at > len(pcm) / 2:
            shown.add(studio.scene.level_dbfs)
    # A sine is 3 dB below its peak.
    assert shown == {-23}


def test_a_silent_take_is_told_and_stays_with_its_line(studio: Studio) -> None:
    studio.recording.ask(Ask.GO)
    studio.waits(COUNTED_FROM * COUNT_MS + 1000)
    studio.recording.ask(Ask.GO)
    assert studio.scene.told[0].startswith("no words are heard: nothing above -")


def test_a_take_is_played_as_it_will_be_heard(studio: Studio) -> None:
    studio.recording.ask(Ask.GO)
    studio.waits(COUNTED_FROM * COUNT_MS)
    studio.hears(recorded(spoken(700), noise_db=40))
    studio.recording.ask(Ask.GO)
    studio.recording.ask(Ask.HEAR)
    assert studio.scene.phase == "playing"
    assert studio.mouth.source is not None
    sound = studio.mouth.source(RATE_HZ)
    assert sound.shape == (RATE_HZ, 2)
    assert 0.1 < np.abs(sound).max() < 1.0
    studio.recording.tick()
    assert (studio.scene.phase, studio.mouth.source) == ("recorded", None)


def test_no_loudspeaker_is_told_and_the_take_is_still_there(studio: Studio) -> None:
    studio.mouth.is_there = False
    studio.recording.ask(Ask.GO)
    studio.waits(COUNTED_FROM * COUNT_MS)
    studio.hears(recorded(spoken(700), noise_db=40))
    studio.recording.ask(Ask.GO)
    studio.recording.ask(Ask.HEAR)
    assert (studio.scene.phase, studio.scene.told) == ("recorded", ("no loudspeaker",))
    studio.recording.ask(Ask.GO)
    assert studio.takes.latest("Rise.") is not None


def test_a_full_disk_is_told_and_the_line_stays(studio: Studio, tmp_path: Path) -> None:
    (tmp_path / "takes").write_text("in the way", encoding="utf-8")
    studio.recording.ask(Ask.GO)
    studio.waits(COUNTED_FROM * COUNT_MS)
    studio.hears(recorded(spoken(700), noise_db=40))
    studio.recording.ask(Ask.GO)
    studio.recording.ask(Ask.GO)
    assert studio.scene.words == "Rise."
    assert "the take could not be kept" in studio.scene.told[0]


def test_the_picture_of_a_line_that_is_recorded_is_what_the_program_shows() -> None:
    """Made anew by `python tests/readme/record_picture.py`."""
    folder = str(Path(__file__).resolve().parents[1] / "readme")
    with patch.object(sys, "path", [folder, *sys.path]):
        import record_picture
    assert record_picture.PICTURE.read_text(encoding="utf-8") == record_picture.drawn()


def test_keys_ask_and_a_key_held_down_asks_once(monkeypatch: pytest.MonkeyPatch) -> None:
    now_s = 5.0
    monkeypatch.setattr(steady_clock, "now_s", lambda: now_s)
    asks: list[Ask] = []
    keys = RecordKeys(asks.append)
    keys.typed(["space"])
    for _ in range(20):
        now_s += 0.05
        keys.typed(["space"])
    keys.typed(["x", "p"])
    keys.pressed("button 17")
    keys.tick()
    assert asks == [Ask.GO, Ask.HEAR, Ask.GO]
    assert keys_for(False).startswith("space: record, stop, keep · p: hear · r: again")
    assert "f: line by line" in keys_for(True)


def test_lines_tell_it_to_a_terminal_without_a_screen(studio: Studio) -> None:
    written: list[str] = []
    view = ReadingLines(written.append, lambda: "", lambda keys: None)
    view.show(studio.scene)
    studio.recording.ask(Ask.GO)
    view.show(studio.scene)
    studio.waits(COUNTED_FROM * COUNT_MS + 1000)
    view.show(studio.scene)
    studio.recording.ask(Ask.GO)
    view.show(studio.scene)
    assert written[1:5] == [
        "   1/3  Standing: Rise. (at most 4 s)",
        "         3",
        "         recording 1.3 s of 4 s",
        "         recorded",
    ]
    assert written[5].startswith("         no words are heard")
