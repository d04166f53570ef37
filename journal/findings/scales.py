"""How a variable enters the models: as it is, as a ratio, or as a reciprocal temperature.

Which one is declared with the variable and never searched for: a search would find the scale that
flatters the scores.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

PLAIN, LOG, INVERSE_KELVIN = "plain", "log", "inverse_kelvin"
ZERO_C = 273.15

_Floats = NDArray[np.float64]


def fits(values: _Floats, scale: str) -> bool:
    """Say whether values can enter so: a dose of zero has no logarithm."""
    known = values[np.isfinite(values)]
    if scale == LOG:
        return bool((known > 0).all())
    return scale != INVERSE_KELVIN or bool((known > -ZERO_C).all())


def entered(values: _Floats, scale: str) -> _Floats:
    """Values as they enter the models; every scale rises with its values, NaN stays NaN."""
    if not fits(values, scale):
        return values
    if scale == LOG:
        return np.asarray(np.log(values), dtype=float)
    if scale == INVERSE_KELVIN:
        return np.asarray(-1 / (values + ZERO_C), dtype=float)
    return values


def left(values: _Floats, scale: str) -> _Floats:
    """Values as they were before they entered by a scale."""
    if scale == LOG:
        return np.asarray(np.exp(values), dtype=float)
    if scale == INVERSE_KELVIN:
        return np.asarray(-1 / values - ZERO_C, dtype=float)
    return values


def entered_step(values: _Floats, scale: str, step: float) -> float:
    """How far a step from the middle of the values goes on the scale they enter by."""
    known = values[np.isfinite(values)]
    if scale == PLAIN or not known.size or not fits(values, scale):
        return step
    middle = float(np.median(known))
    ends = np.array([middle, middle + step])
    if not fits(ends, scale):
        return step
    low, high = entered(ends, scale)
    return float(high - low)
