"""The tapes of a class by the sources that its plan names, each made when it is first asked for."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from guide.problem import UnusableChoice
from guide.sequence.sound_names import BEDS, music_files
from guide.sound.clip_finish import from_int16
from guide.sound.music.beds import bed
from guide.sound.music.kept_music import Progress, kept_piece
from guide.sound.music.measured import HopMeter
from guide.sound.music.tape import Tape, circle, joined


class MusicShelf(Mapping[str, Tape]):
    """Made beds by their names, sound files and folders by their paths; what is made of files is kept in `folder`.

    Asking for a tape raises UnusableChoice for a file that cannot be had and MachineTrouble where the machine cannot.
    """

    def __init__(self, sources: Sequence[str], folder: Path) -> None:
        self._sources, self._folder = tuple(dict.fromkeys(sources)), folder
        self._tapes: dict[str, Tape] = {}
        self._files: dict[Path, tuple[int, int] | None] = {}

    def __getitem__(self, source: str) -> Tape:
        if source not in self._tapes:
            if source not in self._sources:
                raise KeyError(source)
            self._tapes[source] = self._made(source, None)
        return self._tapes[source]

    def __contains__(self, source: object) -> bool:
        return source in self._sources

    def __iter__(self) -> Iterator[str]:
        return iter(self._sources)

    def __len__(self) -> int:
        return len(self._sources)

    def make(self, progress: Progress | None = None) -> "MusicShelf":
        """All tapes, now; `progress` is told how far each file is. Raises as asking for one does."""
        for source in self._sources:
            if source not in self._tapes:
                self._tapes[source] = self._made(source, progress)
        return self

    def news(self) -> str:
        """What there is to say of a file that was changed or taken away since it was read; one file at each call."""
        if not self._files:
            return ""
        path = next(iter(self._files))
        was, now = self._files.pop(path), _seen(path)
        self._files[path] = now
        if now == was:
            return ""
        return f"{path.name} {'was taken away' if now is None else 'was changed'}; the music plays on as it was"

    def _made(self, source: str, progress: Callable[[int, int], None] | None) -> Tape:
        if source in BEDS:
            meter, pcm = HopMeter(), bed(source)
            meter.feed(from_int16(pcm))
            return circle(pcm, meter.hops())
        try:
            paths = music_files(Path(source))
        except OSError as error:
            raise UnusableChoice(f"{source}: the folder of music cannot be read (put it back)") from error
        if not paths:
            raise UnusableChoice(
                f"{source}: there is no sound in this folder (put WAV, FLAC, MP3, Ogg or M4A files there)"
            )
        self._files |= {path: _seen(path) for path in paths}
        return joined([kept_piece(path, self._folder, progress) for path in paths])


def _seen(path: Path) -> tuple[int, int] | None:
    """What tells whether a file is as it was; None where it is not there."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_size, found.st_mtime_ns
