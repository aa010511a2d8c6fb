"""The least sum of squares within limits: Levenberg and Marquardt's steps, each bent along the limits that it meets.

Source: Marquardt 1963, An Algorithm for Least-Squares Estimation of Nonlinear Parameters; what is held at its limits,
an active set, is as in Nocedal and Wright, Numerical Optimization, 2nd edition, chapter 16 (from memory).
"""

from collections.abc import Callable
from typing import Any

#: It ends where a step makes no more than this of the sum less, some times in a row.
_LITTLE, _OFTEN = 1e-5, 3
#: How much a failed step shortens the next one, and how much a good one lengthens it.
_SHORTER, _LONGER = 4.0, 0.3
_MOST_DAMPED, _LEAST_DAMPED = 1e8, 1e-7


def least_squares(
    missing: Callable[[Any], Any],
    slopes: Callable[[Any], Any],
    start: Any,
    least: Any,
    most: Any,
    rounds: int,
) -> Any:
    """The values with the least sum of squares of what is `missing`, found from a start; all are arrays of numbers."""
    values, rows = start, missing(start)
    damping, idle = 1e-2, 0
    for _ in range(rounds):
        matrix = slopes(values)
        square, downhill, before = matrix.T @ matrix, -matrix.T @ rows, rows @ rows
        while damping < _MOST_DAMPED:
            tried = values + _step(square, downhill, damping, least - values, most - values)
            found = missing(tried)
            if found @ found < before:
                break
            damping *= _SHORTER
        else:
            return values
        values, rows, damping = tried, found, max(damping * _LONGER, _LEAST_DAMPED)
        idle = idle + 1 if before - rows @ rows < _LITTLE * before else 0
        if idle == _OFTEN:
            return values
    return values


def _step(square: Any, downhill: Any, damping: float, least: Any, most: Any) -> Any:
    """The damped step; what would go past its limit goes there, and the others as is best then."""
    import numpy as np

    diagonal = np.diag(square)
    damped = square + np.diag(damping * (diagonal + 1e-3 * diagonal.mean()))
    step = np.zeros_like(downhill)
    free = ~(((least >= 0) & (downhill < 0)) | ((most <= 0) & (downhill > 0)))
    while free.any():
        held = damped[np.ix_(free, ~free)] @ step[~free]
        step[free] = np.linalg.solve(damped[np.ix_(free, free)], downhill[free] - held)
        beyond = free & ((step < least) | (step > most))
        step = np.clip(step, least, most)
        if not beyond.any():
            break
        free &= ~beyond
    return step
