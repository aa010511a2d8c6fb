"""The screen in a terminal of Textual's own: what it shows, what it passes on, and that it ends only with the class."""

import asyncio
import os
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from live_scenes import scene
from pressing import LONGEST_S

from guide.live.scene import Scene
from guide.live.screen import letters
from guide.live.screen.app import Screen
from guide.live.screen.process import ADDRESS, KEY, ScreenProcess

EVENING = datetime(2026, 11, 25, 18, 42)


class Class:
    """A class that is as the test says."""

    def __init__(self) -> None:
        self.scene = scene()
        self.pressed: list[tuple[str, str | None]] = []

    def look(self) -> Scene:
        return self.scene

    def press(self, key: str, character: str | None) -> None:
        self.pressed.append((key, character))


def on_screen(led: Class, do: "Callable[[Screen, object], object]", size: tuple[int, int] = (60, 20)) -> Screen:
    screen = Screen(led.look, led.press, lambda: EVENING)

    async def run() -> None:
        async with screen.run_test(size=size) as pilot:
            await pilot.pause()
            await do(screen, pilot)  # type: ignore[misc]

    asyncio.run(run())
    return screen


def rows(screen: Screen) -> list[str]:
    picture = screen._picture
    return ["".join(segment.text for segment in picture.render_line(y)) for y in range(picture.size.height)]


def test_the_scene_is_shown_with_the_time_at_which_the_class_ends() -> None:
    seen: list[str] = []

    async def do(screen: Screen, pilot: object) -> None:
        seen.extend(rows(screen))

    on_screen(Class(), do)
    assert len(seen) == 20
    picture = Path(__file__).parent / "screens" / "clock-60x20.txt"
    assert [row.rstrip() for row in seen] == picture.read_text(encoding="utf-8").split("\n")[:-1]


def test_every_key_is_the_classs_and_none_ends_the_screen() -> None:
    led = Class()

    async def do(screen: Screen, pilot: object) -> None:
        keys = ("pageup", "full_stop", "V", "ctrl+c", "ctrl+q", "escape", "space", "f5", "tab", "ctrl+p")
        await pilot.press(*keys)  # type: ignore[attr-defined]
        assert screen.is_running

    on_screen(led, do)
    assert [key for key, _ in led.pressed] == [
        *("pageup", "full_stop", "V", "ctrl+c", "ctrl+q", "escape", "space", "f5", "tab", "ctrl+p")
    ]
    assert led.pressed[1] == ("full_stop", ".")


def test_a_question_mark_lists_the_keys_until_it_or_another_key_comes() -> None:
    led = Class()
    seen: list[list[str]] = []

    async def do(screen: Screen, pilot: object) -> None:
        for key in ("question_mark", "question_mark", "question_mark", "n"):
            await pilot.press(key)  # type: ignore[attr-defined]
            screen.draw()
            seen.append([row.strip() for row in rows(screen)])

    on_screen(led, do)
    listed = "on to the next step     right, page down, n, next song, button"
    assert [any(row.startswith(listed[:50]) for row in screen) for screen in seen] == [True, False, True, False]
    assert {len(screen) for screen in seen} == {20}
    assert [key for key, _ in led.pressed] == ["n"]


def test_it_follows_the_class_and_ends_with_it() -> None:
    led = Class()
    titles: list[str] = []

    async def do(screen: Screen, pilot: object) -> None:
        led.scene = scene(action="tree", fullness=0.0)
        screen.draw()
        titles.extend(rows(screen)[:4])
        led.scene = replace(scene(), is_over=True)
        screen.draw()

    screen = on_screen(led, do)
    # The four rows of the name have nothing of the one before.
    tree = letters.written("tree", letters.PLAIN)
    assert [row.strip() for row in titles][: len(tree)] == [row.strip() for row in tree]
    assert screen.return_code == 0


def test_a_smaller_terminal_is_filled_too() -> None:
    seen: list[str] = []

    async def do(screen: Screen, pilot: object) -> None:
        await pilot.resize_terminal(40, 12)  # type: ignore[attr-defined]
        await pilot.pause()  # type: ignore[attr-defined]
        screen.draw()
        seen.extend(rows(screen))

    on_screen(Class(), do)
    assert len(seen) == 12 and {len(row) for row in seen} == {40}
    assert any("warrior two" in row for row in seen)


@pytest.mark.parametrize("no_color", ["", "1"])
def test_without_colour_everything_is_told_all_the_same(monkeypatch: pytest.MonkeyPatch, no_color: str) -> None:
    # Source: no-color.org, the variable counts when it is there and not empty; a side is told by word and place anyway.
    if no_color:
        monkeypatch.setenv("NO_COLOR", no_color)
    coloured: list[bool] = []

    async def do(screen: Screen, pilot: object) -> None:
        styles = [segment.style for strip in screen.screen._compositor.render_strips() for segment in strip]
        triplets = [style.color.triplet for style in styles if style is not None and style.color is not None]
        coloured.append(any(len({*triplet}) > 1 for triplet in triplets if triplet is not None))

    on_screen(Class(), do)
    assert coloured == [not no_color]


def test_a_screen_that_cannot_be_started_is_gone_and_the_class_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("guide.live.screen.process.sys.executable", "/bin/false")
    made = ScreenProcess("nowhere", "00")
    made.start()
    made._process.wait(LONGEST_S)  # type: ignore[union-attr]
    assert made.is_gone
    made.stop()
    assert ADDRESS not in os.environ and KEY not in os.environ
