"""A rehearsal for real: on the screen of a terminal, and heard through a sound server."""

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from hall import RATE_HZ, heard, onsets, opened_hall, until
from led_class import led, own_state
from sleeper import sleeping
from tmux_pane import pane

from guide.live.record import Asked, Began, Ended, Paused, read
from guide.ready.choices import VoiceChoice
from guide.ready.load import load
from guide.ready.make_ready import OpenClass

pytestmark = [pytest.mark.real, pytest.mark.paced]

CLASS = """title: Tall trees
library cues: no
pace: {inhale: 2 s, exhale: 2 s}
bells: {class: none, section: none}
class:
  - section: Standing
  - pose: mountain
    hold: 6 breaths
    say: Stand tall, and let your shoulders drop away from your ears.
  - both sides:
      - pose: tree
        hold: 6 breaths
        say: Press your <side> foot into the floor.
  - rest: 10 s
"""


def test_on_the_screen_a_class_is_taught_key_by_key_and_reported(tmp_path: Path) -> None:
    file, log = tmp_path / "trees.yaml", tmp_path / "one.jsonl"
    file.write_text(CLASS)
    own = own_state(tmp_path, {})
    named = {name: own[name] for name in ("XDG_STATE_HOME", "XDG_CONFIG_HOME", "GUIDE_CACHE")}
    command = f"{sys.executable} -m guide rehearse {file} --log {log} --html {tmp_path / 'page.html'} --keep"
    with pane(command, named, tmp_path, columns=80, rows=30) as made:
        # Nothing begins before a key.
        made.wait_for_large("ready")
        made.type("?")
        made.wait_for("on to the next step")
        made.type("Space")
        # What is said first in a step is marked for a second or two, what is said last until the step is over.
        made.wait_for("Mountain.")
        assert any("the key" in row for row in made.rows())
        made.wait_for("► Stand tall, and let your shoulders drop away from your ears.")
        made.type("Space")
        made.wait_for("paused: the key for pause goes on")
        made.type("Enter")
        made.wait_for("going on")
        made.type("NPage")
        made.wait_for("► Press your right foot into the floor.")
        made.type("p")
        made.wait_for("again: Mountain")
        made.type("Right")
        made.wait_for("► Press your right foot into the floor.")
        made.wait_for("next: Tree, left")
        made.type("NPage")
        made.wait_for("next: Rest")
        made.type("Right")
        made.wait_for("then the end")
        made.type("n")
        made.wait_for("Write this into")
        made.type("y", "Enter")
        made.wait_for("ended with 0")
    events = read(log)
    assert [event.step for event in events if isinstance(event, Began)] == [0, 1, 0, 1, 2, 3]
    assert [event.order for event in events if isinstance(event, Asked)] == [
        *("pause", "pause", "next", "previous", "next", "next", "next", "next"),
    ]
    assert isinstance(events[-1], Ended) and any(isinstance(event, Paused) for event in events)
    assert (tmp_path / "page.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    # All was done far quicker than planned.
    assert "hold: 6 breaths" not in file.read_text()
    assert (tmp_path / "trees.yaml.before").read_text() == CLASS


def test_a_rehearsal_that_was_killed_is_told_from_its_record(tmp_path: Path) -> None:
    file, log = tmp_path / "trees.yaml", tmp_path / "one.jsonl"
    file.write_text(CLASS)
    with led(file, environment=own_state(tmp_path, os.environ), log=log, command="rehearse") as made:
        made.wait_for("mountain")
        made.type("n")
        # What is on the screen is written down a moment later, by a thread of its own.
        until(lambda: sum(isinstance(event, Began) for event in made.events()) == 2, "the second step in the record")
        made.process.kill()
        made.ended()
    done = subprocess.run(
        [sys.executable, "-m", "guide", "compare", str(file), str(log), "--json"],
        capture_output=True,
        text=True,
        check=True,
    )
    steps = json.loads(done.stdout)["steps"]
    assert [step["rests_on"] for step in steps] == ["pressed", "pressed", "nothing", "nothing"]
    assert steps[0]["real_ms"] is not None and steps[1]["real_ms"] is None


def planned_rings(file: Path) -> tuple[list[float], list[float]]:
    """When chimes and bells of the first and of the second step begin, in seconds after their step does: by the lengths
    that its words have where other tests had them spoken, else as is estimated, as a rehearsal has them."""
    opened = OpenClass.of(load(file), VoiceChoice(), None)
    _, timeline = opened.planned(opened.known_lengths())
    spans = timeline.spans
    first, second = (
        [(ring.start_ms - spans[number].start_ms) / 1000 for ring in timeline.rings if ring.step == number]
        for number in (0, 1)
    )
    return first, second


@pytest.mark.alone
def test_chimes_are_heard_as_planned_from_the_key_on_and_none_while_it_is_waited_for(tmp_path: Path) -> None:
    file, log, wav = tmp_path / "trees.yaml", tmp_path / "one.jsonl", tmp_path / "heard.wav"
    file.write_text(CLASS.replace("hold: 6 breaths", "hold: 2 breaths", 1))
    options = ("--sound", "chimes", "--output", "pipe")
    with opened_hall() as hall:
        hall.warm()
        environment = own_state(tmp_path, hall.environment)
        with (
            sleeping() as sleeper,
            hall.recording(wav),
            led(file, *options, environment=environment, log=log, command="rehearse") as made,
        ):
            made.wait_for("(the key is due")
            # While the key is waited for nothing begins.
            time.sleep(6)
            made.type("n")
            made.wait_for("tree, right")
            time.sleep(14)
            made.end()
            made.ended()
    began_s = [event.real_ms / 1000 for event in read(log) if isinstance(event, Began)]
    first, second = planned_rings(file)
    found_s = onsets(heard(wav), level=0.01, apart_ms=500) / RATE_HZ
    expected_s = np.array([*first, *(began_s[1] - began_s[0] + at_s for at_s in second)])
    expected_s = expected_s[expected_s < began_s[1] - began_s[0] + 14]
    print(f"heard {found_s - found_s[0]}, expected {expected_s - expected_s[0]}")
    assert found_s.size >= len(first) + 2
    off_s = (found_s - found_s[0])[: expected_s.size] - (expected_s - expected_s[0])[: found_s.size]
    # The key comes to the sound at the next piece that is asked for.
    assert np.abs(off_s).max() < sleeper.bound(0.15)
    assert max(np.ptp(off_s[: len(first)]), np.ptp(off_s[len(first) :])) < sleeper.bound(0.02)


def test_without_a_key_a_voice_in_the_room_tells_when_steps_began(tmp_path: Path) -> None:
    """The teacher is the program itself, which leads the same class with longer holds into the microphone's room."""
    file, taught, log = tmp_path / "trees.yaml", tmp_path / "taught.yaml", tmp_path / "one.jsonl"
    file.write_text(CLASS)
    taught.write_text(CLASS.replace("hold: 6 breaths", "hold: 8 breaths", 1))
    render = [sys.executable, "-m", "guide", "render", str(taught), "-o", str(tmp_path / "taught.wav")]
    subprocess.run(render, check=True, capture_output=True)
    plan = subprocess.run(
        [sys.executable, "-m", "guide", "plan", str(taught), "--json"], check=True, capture_output=True, text=True
    )
    starts_s = [span["start_ms"] / 1000 for span in json.loads(plan.stdout)["spans"]]
    with opened_hall() as hall:
        hall.warm()
        environment = own_state(tmp_path, hall.environment)
        with led(file, "--listen", "--json", environment=environment, log=log, command="rehearse") as made:
            made.wait_for("mountain")
            subprocess.run(["paplay", str(tmp_path / "taught.wav")], env=hall.environment, check=True)
            made.end()
            assert made.ended() == 0
        said = "\n".join(made.lines)
    found = json.loads(said[said.index("{") :])
    steps = found["steps"]
    off_s = [step["real_start_ms"] / 1000 - (at_s - starts_s[0]) for step, at_s in zip(steps, starts_s, strict=True)]
    print(f"starts off by {[round(each, 2) for each in off_s]} s, sure {[step['sure'] for step in steps]}")
    # How long the room was silent before the class was begun in it is not known; it is the same for all.
    assert max(off_s[1:3]) - min(off_s[1:3]) < 2
    assert {step["rests_on"] for step in steps[1:3]} == {"voice"}
    assert found["how"] == "rehearsed" and 5_000 < found["speech"]["spoken_ms"] < 40_000


def test_without_a_microphone_it_is_told_before_anything_begins(tmp_path: Path) -> None:
    file, log = tmp_path / "trees.yaml", tmp_path / "one.jsonl"
    file.write_text(CLASS)
    nowhere = {**os.environ, "PULSE_SERVER": "/nowhere", "XDG_RUNTIME_DIR": str(tmp_path), "PIPEWIRE_REMOTE": "nowhere"}
    with led(file, "--listen", environment=own_state(tmp_path, nowhere), log=log, command="rehearse") as made:
        assert made.ended() == 1
    said = "\n".join(made.lines)
    assert said.startswith("nothing to listen with: no microphone opens"), said
    assert said.endswith("to press a key at each change instead: leave out --listen")
    assert not log.exists()
