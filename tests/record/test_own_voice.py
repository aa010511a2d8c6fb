"""A class said by takes: they begin where the plan says, at one loudness, and what is too long is tightened or told."""

import shutil
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from take_sounds import in_room, recorded, spoken

from guide.cli import main
from guide.problem import FaultyFile
from guide.ready.choices import VoiceChoice
from guide.ready.load import load
from guide.ready.make_ready import OpenClass, ReadyClass, make_ready
from guide.ready.own_voice import unrecorded
from guide.ready.speak_ahead import make_begun
from guide.record.lines import reading_lines
from guide.sound.clip_finish import from_int16
from guide.sound.clip_measures import whole_lufs
from guide.sound.mixer import prepare, voice
from guide.units import RATE_HZ, frames_from_ms
from guide.voice.takes.store import Takes

CLASS = """
title: Evening
pace: {inhale: 2 s, exhale: 2 s}
voice: {name: own}
library cues: no
say names: no
class:
  - pose: easy seat
    hold: 3 breaths
    enter: Sit down.
    say: Let your shoulders grow heavy.
  - inhale: Lift your left leg.
  - exhale: Step it forward.
  - inhale: Lift your chest and your chin.
  - exhale: Fold.
"""

#: How long the words of each take are. A breath of 2 s has room for about 2.5 s of words, with the second before it.
LENGTHS_MS = {
    "Sit down.": 900,
    "Let your shoulders grow heavy.": 1200,
    "Inhale, lift your left leg.": 2450,
    "Exhale, step it forward.": 900,
    "Inhale, lift your chest and your chin.": 3600,
    "Exhale, fold.": 700,
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A class whose lines are all recorded, in rooms and in noise, louder and softer."""
    folder = tmp_path_factory.mktemp("class")
    (folder / "evening.yaml").write_text(CLASS, encoding="utf-8")
    takes = Takes.in_folder(folder)
    for number, (words, length_ms) in enumerate(LENGTHS_MS.items()):
        room = in_room(spoken(length_ms, number), 0.25, seed=number)
        sound = recorded(room, noise_db=(30, 20)[number % 2], level_dbfs=-20 - 3 * number, seed=number)
        takes.keep(words, sound, RATE_HZ)
    return folder


@pytest.fixture(scope="module")
def ready(folder: Path) -> ReadyClass:
    pytest.importorskip("av")
    return make_ready(folder / "evening.yaml")


def test_takes_begin_within_50_ms_of_the_plan_at_one_loudness(ready: ReadyClass) -> None:
    assert ready.unrecorded == ""
    mix = prepare(ready.timeline, ready.spoken, ready.palette)
    loudness = []
    for cue in ready.timeline.cues:
        heard = voice(mix, frames_from_ms(cue.start_ms - 200), frames_from_ms(cue.length_ms + 400))
        loud = np.flatnonzero(np.abs(heard) > 0.1 * np.abs(heard).max())
        assert abs(loud[0] / frames_from_ms(1) - 200) <= 50, cue.words
        assert loud[-1] <= frames_from_ms(200 + cue.length_ms), cue.words
        loudness.append(whole_lufs(from_int16(ready.spoken[cue.words])))
    assert max(loudness) - min(loudness) <= 1.0


def test_a_take_a_little_too_long_is_said_faster_and_one_much_too_long_makes_its_breath_longer(
    ready: ReadyClass,
) -> None:
    notes = [note.what for note in ready.timeline.notes]
    faster, longer, grown = notes[:3]
    assert faster.startswith("“Inhale, lift your left leg.” is said ")
    assert faster.endswith(" % faster than recorded: its place has 2.5 s")
    assert longer.startswith("your take of “Inhale, lift your chest and your chin.” lasts 3.")
    assert longer.endswith(" s: more than can be said faster (8 %), so record it shorter")
    assert grown.startswith("this inhale lasts 3")
    lengths = ready.spoken.lengths_ms()
    assert 2300 <= lengths["Inhale, lift your left leg."] <= 2500
    assert lengths["Inhale, lift your chest and your chin."] > 3600


def test_numbers_that_are_a_little_too_long_for_their_second_are_said_faster_too(tmp_path: Path) -> None:
    pytest.importorskip("av")
    counting = "title: Plank\nvoice: {name: own}\nbells: {class: none}\nlibrary cues: no\nsay names: no\nclass:\n"
    path = tmp_path / "plank.yaml"
    path.write_text(f"{counting}  - pose: plank\n    hold: 5 s\n    count: seconds\n    say: none\n", encoding="utf-8")
    takes = Takes.in_folder(tmp_path)
    # A second has room for 900 ms of words, so that the next keeps its distance; what is cleaned is a little longer.
    for number, length_ms in enumerate((500, 880, 1300, 500), 1):
        takes.keep(str(number), recorded(spoken(length_ms, number), seed=number), RATE_HZ)
    ready = make_ready(path)
    two, three = ready.timeline.notes[:2]
    assert two.what.startswith("“2” is said ")
    assert two.what.endswith(" % faster than recorded: its place has 0.9 s")
    assert three.what.endswith(", and its place has 0.9 s: more than can be said faster (8 %), so record it shorter")
    assert [cue.words for cue in ready.timeline.cues] == ["1", "2", "4"]
    assert 850 <= ready.spoken.length_ms("2") <= 900


def test_a_class_that_is_led_has_the_same_takes_at_the_same_moments(folder: Path, ready: ReadyClass) -> None:
    begun = make_begun(OpenClass.of(load(folder / "evening.yaml"), VoiceChoice(), None), 0)
    assert begun.unspoken == frozenset()
    assert begun.timeline.cues == ready.timeline.cues
    for cue in begun.timeline.cues:
        np.testing.assert_array_equal(begun.gathered[cue.words], ready.spoken[cue.words])


def test_the_real_lengths_of_takes_are_planned(ready: ReadyClass) -> None:
    for cue in ready.timeline.cues:
        assert cue.length_ms == ready.spoken.length_ms(cue.words)


def test_a_line_that_changes_is_missing_and_all_others_are_not(folder: Path, tmp_path: Path) -> None:
    shutil.copytree(folder, tmp_path, dirs_exist_ok=True)
    other = tmp_path / "other.yaml"
    changed = CLASS.replace("Step it forward", "Step it back").replace("Sit down", "SIT DOWN")
    other.write_text(changed, encoding="utf-8")
    opened = OpenClass.of(load(other), VoiceChoice(), None)
    assert opened.unrecorded == "1 of 6 lines is not recorded yet: the natural voice says it"
    assert str(opened.notes[0].what) == opened.unrecorded
    missing = [line.words for line in reading_lines(opened) if Takes.in_folder(tmp_path).latest(line.words) is None]
    assert missing == ["Exhale, step it back."]


def test_nothing_recorded_is_said_so_and_another_voice_asks_for_no_takes(tmp_path: Path) -> None:
    path = tmp_path / "evening.yaml"
    path.write_text(CLASS, encoding="utf-8")
    opened = OpenClass.of(load(path), VoiceChoice(), None)
    assert opened.unrecorded == "none of 6 lines is recorded yet: the natural voice says them"
    natural = OpenClass.of(load(path), VoiceChoice("natural"), None)
    assert (natural.unrecorded, natural.settings.takes) == ("", None)


def test_a_silent_take_is_told_at_its_line_with_what_to_do(folder: Path, tmp_path: Path) -> None:
    shutil.copytree(folder, tmp_path, dirs_exist_ok=True)
    take = Takes.in_folder(tmp_path).keep("Exhale, fold.", np.zeros(RATE_HZ, np.float32), RATE_HZ)
    with pytest.raises(FaultyFile) as caught:
        make_ready(tmp_path / "evening.yaml")
    (problem,) = caught.value.problems
    assert (problem.place.line, problem.what, problem.fix) == (
        15,
        f"“Exhale, fold.” cannot be spoken: no words are heard in the take {take.path}",
        "record the line again, or take the file away for the take before it",
    )


def test_check_says_how_many_lines_are_not_recorded(folder: Path, tmp_path: Path) -> None:
    path = tmp_path / "evening.yaml"
    path.write_text(CLASS, encoding="utf-8")
    checked = CliRunner().invoke(main, ["check", str(path)]).stdout
    assert f"{path}: none of 6 lines is recorded yet: the natural voice says them\n" in checked
    assert "recorded" not in CliRunner().invoke(main, ["check", str(folder / "evening.yaml")]).stdout


def test_how_many_are_missing_is_counted_by_what_is_said(tmp_path: Path) -> None:
    takes = Takes.in_folder(tmp_path)
    takes.keep("Fold.", spoken(500), RATE_HZ)
    assert unrecorded(["Fold.", "fold", "Rest."], takes) == (
        "1 of 2 lines is not recorded yet: the natural voice says it"
    )
    assert unrecorded(["Fold.", "Rise.", "Rest."], takes) == (
        "2 of 3 lines are not recorded yet: the natural voice says them"
    )
    assert unrecorded(["Fold."], takes) == ""
