"""How many lines of whole readings are cut right: by voice, room and noise, by words and by lengths alone.

    python tests/bench/bench_reading.py [SEED]

Each of five classes is read once, about 363 lines in all, with lines read twice, begun anew, broken off, left out and
exchanged, coughs and turned pages. A cut is right if it holds all of its line and nothing else. What is sure of being
right is kept; a wrong one among these is what must not be.
"""

import sys
import tempfile
from collections import Counter
from pathlib import Path

import soundfile

sys.path += [str(Path(__file__).parents[1] / "record")]

from read_aloud import RATE_HZ, Reading, read_aloud

from guide.problem import UnusableChoice
from guide.ready.choices import VoiceChoice
from guide.ready.load import load
from guide.ready.make_ready import OpenClass
from guide.record.cutting import Cuts, cut
from guide.record.lines import reading_lines
from guide.review.hearing.heard_words import heard
from guide.review.hearing.recorded_speech import heard_in

CLASSES = Path(__file__).parents[2] / "sequences"

#: Class, voice, seconds that the room rings, decibels from the speech down to the noise.
READINGS = (
    ("desk-break", "espeak", 0.4, 20),
    ("rain-on-the-lake", "natural", 0.4, 20),
    ("chair-by-the-window", "natural", 0.4, 30),
    ("still-water", "espeak", 0.4, 30),
    ("lakeside-morning", "espeak", 0.0, 30),
)

#: A cut may reach so far into what is beside it.
EDGE_MS = 30


def judged(reading: Reading, cuts: Cuts) -> Counter[str]:
    """How many lines were cut so: right or wrong, sure or doubtful, missed, or found though they were not read."""
    count: Counter[str] = Counter()
    found = {one.number - 1: one for one in cuts.cuts}
    read = {one.line for one in reading.heard if one.line is not None}
    for line in read:
        true, one = reading.last_of(line), found.get(line)
        if one is None or true is None:
            count["missed"] += 1
            continue
        inside = [
            other
            for other in reading.heard
            if other.start_ms < one.end_ms - EDGE_MS and other.end_ms > one.start_ms + EDGE_MS
        ]
        is_right = inside == [true] and one.start_ms <= true.start_ms and true.end_ms <= one.end_ms
        count[f"{'doubtful' if one.doubt else 'sure'}, {'right' if is_right else 'wrong'}"] += 1
    for line in found.keys() - read:
        count[f"{'doubtful' if found[line].doubt else 'sure'}, wrong"] += 1
    return count


def main() -> None:
    seed = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    sums: dict[str, Counter[str]] = {"words": Counter(), "lengths": Counter()}
    for name, voice, room_s, noise_db in READINGS:
        lines = reading_lines(OpenClass.of(load(CLASSES / f"{name}.yaml"), VoiceChoice(), None))
        reading = read_aloud([line.words for line in lines], voice, seed, room_s=room_s, noise_db=noise_db)
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "reading.wav"
            soundfile.write(path, reading.sound, RATE_HZ)
            stretches, length_ms = heard_in(path)
            for by, transcript in (("words", heard(path, ()).transcript), ("lengths", None)):
                try:
                    count = judged(reading, cut(name, lines, stretches, length_ms, transcript))
                except UnusableChoice as refused:
                    print(refused)
                    continue
                sums[by] += count
                print(f"{name}, {voice}, room {room_s:g} s, noise -{noise_db} dB, by {by}: {dict(count)}", flush=True)
    for by, count in sums.items():
        print(f"in all by {by}: {dict(count)}")


if __name__ == "__main__":
    main()
