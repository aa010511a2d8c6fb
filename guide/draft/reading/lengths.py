"""How usual it is to stay in a pose for so long, the words that lead in with it."""

import math

import numpy as np

from guide.draft.reading.done import all_poses

#: A breath, and the words around those, in ms.
BREATH_MS = 5_200
LEAD_MS = 30_000
#: How far below the usual people stay, as a logarithm; longer stays are as usual.
SPREAD = 0.55
#: The table of lengths has so many rows for each that is e times as long, from the shortest on.
FINELY, ROWS, SHORTEST_MS = 64, 512, 500
#: However unusual, it counts no more against a pose: one that is announced by itself was done, if only for a moment.
MOST_UNUSUAL = -4.5


def usual_ms(numbers: np.ndarray) -> np.ndarray:
    """How long people usually stay in each of the poses with these numbers."""
    return np.array([all_poses()[number].hold.usual for number in numbers]) * BREATH_MS + LEAD_MS


def length_table(usual_ms: np.ndarray) -> np.ndarray:
    """For each `length_row` and each of some poses, how usual it is; 0 is as usual as can be."""
    off = (np.arange(ROWS) / FINELY + math.log(SHORTEST_MS))[:, None] - np.log(usual_ms)[None, :]
    found: np.ndarray = np.maximum(-0.5 * (np.minimum(off, 0) / SPREAD) ** 2, MOST_UNUSUAL)
    return found


def length_rows(lengths_ms: np.ndarray) -> np.ndarray:
    """Where each length stands in a table."""
    logarithms = np.log(np.maximum(lengths_ms, SHORTEST_MS) / SHORTEST_MS)
    found: np.ndarray = np.minimum(np.rint(FINELY * logarithms).astype(int), ROWS - 1)
    return found
