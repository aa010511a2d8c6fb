"""`--from`: takes out of one recording are kept, and what was found is told."""

from pathlib import Path

import numpy as np
import pytest
import soundfile
from readings_heard import LINES, as_lines, reading

from guide.cli import record_reading
from guide.cli.record_reading import keep_reading
from guide.problem import UnusableChoice
from guide.review.hearing import recogniser, recorded_speech
from guide.units import RATE_HZ
from guide.voice.takes.store import Takes

SAID = [*LINES[:4], "Preach your deaf ham town.", *LINES[5:8], LINES[9]]


@pytest.fixture
def recording(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A recording in which `SAID` is heard."""
    stretches, transcript, length_ms = reading(SAID)
    path = tmp_path / "reading.wav"
    soundfile.write(path, np.random.default_rng(1).uniform(-0.1, 0.1, length_ms * 48).astype(np.float32), RATE_HZ)
    monkeypatch.setattr(recorded_speech, "heard_in", lambda path, progress: (stretches, length_ms))
    monkeypatch.setattr(recogniser, "is_installed", lambda: True)
    monkeypatch.setattr(record_reading, "words_heard", lambda path, names, model: transcript)
    return path


def keep(recording: Path, keep_doubtful: bool) -> None:
    keep_reading(recording, as_lines(LINES), Takes.in_folder(recording.parent), keep_doubtful, None)


def test_what_is_sure_is_kept_and_the_rest_is_told(recording: Path, capsys: pytest.CaptureFixture[str]) -> None:
    raw = recording.read_bytes()
    keep(recording, False)
    assert capsys.readouterr().out == (
        f"8 of 10 lines found; 8 takes kept in {recording.parent / 'takes'}.\n"
        "\n"
        "Doubtful, not kept; please hear them:\n"
        "  0:19 5 “Reach your left hand down.”, other words are heard\n"
        "Add --keep-doubtful if all of them are right, or record those that are not again.\n"
        "\n"
        "Not found:\n"
        "  9 “Let go.”\n"
        "\n"
        "8 takes, first line 1: no words are heard: nothing above -20 dBFS "
        "(check that the microphone is on, and is yours)\n"
        f"{recording} is left as it is.\n"
    )
    assert recording.read_bytes() == raw
    takes = Takes.in_folder(recording.parent)
    assert [line for line in LINES if takes.latest(line) is None] == [LINES[4], LINES[8]]


def test_the_same_again_keeps_nothing_twice_and_doubtful_ones_where_asked(
    recording: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    keep(recording, False)
    keep(recording, True)
    assert (
        f"9 of 10 lines found; 1 take kept in {recording.parent / 'takes'}, 8 there already." in capsys.readouterr().out
    )
    assert len([*(recording.parent / "takes").iterdir()]) == 9


def test_a_line_that_has_a_take_from_before_is_not_missed(recording: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Takes.in_folder(recording.parent).keep(LINES[8], np.full(4800, 0.1, np.float32), RATE_HZ)
    keep(recording, True)
    assert "Not found" not in capsys.readouterr().out


def test_without_a_recogniser_it_says_that_lengths_alone_are_known(
    recording: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(recogniser, "is_installed", lambda: False)
    keep(recording, False)
    assert (
        "Lines are told apart by their lengths alone; by their words it is surer (python -m pip"
        in capsys.readouterr().err
    )


def test_what_is_no_sound_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "reading.wav"
    path.write_text("Sit near the front of the chair.", encoding="utf-8")
    with pytest.raises(UnusableChoice, match=r"reading.wav: this is no sound that can be read \(give WAV"):
        keep(path, False)
