"""A class as a sound file, with its sections or poses as chapters in its tags."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from guide.export.audio import encode_to
from guide.export.audio.base import AudioFormat
from guide.export.chapters import chapters
from guide.export.cover_image import CoverImage, read_cover
from guide.export.picture.exporters import cover_png
from guide.export.seal import MADE_BY
from guide.export.tags import Tags
from guide.plan.thinning import whole
from guide.ready.choices import Cover
from guide.ready.make_ready import ReadyClass
from guide.sequence.caution import caution
from guide.sound.levels import METER_ROOM_DB
from guide.sound.loudness_meter import Meter
from guide.sound.mixer import BLOCK_FRAMES, Mix, bells, centre, music, prepare, voice, with_room_tone
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


#: What of a mix a file may hold: all of it, or one of the parts that it is the sum of, sample by sample.
Sound = Callable[[Mix, int, int], NDArray[np.float32]]
STEMS: Mapping[str, Sound] = {"voice": voice, "bells": bells, "music": music}


def write_track(
    part: Path,
    audio_format: AudioFormat,
    ready: ReadyClass,
    progress: Progress | None = None,
    sound: Sound = centre,
) -> Measured:
    """Write the sound of a class, or a part of it, into a new file; `progress` is told frames.

    Raises:
        UnusableChoice: the class has more sections than the format can list, or its cover is no picture.
        MachineTrouble: a library is missing.
        OSError: the disk does not let it.
    """
    overshoot_db = audio_format.overshoot_db
    room_db = METER_ROOM_DB + overshoot_db
    mix = prepare(
        whole(ready.timeline),
        ready.spoken,
        ready.palette,
        ready.loudness_lufs,
        room_db=room_db,
        tapes=ready.music,
        balance=ready.balance,
    )
    if ready.timeline.left_out:
        # Words and bells are as loud as where nothing is left out.
        mix = prepare(ready.timeline, ready.spoken, ready.palette, settled=mix.predicted, tapes=ready.music)
    if ready.room_tone:
        mix = with_room_tone(mix)
    meter = Meter(RATE_HZ)
    encode_to(part, audio_format, _measured(mix, sound, meter, progress), tags_of(ready, audio_format), ready.channels)
    return Measured(meter.integrated, meter.true_peak, overshoot_db)


def _measured(mix: Mix, sound: Sound, meter: Meter, progress: Progress | None) -> Iterator[NDArray[np.float32]]:
    """The blocks of the class (the same in both channels) from its beginning to its end, measured as they go by."""
    for first in range(0, mix.length_frames, BLOCK_FRAMES):
        block = sound(mix, first, min(BLOCK_FRAMES, mix.length_frames - first))
        meter.feed(block)
        yield block
        if progress is not None:
            progress(first + len(block), mix.length_frames)


def tags_of(ready: ReadyClass, audio_format: AudioFormat) -> Tags:
    """What the track of a class says about itself. Raises UnusableChoice, MachineTrouble."""
    return Tags(
        title=ready.class_file.title,
        by=ready.class_file.by,
        date=ready.class_file.date,
        album=ready.album.title if ready.album else "",
        track=f"{ready.album.number}/{ready.album.of}" if ready.album else "",
        comment=" ".join(filter(None, (ready.class_file.about, caution(ready.class_file.avoid)))),
        chapters=chapters(ready.timeline),
        length_ms=ready.timeline.length_ms,
        made_by=MADE_BY,
        cover=_cover(ready) if audio_format.has_cover else None,
    )


def _cover(ready: ReadyClass) -> CoverImage | None:
    """The picture that a track bears. Raises UnusableChoice, MachineTrouble."""
    if ready.cover is Cover.NONE:
        return None
    return read_cover(cover_png(ready) if ready.cover is Cover.CLASS else ready.cover)
