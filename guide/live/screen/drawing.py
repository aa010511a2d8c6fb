"""What draws each kind of scene in the terminal."""

from collections.abc import Callable
from typing import Any

from guide.live.scene import ReadingScene, Ready, Scene, Script, Showable
from guide.live.scene_data import data_of, scene_from
from guide.live.screen.reading_rows import reading_rows
from guide.live.screen.ready_rows import ready_rows
from guide.live.screen.rows import Day, Room, Row
from guide.live.screen.scene_rows import scene_rows
from guide.live.screen.script_rows import script_rows
from guide.visible import visible_in_line

#: Pure functions of a scene, the time of day, and the room there is.
DRAWN_BY: dict[type[Showable], Callable[[Any, Day, Room], tuple[Row, ...]]] = {
    Scene: scene_rows,
    Script: script_rows,
    Ready: ready_rows,
    ReadingScene: reading_rows,
}


def drawn(scene: Showable, day: Day, room: Room) -> tuple[Row, ...]:
    """The scene as rows that fill the room (fewer where there is next to none)."""
    return DRAWN_BY[type(scene)](scene_from(_seen(data_of(scene))), day, room)


def _seen(value: Any) -> Any:
    """Data of a scene with escapes for what a terminal would obey: titles and names of devices come from outside."""
    if isinstance(value, str):
        return visible_in_line(value)
    if isinstance(value, dict):
        return {name: _seen(item) for name, item in value.items()}
    return [_seen(item) for item in value] if isinstance(value, list) else value
