"""Speech of kept lengths: what the natural voice says of the shipped classes, as long on every machine.

    python tests/kept_speech.py

speaks it all and writes the lengths down anew. The sums of a neural voice differ in their last bits from processor to
processor, so that a clip may be some samples longer on the next one, and a plan a second. Tests that compare what
commands print have a cache filled with these lengths; `voice/test_kept_lengths.py` holds them beside the real voice.
"""

import csv
import os
import tempfile
from collections.abc import Iterator
from dataclasses import astuple, dataclass
from pathlib import Path

import numpy as np

from guide.ready.choices import VoiceChoice
from guide.ready.load import load
from guide.ready.make_ready import OpenClass
from guide.sound.clip_finish import FINISH, from_int16
from guide.sound.clip_measures import STEP_FRAMES, Measures, measure
from guide.units import RATE_HZ
from guide.voice.cache import Cache, CachedClip, cache_key
from guide.voice.class_clips import said_by
from guide.voice.natural import NaturalVoice

HERE = Path(__file__).parent
TABLE = HERE / "kept_speech.tsv"

#: Classes of pages, planned there.
PAGES = ("evening", "moment")

#: Classes whose words are in the table: those that pages show and commands are tried on.
CLASSES = (*sorted((HERE.parent / "sequences").glob("*.yaml")), *(HERE / "readme" / f"{name}.yaml" for name in PAGES))

#: Numbers counted aloud beyond those of a plan, as `guide play` has them spoken.
SPARE_NUMBERS = 12

#: Like a voice, and with peaks as high above the loudness: a pulse so often a second, and how soon it dies away.
PULSES_HZ, DECAY_HZ = 110, 4400

_LONGEST_S = 30


@dataclass(frozen=True, slots=True, order=True)
class KeptLength:
    """Words as the natural voice is given them, how fast it says them, and how long that lasts at `units.RATE_HZ`."""

    said: str
    rate: float
    frames: int


def kept_lengths() -> Iterator[KeptLength]:
    """The table."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        for said, rate, frames in csv.reader(file, "excel-tab"):
            yield KeptLength(said, float(rate), int(frames))


def fill(folder: Path) -> None:
    """Make `folder` a cache in which all words of the table are spoken: a murmur of their length stands for them."""
    voice, cache = NaturalVoice(), Cache(folder)
    at_s = np.arange(_LONGEST_S * RATE_HZ) / RATE_HZ
    murmur, _ = FINISH(np.exp(-DECAY_HZ * (at_s % (1 / PULSES_HZ))).astype(np.float32), RATE_HZ)
    whole = measure(from_int16(murmur))
    for kept in kept_lengths():
        steps = -(-kept.frames // STEP_FRAMES)
        measures = Measures(whole.mean_squares[:steps], whole.peaks[:steps]).packed()
        key = cache_key(voice.name, voice.version, kept.rate, kept.said, FINISH.version)
        cache.store(key, CachedClip(murmur[: kept.frames], measures))


def spoken_anew() -> Iterator[KeptLength]:
    """All words of the classes, as long as the natural voice of this machine needs for them."""
    for path in CLASSES:
        opened = OpenClass.of(load(path), VoiceChoice(), None)
        spoken = opened.speak(opened.wanted)
        spoken = opened.speak(opened.wanted | opened.numbers(spoken.lengths_ms(), SPARE_NUMBERS))
        for text, pcm in spoken.items():
            said = said_by(NaturalVoice(), text, opened.settings.lexicon)
            yield KeptLength(said, opened.settings.rate, pcm.size)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        os.environ["GUIDE_CACHE"] = folder
        lengths = sorted(set(spoken_anew()))
    with TABLE.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, "excel-tab", lineterminator="\n").writerows(map(astuple, lengths))


if __name__ == "__main__":
    main()
