"""Lack of fit: whether effects that add up explain what makes made alike do not.

Makes made alike differ by chance alone (pure error); what a model of straight lines leaves beyond
that is lack of fit: a bend, or variables that act together. Source of the sums: Montgomery and
Runger, Applied Statistics and Probability for Engineers, section 14-6 and supplement S14-2.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from journal.findings.table import Floats


@dataclass(frozen=True)
class LackOfFit:
    """What is left of the scores beside straight lines.

    Parameters
    ----------
    pure_sd : float
        How far makes made alike differ, points; `pure_df` degrees of freedom.
    lack_df : int
    f, p : float
        Of the lack of fit against pure error; NaN where nothing is left to test.
    bend, bend_p : float
        How much higher the makes in the middle scored than lines through the ends say, points, and
        the chance of so much without a bend; NaN where there are none in the middle.
    """

    pure_sd: float
    pure_df: int
    lack_df: int
    f: float
    p: float
    bend: float
    bend_p: float


def lack_of_fit(
    lines: Floats, y: Floats, alike: NDArray[np.intp], middle: NDArray[np.bool_], beside: Floats
) -> LackOfFit | None:
    """Test the lines; None where no makes are alike.

    Parameters
    ----------
    lines : ndarray (makes, variables)
    y : ndarray (makes,)
    alike : ndarray of int (makes,)
        Makes of one number were made alike.
    middle : ndarray of bool (makes,)
    beside : ndarray (makes, m)
        Columns that stand in every model: the level, seasons, the age.
    """
    from scipy.special import fdtrc

    model = np.column_stack([beside, lines])
    groups = (alike[:, None] == np.unique(alike)).astype(float)
    left, rank = _left(model, y)
    pure, whole = _left(np.column_stack([beside, groups]), y)
    pure_df, lack_df = y.size - whole, whole - rank
    if pure_df < 1:
        return None
    error = pure / pure_df
    f = p = bend = bend_p = float("nan")
    if lack_df >= 1 and error > 0:
        f = (left - pure) / lack_df / error
        p = float(fdtrc(lack_df, pure_df, max(f, 0.0)))
    if middle.any() and not middle.all() and error > 0:
        bent = np.column_stack([model, middle.astype(float)])
        after, of_bent = _left(bent, y)
        if of_bent > rank:
            bend = float(np.linalg.lstsq(bent, y, rcond=None)[0][-1])
            bend_p = float(fdtrc(1, pure_df, max((left - after) / error, 0.0)))
    return LackOfFit(float(np.sqrt(error)), pure_df, lack_df, f, p, bend, bend_p)


def _left(model: Floats, y: Floats) -> tuple[float, int]:
    """The sum of squares a model leaves, and its rank."""
    found, _, rank, _ = np.linalg.lstsq(model, y, rcond=None)
    off = y - model @ found
    return float(off @ off), int(rank)
