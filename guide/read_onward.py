"""A sound file that is read from its beginning on, piece by piece, exactly as it is."""

from pathlib import Path
from typing import Any


def opened_onward(path: Path) -> Any:
    """The file as soundfile opens it, which never seeks in it. Raises what soundfile does.

    By itself soundfile seeks to where it is after each piece. In an MP3 that loses what the next frames have put into
    the ones before (ISO/IEC 11172-3, 2.4.3.4: the bit reservoir), and each piece began with 50 to 75 ms of other sound
    (measured with a sine: as loud as the sine).
    """
    import soundfile

    class Onward(soundfile.SoundFile):  # type: ignore[misc]
        def seekable(self) -> bool:
            """Told as a pipe tells it, it is read on and on."""
            return False

    return Onward(path)
