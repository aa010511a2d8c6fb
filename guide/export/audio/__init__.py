"""Sound files: the format is chosen by the suffix of the name, the file is written while the sound is made."""

import contextlib
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from guide.export.atomic_write import atomic_file
from guide.export.audio import flac, m4a, mp3, ogg, opus, wav
from guide.export.audio.base import CHANNELS, AudioFormat, Sink
from guide.export.audio.pump import encode
from guide.export.tags import Tags
from guide.problem import UnusableChoice

#: Where something is lost, decoded peaks are higher than they were. (Measured with FFmpeg's decoders, of 150 cues
#: limited for -14 LUFS: MP3 0.1 dB at most, AAC 0.5, Vorbis 0.4, Opus 1.0; the rest is for other words.)
AUDIO: dict[str, AudioFormat] = {
    ".wav": AudioFormat("WAV, 16 bit", wav.WavEncoder, has_cover=False),
    ".flac": AudioFormat("FLAC, 16 bit", flac.FlacEncoder),
    ".mp3": AudioFormat("MP3, 64 kb/s a channel", mp3.Mp3Encoder, 0.4),
    ".opus": AudioFormat("Opus, about 64 kb/s a channel", opus.start, 1.6),
    ".ogg": AudioFormat("Ogg Vorbis, about 64 kb/s a channel", ogg.VorbisEncoder, 0.8),
    ".m4a": AudioFormat("M4A (AAC), 64 kb/s a channel", m4a.start, 0.9),
}


def write_audio(path: Path, blocks: Iterator[NDArray[np.float32]], tags: Tags, channels: int = CHANNELS) -> None:
    """Write `blocks` (48 kHz, full scale 1.0) to `path`, in the format that its suffix names.

    A block has the shape (n, 2), or (n,) for a sound that is the same in both channels, which costs less; a file of
    one `channels` takes no other.

    The memory needed does not grow with the length (for an M4A, by 11 MB an hour). An old file at `path` stays until
    the new one is whole.

    Raises: UnusableChoice for a suffix that is no format's, or a path that cannot be a file; MachineTrouble when the
    disk or a missing library does not let it; and whatever the iterator raises.
    """
    audio_format = format_of(path)
    with atomic_file(path) as part:
        encode_to(part, audio_format, blocks, tags, channels)


def encode_to(
    part: Path, audio_format: AudioFormat, blocks: Iterator[NDArray[np.float32]], tags: Tags, channels: int = CHANNELS
) -> None:
    """The same into a file that is there and empty, in the format given. Raises OSError for what the disk says."""
    sink = Sink(part.open("r+b", buffering=1 << 16))
    try:
        encode(blocks, audio_format.start(sink, tags, channels), sink, channels)
    except BaseException:
        with contextlib.suppress(OSError):
            sink.close()
        raise
    sink.close()


def format_of(path: Path) -> AudioFormat:
    """The format that the suffix of `path` names, in capitals or not.

    Raises: UnusableChoice, with the suffixes there are.
    """
    try:
        return AUDIO[path.suffix.lower()]
    except KeyError:
        known = ", ".join(AUDIO)
        what = f"no sound file ends in {path.suffix}" if path.suffix else "the name has no ending"
        raise UnusableChoice(f"{path}: {what} (use one of {known})") from None
