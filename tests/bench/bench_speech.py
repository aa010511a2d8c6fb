"""How fast the voice speaks the shipped classes, how long it pauses, and how large a track of them is.

python tests/bench/bench_speech.py
"""

import os
import tempfile
from pathlib import Path

import numpy as np

from guide.pauses import PARAGRAPH_MS, pause
from guide.problem import Place
from guide.ready.choices import USUAL_RATE, VoiceChoice
from guide.ready.load import load
from guide.ready.make_ready import OpenClass
from guide.sound.clip_finish import FINISH
from guide.units import RATE_HZ
from guide.voice.class_clips import VoiceSettings, speak_all

SEQUENCES = Path(__file__).parents[2] / "sequences"

#: Words with one pause each, by what asks for it.
PAUSES = {
    "a comma": "Bend your knees, and let your head hang.",
    "a full stop": "Bend your knees. Let your head hang.",
    "dots": "Bend your knees … and let your head hang.",
    "a blank line": f"Bend your knees.{pause(PARAGRAPH_MS)}Let your head hang.",
    "pause: 3 s": f"Bend your knees.{pause(3000)}Let your head hang.",
}


def words_a_minute(path: Path) -> float:
    opened = OpenClass.of(load(path), VoiceChoice(rate=USUAL_RATE), None)
    spoken = opened.speak(opened.wanted)
    return sum(len(text.split()) for text in spoken) * 60_000 / sum(spoken.lengths_ms().values())


def longest_quiet_ms(text: str) -> float:
    clip = speak_all([(text, Place("bench", 1, 1))], VoiceSettings(rate=USUAL_RATE), FINISH)[text]
    loud = np.flatnonzero(np.abs(clip.astype(np.float32)) > 100)
    return float(np.diff(loud).max()) * 1000 / RATE_HZ


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        os.environ["GUIDE_CACHE"] = folder
        print(f"words a minute while speaking, at the usual rate of {USUAL_RATE:g}")
        for path in sorted(SEQUENCES.glob("*.yaml")):
            print(f"  {path.stem:20} {words_a_minute(path):4.0f}")
        print("longest quiet inside words, ms")
        for asked, text in PAUSES.items():
            print(f"  {asked:20} {longest_quiet_ms(text):4.0f}")


if __name__ == "__main__":
    main()
