"""A rehearsal in lines: one for each change, and one for words a little before they are to be said."""

from collections.abc import Callable, Iterable, Iterator

from guide.live.line_view import TypedLines
from guide.live.scene import LineKind, Ready, Script
from guide.units import clock


class ScriptLines(TypedLines[Script | Ready]):
    """A line for each change, for the words as they come to be said, and for what was asked."""

    def __init__(
        self, write: Callable[[str], None], keys: Callable[[], str], typed: Callable[[Iterable[str]], None]
    ) -> None:
        super().__init__(write, keys, typed)
        self._said_ms = -1

    def told(self, before: Script | Ready | None, scene: Script | Ready) -> Iterator[str]:
        """The lines that tell it: what is ready, steps, words, and keys that are due."""
        if isinstance(scene, Ready):
            if before is None:
                yield scene.line
            return
        before = before if isinstance(before, Script) else None
        yield from _happened(before, scene)
        if before is not None and scene.step < before.step:
            self._said_ms = -1
        for line in scene.lines[: scene.marked + 1]:
            if line.kind is LineKind.WORDS and line.start_ms > self._said_ms and line.step >= scene.step:
                self._said_ms = line.start_ms
                yield f"{'':9}{line.text}"


def _happened(before: Script | None, scene: Script) -> Iterator[str]:
    moment = f"{clock(scene.at_ms):>7}"
    if before is None or before.step != scene.step:
        side = f", {scene.side}" if scene.side else ""
        yield f"{moment}  {scene.name}{side} ({clock(scene.planned_ms)} planned)"
    elif before.into_ms < before.planned_ms <= scene.into_ms and scene.next_name:
        yield f"{moment}  (the key is due: {scene.next_name})"
    if scene.told and (before is None or scene.tells != before.tells):
        yield f"{moment}  ({scene.told})"
    if scene.sound_lost and not (before is not None and before.sound_lost):
        yield f"{moment}  (the sound is gone; the rehearsal goes on)"
