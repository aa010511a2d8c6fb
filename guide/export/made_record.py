"""What the tracks of a folder were made of, in a hidden file beside them: so that what has not changed is left alone.

Nothing is told by dates: a class is the same while all that goes into its track is the same, byte for byte, and its
track while it and the files beside it are as they were left.
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from pathlib import Path

from guide.export.atomic_write import write_atomically
from guide.problem import GuideError
from guide.ready.ingredients import hash_of

#: The hidden file, in the folder of the tracks.
NAME = ".practice-guide-made.json"


@dataclass(frozen=True, slots=True)
class Made:
    """A track as it was left: a hash of what it was made of, and one of each file by its name."""

    of: str
    files: Mapping[str, str]

    def is_there(self, of: str, paths: Sequence[Path]) -> bool:
        """Whether these files are there, as they were left, and would be made of the same."""
        return self.of == of and self.files == hashes(paths)


@dataclass(slots=True)
class MadeRecord:
    """All tracks that were made in a folder, each by the name of its file."""

    folder: Path
    tracks: dict[str, Made] = field(default_factory=dict)

    @staticmethod
    def read(folder: Path) -> "MadeRecord":
        """What is kept of a folder; nothing where there is nothing, or it is damaged: all is made again then."""
        try:
            kept = json.loads((folder / NAME).read_bytes())["tracks"]
            return MadeRecord(folder, {name: Made(str(made["of"]), dict(made["files"])) for name, made in kept.items()})
        except (OSError, ValueError, TypeError, KeyError, AttributeError):
            return MadeRecord(folder)

    def keep(self, track: Path, made: Made) -> None:
        """Keep one more. A disk that does not let it costs time, and no track."""
        self.tracks[track.name] = made
        kept = {"tracks": {name: asdict(made) for name, made in sorted(self.tracks.items())}}
        with suppress(GuideError):
            write_atomically(self.folder / NAME, json.dumps(kept, indent=1) + "\n")


def hashes(paths: Iterable[Path]) -> dict[str, str]:
    """A hash of each file by its name; of one that cannot be read, a word that is none."""
    return {path.name: hash_of(path) for path in paths}
