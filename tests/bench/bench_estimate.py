"""How near the estimated lengths of words come to the voice's own: the words of the shipped classes, at three rates.

python tests/bench/bench_estimate.py

The first run speaks them all, which takes some minutes.
"""

import statistics
from collections.abc import Mapping

import numpy as np

from guide.plan.estimate import counts, spoken_ms
from guide.problem import Place
from guide.ready.load import load
from guide.sequence.shipped_folder import shipped_folder
from guide.sound.clip_finish import FINISH
from guide.voice.class_clips import VoiceSettings, speak_all

RATES = (0.75, 1.0, 1.3)


def texts() -> list[tuple[str, Place]]:
    found: dict[str, Place] = {}
    for path in sorted(shipped_folder().glob("*.yaml")):
        for step in load(path).whole()[1].steps:
            found.update((words.text, words.place) for words in (*step.entry, *step.words))
    return list(found.items())


def fitted(lengths_ms: Mapping[str, int], rate: float) -> str:
    """The constants that least squares give, each cue weighted by its length: start, letter, pause, stop."""
    counted = [(1, *counts(text)) for text in lengths_ms]
    ms = np.array(list(lengths_ms.values()), float)
    found, *_ = np.linalg.lstsq(np.array(counted, float) / ms[:, None], np.ones(ms.size), rcond=None)
    return ", ".join(f"{each * rate:.0f}" for each in found)


def main() -> None:
    for rate in RATES:
        lengths_ms = speak_all(texts(), VoiceSettings(rate=rate), FINISH).lengths_ms()
        off = [spoken_ms(text, rate) / ms - 1 for text, ms in lengths_ms.items()]
        total = sum(spoken_ms(text, rate) for text in lengths_ms) / sum(lengths_ms.values()) - 1
        low, high = np.percentile(off, [5, 95])
        print(
            f"rate {rate}: {len(off)} cues; off by {statistics.pstdev(off):.1%} (sd), nine of ten from {low:+.1%} to "
            f"{high:+.1%}, the worst {max(off, key=abs):+.1%}; all together {total:+.1%}"
        )
        print(f"    fitted again: {fitted(lengths_ms, rate)}")


if __name__ == "__main__":
    main()
