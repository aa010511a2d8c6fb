"""What music costs: to read 90 minutes of it once, to mix it under ten hours of class, and in memory.

python tests/bench/bench_music.py
"""

import resource
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
import soundfile

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "sound"))

from sound_samples import led_class, palette_of_shipped

from guide.plan.timeline import MusicSpan, Timeline
from guide.sound import mixer
from guide.sound.music.shelf import MusicShelf

MINUTES, HOURS = 90, 10


def peak_mb() -> float:
    """The most memory that this process has had."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def write_song(path: Path) -> None:
    """Noise in two channels at 44.1 kHz, MINUTES long."""
    draw = np.random.default_rng(1)
    with soundfile.SoundFile(path, "w", 44_100, 2, "PCM_16") as file:
        for _ in range(MINUTES * 6):
            file.write(0.1 * draw.standard_normal((441_000, 2), np.float32))


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        song = Path(folder) / "song.wav"
        write_song(song)
        before_mb, began = peak_mb(), time.process_time()
        shelf = MusicShelf([str(song), "drone"], Path(folder) / "kept").make()
        print(f"{MINUTES} min of 44.1 kHz read and kept: {time.process_time() - began:.1f} s of processor")
        length_ms = HOURS * 3_600_000
        made, clips = led_class(9000, 120_000)
        half_ms = length_ms // 2
        music = (
            MusicSpan(0, half_ms, str(song), 20.0, 3000, 4000),
            MusicSpan(half_ms - 4000, length_ms, "drone", 20.0, 4000, 6000),
        )
        timeline = Timeline("bench", length_ms, (), made.cues, made.rings, made.dips, (), (), (), music=music)
        began = time.process_time()
        mix = mixer.prepare(timeline, clips, palette_of_shipped(), tapes=shelf)
        print(f"levels of {HOURS} h with music: {time.process_time() - began:.2f} s")
        began = time.process_time()
        for first in range(0, mix.length_frames, mixer.BLOCK_FRAMES):
            mixer.centre(mix, first, min(mixer.BLOCK_FRAMES, mix.length_frames - first))
        print(f"mixed: {(time.process_time() - began) / HOURS:.2f} s an hour")
        print(f"memory: {peak_mb():.0f} MB at most, {before_mb:.0f} MB before any music")


if __name__ == "__main__":
    main()
