"""A rehearsal in lines: one for each change, and one for words a little before they are to be said."""

from collections.abc import Callable, Iterable, Iterator

from guide.live.terminal_keys import KeyStream
from guide.rehearse.running.script import LineKind, Script
from guide.units import clock


class ScriptLines:
    """Writes a line for all that happens; `keys` waits a little and gives what was typed, or nothing."""

    is_gone = False

    def __init__(
        self, write: Callable[[str], None], keys: Callable[[], str], typed: Callable[[Iterable[str]], None]
    ) -> None:
        self._write, self._keys, self._typed = write, keys, typed
        self._stream = KeyStream()
        self._shown: Script | None = None
        self._said = -1

    def show(self, scene: Script) -> None:
        for line in (*_happened(self._shown, scene), *self._words(scene)):
            self._write(line)
        self._shown = scene

    def wait(self) -> None:
        self._typed(self._stream.keys(self._keys()))

    def _words(self, scene: Script) -> Iterator[str]:
        """The words that have come to be said since the last look."""
        if self._shown is not None and scene.step < self._shown.step:
            self._said = -1
        for line in scene.lines[: scene.marked + 1]:
            if line.kind is LineKind.WORDS and line.start_ms > self._said and line.step >= scene.step:
                self._said = line.start_ms
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
