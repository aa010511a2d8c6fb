"""The screen as text: whole pictures beside their scenes, and what holds for any scene in any room."""

import re
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from live_scenes import READIES, READINGS, SCENES, reading, scene
from rich.cells import cell_len

from guide.live.scene import Check, ReadingScene, Ready, Scene
from guide.live.screen import letters
from guide.live.screen.drawing import drawn
from guide.live.screen.letters import Size
from guide.live.screen.pieces import Part, ScreenPiece
from guide.live.screen.reading_rows import reading_rows
from guide.live.screen.ready_rows import ready_pieces, ready_rows
from guide.live.screen.rows import Day, Ink, Room, Row
from guide.live.screen.scene_rows import scene_pieces, scene_rows
from guide.plan.moment import Phase

SCREENS = Path(__file__).parent / "screens"

DAY = Day("18:42", "18:50")

#: The rooms that the screen is made for.
SMALL, WIDE, LARGE, HUGE = Room(80, 24), Room(100, 30), Room(120, 40), Room(160, 50)
ROOMS = (SMALL, WIDE, LARGE, HUGE)

#: What has letters of an eighth of the screen's height, and of a sixteenth.
EIGHTH = {Part.NAME, Part.SIDE, Part.BREATH, Part.COUNT, Part.TIME_LEFT, Part.VERDICT}
SIXTEENTH = {Part.WORDS, Part.NEXT_WORDS, Part.NEXT_POSE, Part.CLOCK, Part.CHECK}


def text(rows: tuple[Row, ...]) -> list[str]:
    return ["".join(run.text for run in row).rstrip() for row in rows]


def of(part: Part, pieces: tuple[ScreenPiece, ...]) -> list[ScreenPiece]:
    return [piece for piece in pieces if piece.part is part]


def says(words: str, part: Part, pieces: tuple[ScreenPiece, ...], room: Room) -> bool:
    """Whether a part says this in large letters, in as many lines as it has."""
    found = of(part, pieces)
    sizes = [Size(found[0].high, wide) for wide in range(1, 20)] if found else []
    lines = tuple(piece.lines for piece in found)
    return any(
        lines == tuple(letters.written(line, size) for line in letters.shortened(words, size, room.inner, len(found)))
        for size in sizes
    )


WORDS = "Step your feet wide, toes forward, hands to your hips. Fold with a long back."
ASKED = "right leg back, left arm forward"

#: A line that is longer than large letters have room for, and what is told of a take of it.
LONG = (
    "If you are pregnant, or have high blood pressure, glaucoma or an injury, ask your doctor, and take the easier "
    "ways."
)
TOLD = (
    "too noisy: your voice is 15 dB above the noise, and 24 is the least "
    "(switch off what hums, shut the window, come closer)",
)

#: What is shown in each picture of `screens/`, which are named after it and the room.
SHOWN = {
    "hold": scene(words=WORDS, words_said=0.1),
    "move": scene(
        title="inhale", action=ASKED, side="right", breath=0, breaths=0, words=f"Inhale, {ASKED}.", words_said=0.5
    ),
    "entry": scene(breath=0, begins_ms=6400, fullness=0.0, phase=Phase.EMPTY, words="Warrior two, left side."),
    "paused": scene(paused=True, side="right", words="Keep both hips level."),
    "lost": scene(lost=True),
    "long": scene(action="half lord of the fishes with a strap around the foot", next_pose="half lord of the fishes"),
    "clock": scene(),
    "reading": reading(),
    "told": reading(phase="recorded", words=LONG, told=TOLD),
    "rest": scene(
        title="final rest",
        action="final rest",
        side="",
        breath=7,
        breaths=0,
        phase=Phase.OUT,
        hold_ms=240_000,
        hold_left_ms=161_000,
        next_pose="",
        next_pose_side="",
    ),
}


def pictured(name: str) -> list[str]:
    """The rows of the screen that is named after its scene and its room, as `hold-80x24`."""
    scene_name, columns, rows = re.split(r"[-x]", name)
    return text(drawn(SHOWN[scene_name], DAY, Room(int(columns), int(rows))))


@pytest.mark.parametrize("picture", sorted(SCREENS.glob("*.txt")), ids=lambda path: path.stem)
def test_a_screen_is_as_it_is_pictured(picture: Path) -> None:
    assert pictured(picture.stem) == picture.read_text(encoding="utf-8").split("\n")[:-1]


def test_before_a_hold_its_beginning_is_counted_down() -> None:
    made = scene_pieces(scene(breath=0, begins_ms=6400, fullness=0.0, phase=Phase.EMPTY), DAY, SMALL)
    assert says("begins", Part.BREATH, made, SMALL) and says("0:07", Part.COUNT, made, SMALL)


def test_the_breaths_that_are_left_stand_empty_in_a_bar() -> None:
    shown = (scene(breath=0, begins_ms=1), scene(breath=1), scene(), scene(breath=5))
    bars = ["".join(of(Part.HOLD_BAR, scene_pieces(made, DAY, SMALL))[0].lines).split() for made in shown]
    assert [["■" in each for each in bar] for bar in bars] == [
        [breath < done for breath in range(5)] for done in (0, 1, 3, 5)
    ]
    assert {tuple(len(each) for each in bar) for bar in bars} == {(14, 15, 14, 15, 16)}


def test_a_hold_by_the_clock_shows_how_long_yet_and_a_bar_that_fills() -> None:
    made = scene(breath=3, breaths=0, side="", hold_ms=240_000, hold_left_ms=60_000)
    assert says("1:00", Part.COUNT, scene_pieces(made, DAY, SMALL), SMALL)
    bar = "".join(of(Part.HOLD_BAR, scene_pieces(made, DAY, SMALL))[0].lines)
    assert (bar.count("■"), bar.count("─")) == (58, 20)


@pytest.mark.parametrize("room", ROOMS)
def test_each_side_is_written_on_its_side_and_both_in_letters_of_one_size(room: Room) -> None:
    left, right = (of(Part.SIDE, scene_pieces(scene(side=side), DAY, room))[0] for side in ("left", "right"))
    assert left.left == 1 and right.right == room.columns - 1
    sizes = [Size(left.high, wide) for wide in range(1, 20)]
    assert [size for size in sizes if letters.written("left", size) == left.lines] == [
        size for size in sizes if letters.written("right", size) == right.lines
    ]


@pytest.mark.parametrize("room", ROOMS)
def test_a_move_without_a_name_says_what_to_do_beside_its_breath(room: Room) -> None:
    made = scene_pieces(
        scene(title="inhale", action="right leg back, left arm forward", breath=0, breaths=0), DAY, room
    )
    assert says("right leg back, left arm forward", Part.NAME, made, room)
    assert says("in", Part.BREATH, made, room) and not of(Part.COUNT, made)


@pytest.mark.parametrize("room", ROOMS)
def test_a_class_that_waits_says_so_and_breath_count_and_time_stay(room: Room) -> None:
    for waits in (scene(paused=True, words="Look up."), scene(lost=True, words="Look up.")):
        made = scene_pieces(waits, DAY, room)
        assert says("in", Part.BREATH, made, room) and says("9 min", Part.TIME_LEFT, made, room)
        # What was broken off is what is said next.
        assert says("Look up.", Part.NEXT_WORDS, made, room)
    assert {piece.ink for piece in of(Part.WORDS, made)} == {Ink.ALARM}


def test_what_was_just_told_takes_the_place_of_the_next_words_unless_it_stands_above() -> None:
    told = scene_pieces(scene("voice up"), DAY, SMALL)
    assert says("voice up", Part.NEXT_WORDS, told, SMALL)
    untold = scene_pieces(scene("warrior two, left"), DAY, SMALL)
    assert of(Part.NEXT_WORDS, untold)[0].ink is Ink.FAINT


def test_a_longer_telling_has_the_place_of_the_next_pose_too_and_one_that_is_longer_yet_is_written_small() -> None:
    words = "waiting for words that are being spoken"
    longer = scene_pieces(scene(words), DAY, SMALL)
    assert says(words, Part.NEXT_WORDS, longer, SMALL) and not of(Part.NEXT_POSE, longer)
    trouble = "a sound was left out: bells/lake.wav: it is gone; put it back"
    rows = text(scene_rows(scene(trouble), DAY, Room(80, 24)))
    assert rows[-1] == f" {trouble}"


def test_words_that_have_no_room_at_once_are_shown_as_they_are_said() -> None:
    for said, page in (
        (0.0, "Step your feet wide, toes"),
        (0.3, "Step your feet wide, toes"),
        (0.5, "forward, hands to your hips. Fold"),
        (0.99, "with a long back."),
    ):
        made = scene_pieces(scene(words=WORDS, words_said=said), DAY, SMALL)
        assert says(page, Part.WORDS, made, SMALL), page
    assert says(WORDS, Part.WORDS, scene_pieces(scene(words=WORDS), DAY, Room(200, 50)), Room(200, 50))


def test_the_next_pose_is_named_with_its_side_and_after_the_last_comes_the_end() -> None:
    assert says("next: triangle, left", Part.NEXT_POSE, scene_pieces(scene(), DAY, SMALL), SMALL)
    last = scene_pieces(scene(next_pose="", next_pose_side=""), DAY, SMALL)
    assert says("then the end", Part.NEXT_POSE, last, SMALL)


@pytest.mark.parametrize(
    ("left_ms", "told"), [(490_000, "9 min"), (5_400_000, "90 min"), (100_000, "2 min"), (99_000, "99 s"), (1, "1 s")]
)
def test_the_time_left_is_told_in_minutes_and_at_the_end_in_seconds(left_ms: int, told: str) -> None:
    assert says(told, Part.TIME_LEFT, scene_pieces(scene(left_ms=left_ms), DAY, SMALL), SMALL)


def test_the_bar_is_full_with_the_lungs_and_empty_with_them() -> None:
    bars = [text(scene_rows(scene(fullness=full), DAY, SMALL))[9] for full in (0.0, 0.5, 1.0)]
    assert bars == [f" {'░' * 78}", f" {'░' * 19}▐{'█' * 38}▌{'░' * 19}", f" {'█' * 78}"]


def test_the_section_has_a_bar_that_fills_and_a_class_without_sections_one_of_its_own() -> None:
    for made in (scene(), scene(section="", section_ms=0, section_left_ms=0, at_ms=200_000, left_ms=300_000)):
        last = text(scene_rows(made, DAY, SMALL))[-1]
        assert (last.count("■"), last.count("─")) == (16, 23)
    assert last.startswith(" Lakeside morning  ")


def test_a_long_name_is_narrowed_then_wrapped_then_shortened() -> None:
    for name, lines in (("half lord of the fishes", 1), ("half lord of the fishes with a strap", 2), ("x" * 80, 2)):
        made = scene_pieces(scene(action=name), DAY, SMALL)
        assert len(of(Part.NAME, made)) == lines
        assert says(name, Part.NAME, made, SMALL)


def test_the_next_words_give_way_to_a_name_of_two_lines() -> None:
    made = scene_pieces(scene(action="half lord of the fishes with a strap", words="Sit tall."), DAY, SMALL)
    assert not of(Part.NEXT_WORDS, made) and says("Sit tall.", Part.WORDS, made, SMALL)


def test_a_name_in_other_letters_is_written_small() -> None:
    assert any(row == " поза дерева" for row in text(scene_rows(scene(action="поза дерева"), DAY, SMALL)))


def test_in_a_small_room_everything_is_written_small() -> None:
    rows = text(scene_rows(scene(words="Look up."), DAY, Room(40, 12)))
    assert [row.strip() for row in rows if row.strip() and "░" not in row and "─" not in row] == [
        "warrior two",
        "left  in  3",
        "Look up.",
        "Bend the left knee toward a right",
        "angle, knee over heel.",
        "next: triangle, left",
        "9 min, 18:42, ends 18:50",
    ]


def test_ready_is_one_large_word_and_what_it_rests_on() -> None:
    checks = (Check("device", True, "headphones"), Check("disk", True, "12 GB"), Check("clock", True, "18:42"))
    ready = Ready("Lakeside morning", (*checks, Check("words", True, "all"), Check("end", True, "19:07")), 1_500_000)
    made = ready_pieces(ready, SMALL)
    assert says("ready", Part.VERDICT, made, SMALL)
    assert [piece.lines for piece in of(Part.CHECK, made)] == [
        letters.written(words, Size(5, 1))
        for words in ("device: headphones", "disk: 12 GB", "clock: 18:42", "words: all", "end: 19:07")
    ]
    assert ready.line == "ready; device: headphones; disk: 12 GB; clock: 18:42; words: all; end: 19:07"


def test_what_is_not_well_is_named_in_the_verdict_and_marked() -> None:
    ready = Ready("T", (Check("device", True, "headphones"), Check("disk", False, "1 MB free")), 1_500_000)
    made = ready_pieces(ready, SMALL)
    assert says("not ready: disk", Part.VERDICT, made, SMALL)
    assert [piece.ink for piece in of(Part.CHECK, made)] == [Ink.PLAIN, Ink.ALARM]
    assert of(Part.CHECK, made)[1].lines == letters.written("! disk: 1 MB free", Size(5, 1))


ANY_ROOM = st.builds(Room, st.integers(1, 200), st.integers(1, 70), st.sampled_from([1, 2]))
LARGE_ROOM = st.builds(Room, st.integers(80, 220), st.integers(24, 80), st.sampled_from([1, 2])) | st.sampled_from(
    ROOMS
)


@given(SCENES | READIES, ANY_ROOM)
def test_any_scene_fills_any_room_exactly(made: Scene | Ready, room: Room) -> None:
    picture = ready_rows(made, DAY, room) if isinstance(made, Ready) else scene_rows(made, DAY, room)
    assert len(picture) == room.rows
    assert {cell_len("".join(run.text for run in row)) for row in picture} == {room.columns}


@given(SCENES, LARGE_ROOM)
def test_everything_that_matters_is_there_and_can_be_read_from_three_metres(made: Scene, room: Room) -> None:
    now, pieces = made.moment, scene_pieces(made, DAY, room)
    well_placed(pieces, room)
    there = {piece.part for piece in pieces}
    assert {Part.TIME_LEFT, Part.CLOCK} <= there
    assert made.told or Part.NEXT_POSE in there
    wanted = {
        Part.NAME: now.action.strip(),
        Part.SIDE: now.side,
        Part.BREATH: now.breath or now.begins_ms or now.phase is not Phase.EMPTY,
        Part.COUNT: now.breath or now.begins_ms,
        Part.WORDS: now.words.strip() or made.is_paused or made.sound_lost,
    }
    assert {part for part, is_told in wanted.items() if is_told} <= there | {
        part for part, words in ((Part.NAME, now.action), (Part.WORDS, now.words)) if not letters.can_write(words)
    }
    # Words to be said give way to a name of two lines alone.
    if len(of(Part.NAME, pieces)) == 1 and letters.can_write(now.next_words) and now.next_words.strip():
        assert made.told or Part.NEXT_WORDS in there


@given(READIES, LARGE_ROOM)
def test_whether_all_is_ready_can_be_read_from_three_metres(made: Ready, room: Room) -> None:
    pieces = ready_pieces(made, room)
    well_placed(pieces, room)
    assert of(Part.VERDICT, pieces)


def well_placed(pieces: tuple[ScreenPiece, ...], room: Room) -> None:
    """Letters are as high as is promised, nothing lies on anything else, and nothing outside."""
    for piece in pieces:
        assert 0 <= piece.top < piece.bottom <= room.rows
        assert 0 <= piece.left <= piece.right <= room.columns
        assert {cell_len(line) for line in piece.lines} == {piece.columns}
        # The terminal's own letters stand where there are no larger ones, as for another alphabet.
        share = 8 if piece.part in EIGHTH else 16 if piece.part in SIXTEENTH else 0
        if piece.high != 2 and share:
            assert piece.high * share >= 2 * room.rows and len(piece.lines) * 2 >= piece.high
    for one, other in combinations(pieces, 2):
        apart = one.bottom <= other.top or other.bottom <= one.top or one.right <= other.left or other.right <= one.left
        assert apart, (one, other)


@given(SCENES, LARGE_ROOM)
def test_a_breath_moves_nothing_but_itself(made: Scene, room: Room) -> None:
    halves = [
        scene_pieces(replace(made, moment=replace(made.moment, phase=phase, begins_ms=0)), DAY, room)
        for phase in (Phase.IN, Phase.OUT)
    ]
    after_in, after_out = ([piece for piece in half if piece.part is not Part.BREATH] for half in halves)
    assert after_in == after_out


@given(READINGS, st.builds(Room, st.integers(1, 160), st.integers(1, 50)))
def test_a_line_to_read_fills_any_room(made: ReadingScene, room: Room) -> None:
    rows = reading_rows(made, DAY, room)
    assert len(rows) == room.rows
    assert all(sum(cell_len(run.text) for run in row) == room.columns for row in rows)


def test_no_word_of_a_line_to_read_is_left_out() -> None:
    words = " ".join([LONG] * 5)
    for room in ROOMS:
        rows = " ".join(" ".join(text(reading_rows(reading(words=words), DAY, room))).split())
        assert words in rows
