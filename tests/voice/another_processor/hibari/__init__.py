"""The engine of the natural voice as another processor might have it, in place of the real one for a run of the tests.

    PYTHONPATH=$PWD/tests/voice/another_processor ANOTHER_PROCESSOR=1 pytest

The number is a seed: whatever is said takes up to 40 ms longer or shorter, by chance, the same words always the same.
With `plain` for the number the sums are those of onnxruntime without its optimisations.
"""

import os
import random
import sys
from importlib.machinery import PathFinder
from pathlib import Path
from unittest.mock import patch

import numpy as np
import onnxruntime

_found = PathFinder.find_spec(__name__, [path for path in sys.path if Path(path) != Path(__file__).parents[1]])
assert _found is not None
__path__ = list(_found.submodule_search_locations or ())

from . import tts  # noqa: E402 (found by the line above)

MOST_MS = 40
PROCESSOR = os.environ["ANOTHER_PROCESSOR"]


class Plain(onnxruntime.SessionOptions):
    """Sums in the order in which the model has them."""

    def __init__(self) -> None:
        super().__init__()
        self.graph_optimization_level = onnxruntime.GraphOptimizationLevel.ORT_DISABLE_ALL


class Hibari(tts.Hibari):
    def __init__(self, threads: int) -> None:
        with patch.object(onnxruntime, "SessionOptions", Plain if PROCESSOR == "plain" else Plain.__base__):
            super().__init__(threads=threads)

    def __call__(self, text: str, speed: float, seed: int) -> np.ndarray:
        samples = super().__call__(text, speed=speed, seed=seed)
        if PROCESSOR == "plain" or not samples.size:
            return samples
        more_ms = random.Random(f"{PROCESSOR} {speed} {text}").uniform(-MOST_MS, MOST_MS)
        size = samples.size + round(more_ms * tts.SAMPLE_RATE / 1000)
        return np.interp(np.linspace(0, samples.size - 1, size), np.arange(samples.size), samples).astype(np.float32)
