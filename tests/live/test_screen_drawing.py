"""The screen as text: whole pictures beside their scenes, and what holds for any scene in any room."""

from hypothesis import given
from hypothesis import strategies as st
from live_scenes import SCENES, scene
from rich.cells import cell_len

from guide.live.scene import Scene
from guide.live.screen.rows import Day, Ink, Row
from guide.live.screen.scene_rows import scene_rows
from guide.plan.moment import Phase

DAY = Day("18:42", "18:50")


def text(rows: tuple[Row, ...]) -> list[str]:
    return ["".join(run.text for run in row).rstrip() for row in rows]


def inks(rows: tuple[Row, ...]) -> set[Ink]:
    return {run.ink for row in rows for run in row if run.text.strip()}


def test_a_hold_shows_what_where_how_long_and_what_is_next() -> None:
    assert text(scene_rows(scene("warrior two, left: 6 breaths"), DAY, 60, 20)) == [
        " Lakeside morning · Standing              18:42  ends 18:50",
        "",
        "",
        "",
        " █   █ ▄▀▀▄ █▀▀▄ █▀▀▄ ▀█▀ ▄▀▀▄ █▀▀▄     ▀▀█▀▀ █   █ ▄▀▀▄",
        " █▄▀▄█ █▀▀█ █▀█  █▀█   █  █  █ █▀█        █   █▄▀▄█ █  █",
        " ▀   ▀ ▀  ▀ ▀  ▀ ▀  ▀ ▀▀▀  ▀▀  ▀  ▀       ▀   ▀   ▀  ▀▀",
        "",
        "",
        "",
        " █    █▀▀▀ █▀▀▀ ▀▀█▀▀",
        " █    █▀▀  █▀▀    █",
        " ▀▀▀▀ ▀▀▀▀ ▀      ▀",
        " ▀▀▀▄   █ █▀▀▀            ▀█▀ █▄ █         ▄▀▀▄ ▄ ▀▀▀▄ █  █",
        "  ▀▀▄ ▄▀  ▀▀▀▄             █  █ ▀█         █  █ ▄ ▄▀▀  ▀▀▀█",
        " ▀▀▀  ▀   ▀▀▀             ▀▀▀ ▀  ▀          ▀▀    ▀▀▀▀    ▀",
        " ░░░░░░░░░░░▐██████████████████████████████████▌░░░░░░░░░░░",
        " ░░░░░░░░░░░▐██████████████████████████████████▌░░░░░░░░░░░",
        " next: triangle, left",
        " warrior two, left: 6 breaths",
    ]


def test_the_right_side_is_written_on_the_right() -> None:
    rows = text(scene_rows(scene(side="right"), DAY, 60, 20))
    assert rows[10].startswith(" " * 30) and len(rows[10]) == 59


def test_a_name_of_three_lines_still_finds_place() -> None:
    rows = text(scene_rows(scene(title="half lord of the wide fishes"), DAY, 60, 20))
    assert len(rows) == 20
    assert all(rows[line] for line in range(1, 10))


def test_a_short_name_is_written_larger() -> None:
    assert "██" in "".join(text(scene_rows(scene(title="tree", side=""), DAY, 60, 20))[1:10])


def test_a_pause_and_lost_sound_are_told_in_large_words() -> None:
    paused, lost = (scene_rows(made, DAY, 60, 20) for made in (scene(paused=True), scene(lost=True)))
    assert text(paused)[13:15] == [
        "               █▀▀▄ ▄▀▀▄ █  █ ▄▀▀▀ █▀▀▀ █▀▀▄",
        "               █▀▀  █▀▀█ █  █  ▀▀▄ █▀▀  █  █",
    ]
    assert text(paused)[-1] == " paused: the key for pause goes on"
    assert text(lost)[-1] == " the sound is gone; the class waits for it"
    assert Ink.ALARM in inks(lost) and Ink.ALARM not in inks(paused)


def test_the_bar_is_full_with_the_lungs_and_empty_with_them() -> None:
    bars = [text(scene_rows(scene(fullness=full), DAY, 60, 20))[16] for full in (0.0, 0.5, 1.0)]
    assert bars == [f" {'░' * 58}", f" {'░' * 14}▐{'█' * 28}▌{'░' * 14}", f" {'█' * 58}"]


def test_a_move_shows_which_way_the_breath_goes_and_no_count() -> None:
    rows = text(scene_rows(scene(title="cow", breath=0, breaths=0, phase=Phase.IN, fullness=0.2), DAY, 60, 20))
    assert rows[13].strip() == "▀█▀ █▄ █"


def test_the_end_is_what_comes_after_the_last_step() -> None:
    assert text(scene_rows(scene(next_title="", next_side=""), DAY, 60, 20))[18] == " then the end"


def test_on_a_large_screen_what_is_next_is_large_too() -> None:
    rows = text(scene_rows(scene(), DAY, 120, 40))
    assert "█" in "".join(rows[36:39]) and not any("next:" in row for row in rows)


def test_a_name_in_other_letters_is_written_small() -> None:
    assert any(row == " поза дерева" for row in text(scene_rows(scene(title="поза дерева"), DAY, 60, 20)))


def test_what_is_told_is_not_said_again_when_it_is_the_name_above() -> None:
    assert text(scene_rows(scene("warrior two, left"), DAY, 60, 20))[-1] == ""


@given(SCENES, st.integers(1, 200), st.integers(1, 70))
def test_any_scene_fills_any_room_exactly(made: Scene, columns: int, rows: int) -> None:
    picture = scene_rows(made, DAY, columns, rows)
    assert len(picture) <= rows and (len(picture) == rows or rows < 8)
    assert {cell_len("".join(run.text for run in row)) for row in picture} == {columns}
