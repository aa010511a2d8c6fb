"""Short sounds trimmed, faded and levelled, which pydub does well."""

import warnings
from typing import Any

import numpy as np
from numpy.typing import NDArray

from guide.units import RATE_HZ

#: A sound begins where it comes within LEAD_DB of its peak and is over where it stays TAIL_DB below it.
LEAD_DB = 50.0
TAIL_DB = 60.0

_STEP_MS = 5
_FADE_IN_MS = 2
_LONGEST_FADE_MS = 1500
_FULL_SCALE = 2.0**31

Single = NDArray[np.float32]


def trimmed(samples: Single, longest_ms: int) -> Single:
    """A mono sound at 48 kHz without the silence around it, at most `longest_ms` long, faded out at its end.

    A sound that had to be cut fades out over a second and a half, another over its last twentieth. Silence comes back
    empty.
    """
    from pydub.silence import detect_leading_silence

    segment = _segment(samples)
    if segment.max == 0:
        return samples[:0]
    lead_ms = detect_leading_silence(segment, segment.max_dBFS - LEAD_DB, _STEP_MS)
    tail_ms = detect_leading_silence(segment.reverse(), segment.max_dBFS - TAIL_DB, _STEP_MS)
    whole = segment[max(0, lead_ms - _STEP_MS) : len(segment) - tail_ms]
    kept = whole[:longest_ms]
    fade_ms = _LONGEST_FADE_MS if len(whole) > longest_ms else len(kept) // 20
    fade_ms = min(fade_ms, len(kept) // 2)
    # pydub takes a fade of no length for a mistake.
    return _samples(kept.fade_in(_FADE_IN_MS).fade_out(fade_ms) if fade_ms else kept)


def levelled(samples: Single, gain_db: float) -> Single:
    """The sound turned up by `gain_db`; it must not pass full scale."""
    return _samples(_segment(samples).apply_gain(gain_db))


def _segment(samples: Single) -> Any:
    """The sound as pydub holds it, in 32 bits so that nothing is lost in the tail."""
    with warnings.catch_warnings():
        # pydub looks for ffmpeg when it is imported and warns; nothing here uses it.
        warnings.simplefilter("ignore")
        from pydub import AudioSegment
    scaled = np.clip(samples.astype(np.float64) * _FULL_SCALE, -_FULL_SCALE, _FULL_SCALE - 1)
    return AudioSegment(data=np.rint(scaled).astype("<i4").tobytes(), sample_width=4, frame_rate=RATE_HZ, channels=1)


def _samples(segment: Any) -> Single:
    return (np.frombuffer(segment.raw_data, "<i4") / _FULL_SCALE).astype(np.float32)
