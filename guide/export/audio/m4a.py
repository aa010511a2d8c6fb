"""M4A (AAC) through PyAV, which is an extra.

The container keeps a list of all its packets until the end, so that memory grows by about 11 MB for each hour of sound;
every other format needs the same for any length.
"""

import importlib.util

from guide.export.audio.base import CHANNELS, Encoder, Writable
from guide.export.tags import Tags
from guide.problem import MachineTrouble

BITS_A_CHANNEL = 64_000


def start(sink: Writable, tags: Tags, channels: int = CHANNELS) -> Encoder:
    """Raises: MachineTrouble where PyAV is missing, with the line that installs it."""
    if importlib.util.find_spec("av") is None:
        raise MachineTrouble(
            "an .m4a needs the extra m4a, which is not installed (pip install 'practice-guide[m4a]', or write an .mp3)"
        )
    from guide.export.audio.av_encoder import AvEncoder

    return AvEncoder(sink, "ipod", "aac", BITS_A_CHANNEL, channels, tags)
