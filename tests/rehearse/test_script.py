"""The script of a rehearsal: what is marked when, whole pictures of its screen, and its lines."""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rehearsals import Clock, class_of, rehearsal
from rich.cells import cell_len
from taught import SHIPPED, shipped_plan

from guide.live.orders import Order
from guide.live.scene import LineKind, Script
from guide.live.scene_data import data_of, scene_from
from guide.live.screen.rows import Day, Ink, Room, Row
from guide.live.screen.script_rows import script_rows
from guide.rehearse.script import AHEAD_MS, marked_line, marks, script_lines
from guide.rehearse.script_line_view import ScriptLines
from guide.sequence.steps import CueKind

STEPS, TIMELINE = class_of()
DAY = Day("18:42", "18:45")


@pytest.fixture
def script(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Callable[..., Script]:
    """The script after so many seconds, and orders each so long after the one before."""

    def made(*pressed: tuple[float, Order], after_s: float = 0) -> Script:
        clock = Clock(monkeypatch)
        rehearsing, _ = rehearsal(STEPS, TIMELINE, tmp_path / "one.jsonl")
        for wait_s, order in pressed:
            clock.s += wait_s
            rehearsing.order(order)
        clock.s += after_s
        return rehearsing.scene()

    return made


def text(rows: tuple[Row, ...]) -> list[str]:
    return ["".join(run.text for run in row).rstrip() for row in rows]


def test_words_are_marked_some_seconds_before_they_are_to_be_said() -> None:
    lines = script_lines(TIMELINE)
    marks_ms = marks(lines)
    for number, line in enumerate(lines[1:], start=1):
        assert line.start_ms - marks_ms[number] <= AHEAD_MS
        assert marks_ms[number] >= lines[number - 1].start_ms
        if line.start_ms - lines[number - 1].start_ms >= 2 * AHEAD_MS:
            assert marks_ms[number] == line.start_ms - AHEAD_MS


@pytest.mark.parametrize("name", SHIPPED)
def test_every_word_of_a_class_is_marked_in_its_turn_but_for_numbers(name: str) -> None:
    _, timeline = shipped_plan(name)
    lines = script_lines(timeline)
    marks_ms = marks(lines)
    marked = [lines[marked_line(lines, marks_ms, ms, len(timeline.spans))] for ms in range(0, timeline.length_ms, 100)]
    shown = list(dict.fromkeys(line for line in marked if line.kind is LineKind.WORDS))
    assert [line.text for line in shown] == [cue.words for cue in timeline.cues if cue.kind is not CueKind.COUNT]


def test_nothing_of_the_next_change_is_marked_before_its_key() -> None:
    lines = script_lines(TIMELINE)
    marks_ms = marks(lines)
    for ms in range(0, TIMELINE.length_ms, 500):
        assert lines[marked_line(lines, marks_ms, ms, 3)].step <= 3


def test_the_screen_shows_the_words_those_to_say_now_marked(script: Callable[..., Script]) -> None:
    assert text(script_rows(script(after_s=1), DAY, Room(64, 20))) == [
        " Tall trees · Standing                        18:42  ends 18:45",
        " Mountain",
        " 0:01 of 0:24  breath 1 of 6                            on time",
        " ██░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░",
        "",
        "",
        "",
        " Mountain · 6 breaths",
        " ► Mountain.",
        "   Stand tall, and let your shoulders drop away from your ears.",
        " ────────────────────────── the key ───────────────────────────",
        "   Inhale, lift your arms.",
        "   Exhale, let them float down.",
        "   Inhale, lift your arms.",
        "   Exhale, let them float down.",
        "   Inhale, lift your right foot.",
        " Tree, right · 6 breaths",
        "   Tree, right side.",
        " next: Inhale, lift your arms.",
        "",
    ]


def test_a_change_that_is_due_stands_still_and_tells_how_long_it_is_over(script: Callable[..., Script]) -> None:
    rows = text(script_rows(script((3, Order.NEXT), after_s=19), DAY, Room(64, 20)))
    assert rows[2] == " 0:19 of 0:04  0:14 over                             0:07 ahead"
    assert rows[3] == f" {'█' * 62}"
    marked = next(row for row in rows if "►" in row)
    assert marked == " ► Exhale, let them float down."
    assert rows[rows.index(marked) + 1].strip("─ ") == "the key"


def test_on_a_large_screen_the_name_is_large_and_words_stand_apart(script: Callable[..., Script]) -> None:
    scene = script(*[(3, Order.NEXT)] * 4, after_s=1)
    rows = text(script_rows(scene, DAY, Room(80, 40)))
    assert scene.name == "tree" and scene.side == "right"
    assert rows[1:4] == [
        " ▀▀█▀▀ █▀▀▄ █▀▀▀ █▀▀▀     █▀▀▄ ▀█▀ ▄▀▀▀ █  █ ▀▀█▀▀",
        "   █   █▀█  █▀▀  █▀▀      █▀█   █  █ ▀█ █▀▀█   █",
        "   ▀   ▀  ▀ ▀▀▀▀ ▀▀▀▀     ▀  ▀ ▀▀▀  ▀▀▀ ▀  ▀   ▀",
    ]
    assert rows[rows.index(" ► Tree, right side.") :][:5] == [
        *(" ► Tree, right side.", ""),
        *("   Press your right foot into the floor, and find one point to look", "   at.", ""),
    ]
    assert {run.ink for run in script_rows(scene, DAY, Room(80, 40))[1]} >= {Ink.NOW, Ink.RIGHT}


def test_a_pause_is_told_and_so_is_lost_sound(script: Callable[..., Script]) -> None:
    paused = script((3, Order.PAUSE), after_s=1)
    assert text(script_rows(paused, DAY, Room(64, 20)))[-1] == " paused: the key for pause goes on"
    lost = script_rows(replace(paused, sound_lost=True), DAY, Room(64, 20))
    assert text(lost)[-1] == " the sound is gone; the rehearsal goes on"
    assert lost[-1][0].ink is Ink.ALARM


def test_at_the_end_there_is_nothing_next(script: Callable[..., Script]) -> None:
    rows = text(script_rows(script(*[(3, Order.NEXT)] * 7), DAY, Room(64, 20)))
    assert rows[8:10] == [" ► Rest · 0:20", " ────────────────────────── the key ───────────────────────────"]
    assert rows[-2] == " then the end"


@given(columns=st.integers(1, 200), rows=st.integers(1, 80), after_s=st.integers(0, 400), steps=st.integers(0, 7))
def test_in_any_room_every_row_is_as_wide_as_the_screen(
    columns: int, rows: int, after_s: int, steps: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    with pytest.MonkeyPatch.context() as patched:
        clock = Clock(patched)
        made, _ = rehearsal(STEPS, TIMELINE, tmp_path_factory.mktemp("s") / "one.jsonl")
        for _ in range(steps):
            made.order(Order.NEXT)
        clock.s += after_s
        picture = script_rows(made.scene(), DAY, Room(columns, rows))
    assert len(picture) <= rows
    assert {sum(cell_len(run.text) for run in row) for row in picture} == {columns}
    if columns >= 24 and rows >= 12:
        assert len(picture) == rows
        assert any("►" in row for row in text(picture))


def test_a_script_can_be_sent_as_json_and_is_the_same_again(script: Callable[..., Script]) -> None:
    for made in (script(after_s=1), script((3, Order.PAUSE)), script(*[(3, Order.NEXT)] * 5), script((2, Order.QUIT))):
        sent = json.dumps(data_of(made))
        assert scene_from(json.loads(sent)) == made and json.loads(sent)["kind"] == "script"


def test_in_lines_each_step_is_told_and_words_before_they_are_said(script: Callable[..., Script]) -> None:
    lines: list[str] = []
    view = ScriptLines(lines.append, lambda: "", lambda keys: None)
    for after_s in (0, 0.1, 1, 3, 30):
        view.show(script(after_s=after_s))
    view.show(script((31, Order.NEXT)))
    view.show(script((31, Order.NEXT), after_s=3))
    view.show(script((31, Order.NEXT), (4, Order.AGAIN)))
    assert lines == [
        "   0:00  mountain (0:24 planned)",
        "         Mountain.",
        "         Stand tall, and let your shoulders drop away from your ears.",
        "   0:30  (the key is due: Inhale, lift your arms.)",
        "   0:31  inhale (0:04 planned)",
        "         Inhale, lift your arms.",
        "   0:34  exhale (0:04 planned)",
        "         Exhale, let them float down.",
        "   0:31  inhale (0:04 planned)",
        "   0:31  (again: Inhale)",
        "         Inhale, lift your arms.",
    ]
