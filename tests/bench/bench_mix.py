"""How fast a class is mixed and measured, and in how much memory; beside it, pydub's overlay of whole segments.

Run: python tests/bench/bench_mix.py [minutes]. Every figure is of this run on this machine.
"""

import resource
import sys
import tempfile
import time
from collections.abc import Callable, Iterable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from guide.plan.timeline import Cue, CuePart, Dip, Ring, RingRole, Timeline
from guide.problem import Place
from guide.sequence.sound_names import DEFAULT_SOUNDS
from guide.sequence.steps import CueKind
from guide.sound import mixer, palette
from guide.sound.clip_finish import FINISH, in_both_channels, to_int16
from guide.sound.loudness_meter import Meter
from guide.units import RATE_HZ, ms_from_frames

PLACE = Place("bench.yaml", 1, 1)
BREATH_MS = 4000
CUE_EVERY_MS = 3600
DIFFERENT_WORDS = 300


class DiskClips:
    """Clips kept in files and read when asked for, as the voice cache keeps them."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def __getitem__(self, text: str, /) -> NDArray[np.int16]:
        clip: NDArray[np.int16] = np.load(self.folder / f"{text}.npy")
        return clip

    def measures(self, text: str, /) -> NDArray[np.float32]:
        numbers: NDArray[np.float32] = np.load(self.folder / f"{text}.measures.npy")
        return numbers


def speech_like(seed: int) -> NDArray[np.float32]:
    """One to three seconds of a buzz that comes and goes as syllables do."""
    draw = np.random.default_rng(seed)
    at_s = np.arange(int(draw.uniform(1.0, 3.2) * RATE_HZ)) / RATE_HZ
    pitch = np.cumsum(110 + 20 * np.sin(2 * np.pi * 0.7 * at_s + draw.uniform(0, 6))) / RATE_HZ
    buzz = sum(np.sin(2 * np.pi * k * pitch + draw.uniform(0, 6)) / k for k in range(1, 25))
    syllables = np.maximum(0, np.sin(2 * np.pi * 3.1 * at_s)) ** 0.7
    return (buzz * syllables * 0.1).astype(np.float32)


def a_class(length_ms: int, folder: Path, sounds: palette.Palette) -> Timeline:
    """Chimes on every breath, a bell every few minutes, words most of the time."""
    lengths = []
    for seed in range(DIFFERENT_WORDS):
        clip, numbers = FINISH(speech_like(seed), RATE_HZ)
        np.save(folder / f"{seed}.npy", clip)
        np.save(folder / f"{seed}.measures.npy", numbers)
        lengths.append(ms_from_frames(clip.size))
    cues = tuple(
        Cue(start, lengths[i % DIFFERENT_WORDS], str(i % DIFFERENT_WORDS), CueKind.HOW, CuePart.HOLD, PLACE, 0)
        for i, start in enumerate(range(3000, length_ms - 15000, CUE_EVERY_MS))
    )
    roles = [RingRole.INHALE, RingRole.EXHALE]
    strikes = [(at, roles[i % 2]) for i, at in enumerate(range(0, length_ms - 15000, BREATH_MS))]
    strikes += [(at, RingRole.SECTION) for at in range(0, length_ms - 15000, 180_000)]
    rings = tuple(
        Ring(at, sounds.length_ms(DEFAULT_SOUNDS[role.value]), DEFAULT_SOUNDS[role.value], role, None)
        for at, role in sorted(strikes, key=lambda strike: strike[0])
    )
    dips = tuple(Dip(cue.start_ms, cue.end_ms) for cue in cues)
    return Timeline("bench", length_ms, (), cues, rings, dips, (), (), ())


def seconds(work: Callable[[int], object], over: Iterable[int]) -> float:
    """CPU seconds of doing `work` with each number, its results let go at once."""
    begin = time.process_time()
    for number in over:
        work(number)
    return time.process_time() - begin


def pydub_overlay(timeline: Timeline, clips: DiskClips, how_many: int) -> float:
    """Seconds a clip when each is laid over one long segment."""
    from pydub import AudioSegment

    whole = AudioSegment.silent(timeline.length_ms, RATE_HZ)
    begin = time.process_time()
    for cue in timeline.cues[:how_many]:
        clip = AudioSegment(clips[cue.words].tobytes(), sample_width=2, frame_rate=RATE_HZ, channels=1)
        whole = whole.overlay(clip, position=cue.start_ms)
    return (time.process_time() - begin) / how_many


def main() -> None:
    minutes = float(sys.argv[1]) if len(sys.argv) > 1 else 60.0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        sounds = palette.load(DEFAULT_SOUNDS.values(), folder)
        timeline = a_class(int(minutes * 60_000), folder, sounds)
        clips = DiskClips(folder)
        begin = time.process_time()
        mix = mixer.prepare(timeline, clips, sounds)
        prepare_s = time.process_time() - begin
        blocks = range(0, mix.length_frames, mixer.BLOCK_FRAMES)
        meter, silence = Meter(RATE_HZ), np.zeros(mixer.BLOCK_FRAMES, np.float32)
        mix_s = seconds(lambda first: mixer.centre(mix, first, mixer.BLOCK_FRAMES), blocks)
        block_s = seconds(lambda first: mixer.block(mix, first, mixer.BLOCK_FRAMES), blocks)
        all_s = seconds(lambda first: meter.feed(mixer.centre(mix, first, mixer.BLOCK_FRAMES)), blocks)
        to_pcm_s = seconds(lambda _: in_both_channels(to_int16(silence)), blocks)
        peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        hours = minutes / 60
        print(f"{minutes:g} minutes, {len(timeline.cues)} cues, {len(timeline.rings)} rings; CPU seconds an hour:")
        print(f"  prepare            {prepare_s / hours:6.2f}")
        print(f"  mix, one channel   {mix_s / hours:6.2f}")
        print(f"  mix, two channels  {block_s / hours:6.2f}")
        print(f"  mix and meter      {all_s / hours:6.2f}   (loudness and true peak)")
        print(f"  to 16 bits, stereo {to_pcm_s / hours:6.2f}")
        print(f"predicted {mix.predicted.loudness_lufs:.2f} LUFS, measured {meter.integrated:.2f}", end=", ")
        print(f"true peak {meter.true_peak:.2f} dBTP, peak memory {peak_mb:.0f} MB")
        if minutes <= 60:
            each_s = pydub_overlay(timeline, clips, 5)
            print(f"pydub overlay: {each_s:.2f} s a clip; {len(timeline.cues)} clips would take", end=" ")
            print(f"{each_s * len(timeline.cues) / 60:.0f} minutes (extrapolated from 5)")


if __name__ == "__main__":
    main()
