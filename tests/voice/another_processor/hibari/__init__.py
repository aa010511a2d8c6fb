"""The engine of the natural voice as another processor might have it, in place of the real one for a run of the tests.

    PYTHONPATH=$PWD/tests/voice/another_processor ANOTHER_PROCESSOR=1 pytest

The number is a seed: whatever is said takes up to 40 ms longer or shorter, by chance, the same words always the same.
With `plain` for the number the sums are those of onnxruntime without its optimisations; without a number the engine is
as it is. Each file of tests that had
something spoken is written down in the file that `SPOKEN_FOR` names, if it names one.
"""

import os
import random
import re
import sys
from importlib.machinery import PathFinder
from pathlib import Path
from typing import Any
from unittest.mock import patch

import numpy as np
import onnxruntime

HERE = Path(__file__).resolve().parents[1]

_found = PathFinder.find_spec(__name__, [path for path in sys.path if Path(path).resolve() != HERE])
assert _found is not None
__path__ = list(_found.submodule_search_locations or ())

from . import tts  # noqa: E402 (found by the line above)

MOST_MS = 40
PROCESSOR = os.environ.get("ANOTHER_PROCESSOR", "")


class Plain(onnxruntime.SessionOptions):
    """Sums in the order in which the model has them."""

    def __init__(self) -> None:
        super().__init__()
        self.graph_optimization_level = onnxruntime.GraphOptimizationLevel.ORT_DISABLE_ALL


class Hibari(tts.Hibari):
    def __init__(self, **options: Any) -> None:
        if PROCESSOR == "plain":
            # A model that was kept has been made faster already.
            options.pop("model", None)
        with patch.object(onnxruntime, "SessionOptions", Plain if PROCESSOR == "plain" else Plain.__base__):
            super().__init__(**options)

    def __call__(self, text: str, speed: float, seed: int) -> np.ndarray:
        _note_test()
        samples = super().__call__(text, speed=speed, seed=seed)
        if PROCESSOR in ("", "plain") or not samples.size:
            return samples
        # A word with its sounds behind it, `[word](/sounds/)`, is said by its sounds alone.
        said = re.sub(r"\[[^]]*\](?=\()", "", text)
        more_ms = random.Random(f"{PROCESSOR} {speed} {said}").uniform(-MOST_MS, MOST_MS)
        size = samples.size + round(more_ms * tts.SAMPLE_RATE / 1000)
        return np.interp(np.linspace(0, samples.size - 1, size), np.arange(samples.size), samples).astype(np.float32)


def _note_test() -> None:
    # What pytest tells of itself reaches every process that a test starts.
    test, note = os.environ.get("PYTEST_CURRENT_TEST"), os.environ.get("SPOKEN_FOR")
    if test and note:
        with Path(note).open("a", encoding="utf-8") as file:
            file.write(test.partition("::")[0] + "\n")
