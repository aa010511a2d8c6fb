"""Takes of a whole class, spoken by espeak-ng in rooms and in noise: their loudness, their onsets, what a kill leaves.

python tests/bench/bench_takes.py
"""

import io
import os
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
import soundfile
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[1]))
from take_sounds import BEFORE_MS, in_room, recorded

from guide.ready.choices import VoiceChoice
from guide.ready.load import load
from guide.ready.make_ready import OpenClass, ReadyClass, make_ready
from guide.record.lines import reading_lines
from guide.sound.clip_finish import from_int16, resampled
from guide.sound.clip_measures import loudest_lufs, measure, unpacked, whole_lufs
from guide.sound.mixer import prepare, voice
from guide.units import RATE_HZ, frames_from_ms
from guide.voice.takes.cleaning import cleaned
from guide.voice.takes.store import Take, Takes

CLASS = Path(__file__).parents[2] / "sequences" / "desk-break.yaml"

#: The rooms (seconds for 60 dB) and the noise (dB below the words) that takes have in turn.
ROOMS_S, NOISES_DB = (0.2, 0.35, 0.5), (30.0, 20.0)

KILLS = 50


def said(words: str) -> NDArray[np.float32]:
    """The words by espeak-ng, without the quiet around them."""
    done = subprocess.run(["espeak-ng", "-v", "en-gb", "-s", "150", "--stdout", words], capture_output=True, check=True)
    # The size in its header is not that of a stream.
    sound, rate_hz = soundfile.read(
        io.BytesIO(done.stdout[:40] + b"\xff\xff\xff\x7f" + done.stdout[44:]), dtype="float32"
    )
    made = resampled(sound, rate_hz)
    loud = np.flatnonzero(np.abs(made) > 0.003)
    return made[loud[0] : loud[-1] + 1]


def keep_all(folder: Path) -> None:
    chance = random.Random(0)
    lines = reading_lines(OpenClass.of(load(folder / CLASS.name), VoiceChoice("natural"), None))
    takes = Takes.in_folder(folder)
    for number, line in enumerate(lines):
        words = in_room(said(line.words), ROOMS_S[number % 3], seed=number)
        level_dbfs = chance.uniform(-36, -18)
        sound = recorded(words, noise_db=NOISES_DB[number % 2], level_dbfs=level_dbfs, seed=number)
        takes.keep(line.words, sound, RATE_HZ)
    print(f"{len(lines)} takes, -36 to -18 dBFS, rooms of {ROOMS_S} s, noise {NOISES_DB} dB below the words")


def told_of_takes(folder: Path) -> None:
    takes = [Take(path, "", 1).read() for path in sorted((folder / "takes").glob("*.flac"))]
    began_s = time.process_time()
    for samples, rate_hz in takes:
        cleaned(samples, rate_hz)
    took_s = time.process_time() - began_s
    seconds = sum(samples.size / rate_hz for samples, rate_hz in takes)
    print(f"cleaning: {1000 * took_s / len(takes):.0f} ms a take, {seconds / took_s:.0f} times as fast as it was said")


def told_of_loudness(ready: ReadyClass) -> None:
    whole = [whole_lufs(from_int16(ready.spoken[words])) for words in ready.spoken]
    loudest = [loudest_lufs(unpacked(ready.spoken.measures(words))) for words in ready.spoken]
    peaks = [measure(from_int16(ready.spoken[words])).true_peak for words in ready.spoken]
    print(f"loudness: {min(whole):.2f} to {max(whole):.2f} LUFS, spread {max(whole) - min(whole):.2f} LU")
    print(f"loudest 400 ms: spread {max(loudest) - min(loudest):.1f} LU; true peak at most {max(peaks):.2f}")


def told_of_onsets(ready: ReadyClass, takes: Takes) -> None:
    """Where the words of each take begin in the track: the recording, in which that is known, is laid over it."""
    mix = prepare(ready.timeline, ready.spoken, ready.palette)
    late_ms = []
    for cue in ready.timeline.cues:
        take = takes.latest(cue.words)
        assert take is not None
        raw, heard = take.read()[0], voice(mix, frames_from_ms(cue.start_ms), frames_from_ms(cue.length_ms))
        size = 1 << (raw.size + heard.size).bit_length()
        likeness = np.fft.irfft(np.fft.rfft(raw, size) * np.conj(np.fft.rfft(heard, size)), size)
        begins = int(np.argmax(likeness[: raw.size - heard.size + 1]))
        late_ms.append(BEFORE_MS - begins / frames_from_ms(1))
    inside = sum(abs(each) <= 50 for each in late_ms)
    print(
        f"onsets: {min(late_ms):+.0f} to {max(late_ms):+.0f} ms from the plan, {inside} of {len(late_ms)} within 50 ms"
    )


def keep_on(folder: Path, told: int) -> None:
    """Keep takes without an end, telling of each that is kept."""
    takes, sound = Takes.in_folder(folder), np.full(RATE_HZ // 10, 0.1, np.float32)
    for number in range(1_000_000):
        os.write(told, f"{takes.keep(f'Line {number % 7}.', sound, RATE_HZ).path.name}\n".encode())


def told_of_kills(folder: Path) -> None:
    chance, count, lost = random.Random(1), 0, 0
    for _ in range(KILLS):
        ours, theirs = os.pipe()
        child = os.fork()
        if not child:
            keep_on(folder, theirs)
        os.close(theirs)
        time.sleep(chance.uniform(0.02, 0.4))
        os.kill(child, 9)
        os.waitpid(child, 0)
        with os.fdopen(ours, encoding="utf-8") as pipe:
            told = [line.strip() for line in pipe if line.endswith("\n")]
        found = Takes.in_folder(folder)
        count += len(told)
        lost += sum(Take(found.folder / name, "", 1).read()[0].size != RATE_HZ // 10 for name in told)
    print(f"killed at {KILLS} moments: {count} takes told of, {lost} lost")


def main() -> None:
    with tempfile.TemporaryDirectory() as folder, tempfile.TemporaryDirectory() as other:
        os.environ["GUIDE_CACHE"] = f"{folder}/cache"
        (Path(folder) / CLASS.name).write_bytes(CLASS.read_bytes())
        keep_all(Path(folder))
        told_of_takes(Path(folder))
        ready = make_ready(Path(folder) / CLASS.name, "own")
        told_of_loudness(ready)
        told_of_onsets(ready, Takes.in_folder(Path(folder)))
        for note in ready.timeline.notes:
            if "recorded" in note.what or "take" in note.what:
                print(note)
        told_of_kills(Path(other))


if __name__ == "__main__":
    main()
