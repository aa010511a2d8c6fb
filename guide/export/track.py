"""A class as a sound file, with its sections as chapters in its tags."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from guide.export.audio import format_of, write_audio
from guide.export.chapters import chapters
from guide.export.tags import Tags
from guide.ready.make_ready import ReadyClass
from guide.sequence.caution import CAUTION
from guide.sound.levels import METER_ROOM_DB
from guide.sound.loudness_meter import Meter
from guide.sound.mixer import BLOCK_FRAMES, Mix, centre, prepare
from guide.units import RATE_HZ
from guide.voice.class_clips import Progress


@dataclass(frozen=True, slots=True)
class Measured:
    """How loud a track is as a whole (LUFS), its highest true peak (dBTP), and how far that may be higher when it is
    decoded, 0 where nothing is lost."""

    integrated_lufs: float
    true_peak_db: float
    overshoot_db: float

    def __str__(self) -> str:
        """Both as a person is told; of a format that loses something, the most that the peak may be."""
        most = "at most " if self.overshoot_db else ""
        return f"{self.integrated_lufs:.1f} LUFS, peak {most}{self.true_peak_db + self.overshoot_db:.1f} dBTP"


def write_track(path: Path, ready: ReadyClass, progress: Progress | None = None) -> Measured:
    """Write the sound of a class, in the format that the ending of `path` names; `progress` is told frames.

    An old file at `path` stays until the new one is whole.

    Raises:
        UnusableChoice: no format has that ending, or `path` cannot be a file.
        MachineTrouble: the disk or a missing library does not let it.
    """
    overshoot_db = format_of(path).overshoot_db
    room_db = METER_ROOM_DB + overshoot_db
    mix = prepare(ready.timeline, ready.spoken, ready.palette, ready.loudness_lufs, room_db=room_db)
    meter = Meter(RATE_HZ)
    write_audio(path, _measured(mix, meter, progress), tags_of(ready))
    return Measured(meter.integrated, meter.true_peak, overshoot_db)


def _measured(mix: Mix, meter: Meter, progress: Progress | None) -> Iterator[NDArray[np.float32]]:
    """The blocks of the class (the same in both channels) from its beginning to its end, measured as they go by."""
    for first in range(0, mix.length_frames, BLOCK_FRAMES):
        sound = centre(mix, first, min(BLOCK_FRAMES, mix.length_frames - first))
        meter.feed(sound)
        yield sound
        if progress is not None:
            progress(first + len(sound), mix.length_frames)


def tags_of(ready: ReadyClass) -> Tags:
    """What the track of a class says about itself."""
    return Tags(
        title=ready.class_file.title,
        by=ready.class_file.by,
        date=ready.class_file.date,
        comment=" ".join(filter(None, (ready.class_file.about, CAUTION))),
        chapters=chapters(ready.timeline),
        length_ms=ready.timeline.length_ms,
    )
