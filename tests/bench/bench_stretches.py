"""What encoding in stretches changes of a sound: the same minutes of a class by many encoders and by one.

    python tests/bench/bench_stretches.py [--minutes 10] [--formats .mp3 .opus]

The class is the shipped morning class, its words spoken before, with a drone under it, from 2:00 on and over again.
Prints how many frames decode otherwise, how far both are from the sound, and one from the other. Asserts nothing.
"""

import argparse
import tempfile
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import soundfile
from bench_waiting import CLASS, OneEncoder
from numpy.typing import NDArray

from guide.export.audio import mp3, opus, stretches, write_audio
from guide.export.tags import Tags
from guide.ready.make_ready import make_ready
from guide.sound.mixer import BLOCK_FRAMES, Mix, centre, prepare
from guide.units import RATE_HZ

BEGINS_FRAME = 120 * RATE_HZ

Single = NDArray[np.float32]


def a_class(folder: Path) -> Mix:
    file = folder / "class.yaml"
    file.write_text(CLASS.read_text("utf-8").replace("\nclass:\n", "\nmusic: drone\nclass:\n"), "utf-8")
    ready = make_ready(str(file))
    return prepare(ready.timeline, ready.spoken, ready.palette, tapes=ready.music)


def blocks(mix: Mix, minutes: float) -> Iterator[Single]:
    last = BEGINS_FRAME + int(minutes * 60 * RATE_HZ)
    for first in range(BEGINS_FRAME, last, BLOCK_FRAMES):
        yield centre(mix, first % (mix.length_frames - BLOCK_FRAMES), min(BLOCK_FRAMES, last - first))


def written(path: Path, mix: Mix, minutes: float, how: type) -> Single:
    """The sound as it is decoded from a file that was encoded so."""
    for module in (mp3, opus):
        vars(module)["Stretches"] = how
    write_audio(path, blocks(mix, minutes), Tags("Bench"), 1)
    sound: Single = soundfile.read(path, dtype="float32")[0]
    return sound


def decibels(error: Single) -> float:
    return float(10 * np.log10(np.mean(np.square(error, dtype=np.float64)) + 1e-14))


def main() -> None:
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--minutes", type=float, default=10)
    arguments.add_argument("--formats", nargs="+", default=[".mp3", ".opus"])
    asked = arguments.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        mix = a_class(Path(folder))
        sound = np.concatenate(list(blocks(mix, asked.minutes)))
        for suffix in asked.formats:
            path = Path(folder) / f"class{suffix}"
            one, many = (written(path, mix, asked.minutes, how) for how in (OneEncoder, stretches.Stretches))
            errors = ", ".join(f"{decibels(error):.2f} dB" for error in (one - sound, many - sound, many - one))
            print(f"{suffix}: {int((one != many).sum())} of {sound.size} frames differ; ", end="")
            print(f"error by one encoder, by many, one from the other: {errors}", flush=True)


if __name__ == "__main__":
    main()
