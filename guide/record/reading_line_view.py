"""Recording shown in lines, for screen readers, logs, and terminals of any kind."""

from collections.abc import Iterator

from guide.live.line_view import TypedLines
from guide.live.scene import ReadingScene
from guide.units import at_most


class ReadingLines(TypedLines[ReadingScene]):
    """A line for each line that is to be read, for what goes on with it, and for what is told of its take."""

    def told(self, before: ReadingScene | None, scene: ReadingScene) -> Iterator[str]:
        """The lines that tell it."""
        if before is None:
            yield scene.keys
        if before is None or (before.number, before.section) != (scene.number, scene.section):
            room = f" ({at_most(scene.room_ms)})" if scene.room_ms else ""
            has = " (has a take)" if scene.is_recorded else ""
            yield f"{scene.number:>4}/{scene.lines}  {scene.section}: {scene.words}{room}{has}"
        if scene.counts and (before is None or before.counts != scene.counts):
            yield f"{'':9}{scene.counts}"
        elif before is not None and before.phase != scene.phase and not scene.counts:
            yield f"{'':9}{scene.state}"
        if before is None or before.told != scene.told:
            yield from (f"{'':9}{line}" for line in scene.told)
        if scene.sound_lost and not (before is not None and before.sound_lost):
            yield f"{'':9}(the microphone is gone; it is looked for)"
