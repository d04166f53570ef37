"""Where a curve left the others most: a band that holds a whole curve at once, with a known error.

Of curves that differ by chance alone, (y − mean) / (s·√(1 + 1/n)) is a t field with n − 1 degrees
of freedom. How often its greatest value lies beyond u is told by the expected Euler characteristic
(K. J. Worsley 1994, Advances in Applied Probability 26:13-42), for bands of curves: F. Telschow and
A. Schwartzman 2022, Journal of Statistical Planning and Inference 216:70-94 (both from memory; the
error is checked by simulation and against scipy).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np

from journal.curves.comparison_set import FEW, Mask
from journal.records.traces import Floats

ERROR = 0.05  # of curves that differ by chance alone so many are said to have left
REACH_SHARE = 0.7  # a moment counts that so many of the curves reach
_SMOOTH = 5  # grid steps a curve is averaged over: a spoon in the vat is no stretch


@dataclass(frozen=True)
class Departure:
    """How a curve went beside the others. `chance` is how often curves that differ by chance alone
    go so far somewhere.

    The stretch `from_position` to `to_position` lies outside the band and holds `peak_position`,
    where the curve is furthest: `apart` from the others' mean, in the curve's unit (furthest in
    spreads of the others). It leaves the band first at `first_position`. All three of a stretch are
    those of the peak where `as_usual`.
    """

    chance: float
    from_position: float
    to_position: float
    peak_position: float
    apart: float
    first_position: float
    others: int

    @property
    def as_usual(self) -> bool:
        """It went as others go."""
        return self.chance > ERROR


def departure(grid: Floats, table: Floats, curve: Floats, resolved: float) -> Departure | None:
    """Where a curve left the others most, None where fewer than five of them can be judged.

    Parameters
    ----------
    grid : (n,) even places
    table : (curves, n) the others, NaN where one does not reach
    curve : (n,)
    resolved : the least spread that is taken for real, in the curve's unit
    """
    count = np.isfinite(table).sum(axis=0)
    most = int(count.max(initial=0))
    used = (count >= max(FEW, REACH_SHARE * most)) & np.isfinite(curve)
    if most < FEW or used.sum() < 2:
        return None
    smooth = np.array([_smoothed(row) for row in [curve, *table]])
    used &= np.isfinite(smooth[0]) & (np.isfinite(smooth[1:]).sum(axis=0) >= FEW)
    if used.sum() < 2:
        return None
    own, others = smooth[0][used], smooth[1:][:, used]
    many = np.isfinite(others).sum(axis=0)
    mean = np.nanmean(others, axis=0)
    spread = np.sqrt(np.nanvar(others, axis=0, ddof=1) + resolved**2)
    far = (own - mean) / (spread * np.sqrt(1 + 1 / many))
    degrees = int(many.min()) - 1
    length = _length((others - mean) / spread, np.diff(np.flatnonzero(used)) == 1)
    return _departed(grid[used], own - mean, far, degrees, length, int(many.max()))


def _departed(
    at: Floats, apart: Floats, far: Floats, degrees: int, length: float, others: int
) -> Departure:
    peak = int(np.argmax(np.abs(far)))
    chance = chance_beyond(float(abs(far[peak])), degrees, length, len(at))
    limit = limit_of(degrees, length, len(at))
    step = float(np.median(np.diff(at)))
    out = np.abs(far) > limit
    low = high = first = peak
    if out[peak]:
        joined = np.r_[np.diff(at) < 1.5 * step] & out[1:] & out[:-1]
        while low > 0 and joined[low - 1]:
            low -= 1
        while high < len(at) - 1 and joined[high]:
            high += 1
        first = int(np.argmax(out))
    return Departure(
        chance, float(at[low]), float(at[high]), float(at[peak]), float(apart[peak]),
        float(at[first]), others,
    )  # fmt: skip


def chance_beyond(u: float, degrees: int, length: float, points: int) -> float:
    """How often a t field of that length lies beyond ±u somewhere, at most 1: the expected Euler
    characteristic, or the sum over its points where that is less."""
    from scipy.stats import t

    tail = float(t.sf(u, degrees))
    ridge = length / (2 * pi) * (1 + u * u / degrees) ** (-(degrees - 1) / 2)
    return float(min(1.0, 2 * min(tail + ridge, points * tail)))


def limit_of(degrees: int, length: float, points: int, error: float = ERROR) -> float:
    """The ±u that a t field goes beyond with that error."""
    low, high = 0.0, 1e6
    while high - low > 1e-6 * high:
        middle = (low + high) / 2
        beyond = chance_beyond(middle, degrees, length, points) > error
        low, high = (middle, high) if beyond else (low, middle)
    return high


def _length(residual: Floats, joined: Mask) -> float:
    """The length of the field in its own smoothness: ∫ √Var(d/dx) over the pieces that join."""
    slopes = np.diff(residual, axis=1)[:, joined]
    known = np.isfinite(slopes).sum(axis=0)
    total = np.nansum(slopes**2, axis=0) / np.maximum(known - 1, 1)
    return float(np.sqrt(total).sum())


def _smoothed(row: Floats) -> Floats:
    """The mean over a few steps about each, NaN where the curve is not read."""
    known = np.isfinite(row)
    window = np.ones(_SMOOTH)
    total = np.convolve(np.where(known, row, 0.0), window, "same")
    number = np.convolve(known.astype(float), window, "same")
    return np.where(known, total / np.maximum(number, 1), np.nan)
