"""Whatever comes out of a class, chosen by the ending of the file's name."""

from pathlib import Path

from guide.export.audio import AUDIO
from guide.export.captions import CAPTIONS, CHAPTERS, write_captions
from guide.export.track import write_track
from guide.problem import UnusableChoice
from guide.ready.make_ready import ReadyClass
from guide.voice.class_clips import Progress


def write(ready: ReadyClass, path: str | Path, progress: Progress | None = None) -> None:
    """Write what the ending of `path` names of a class that is ready, in place of an older file.

    `.mp3`, `.m4a`, `.opus`, `.ogg`, `.flac` and `.wav` are its sound, `.vtt`, `.srt` and `.lrc` its captions, and
    `.chapters.vtt` and `.chapters.json` its chapters. The old file stays until the new one is whole. `progress` is told
    `(done, total)` while sound is written, in frames.

    Raises:
        UnusableChoice: nothing has that ending, or `path` cannot be a file.
        MachineTrouble: the disk or a missing library does not let it.
    """
    path = Path(path)
    if path.suffix.lower() in AUDIO:
        write_track(path, ready, progress)
    elif path.name.lower().endswith((*CAPTIONS, *CHAPTERS)):
        write_captions(path, ready.timeline)
    else:
        known = ", ".join((*AUDIO, *CAPTIONS, *CHAPTERS))
        raise UnusableChoice(f"{path}: nothing of a class ends in {path.suffix or 'that'} (use one of {known})")
