"""How much of its strength a rennet has kept, by the makes it was used in."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from math import exp, log, sqrt

import numpy as np

from journal.reckoning.bounds import Floats, above, require

# Fewer sets of a lot say nothing of its age: of four, the 80 % range of the slope is already that
# between its lowest and highest pair.
LEAST_SETS = 4
# A month of a lot's life at least, below which the milk's own changes are all there is.
LEAST_DAYS = 30.0
_Z80 = 1.2816  # of a normal distribution, 80 % two-sided


@dataclass(frozen=True)
class RennetKept:
    """The share of its first strength that a rennet has, with an 80 % range, and its first sets'
    usual minutes to the first flakes."""

    share: float
    low: float
    high: float
    sets: int
    fresh_min: float

    @property
    def weaker(self) -> bool:
        """The range lies below the strength it had at first."""
        return self.high < 1.0


def rennet_kept(
    days: Floats, flocculation_min: Floats, dose_ml_per_l: Floats, activity_pct: Floats, at: float
) -> RennetKept | None:
    """The share of its strength that a lot has kept `at` days, by its own sets; None where these
    are too few or lie too close.

    A set's strength is one over minutes to the first flakes × dose × the activity at its
    temperature: in the vat the time is inverse to the rennet and its activity, as in
    `set_minutes_after_change`. Its logarithm falls along the median of the slopes of all pairs,
    with the range of Sen (1968, J. Am. Stat. Assoc. 63, 1379) by the normal approximation. Milk
    of another pH or season sets faster or slower too, which is why one set says nothing. A rennet
    gains no strength, so the share is at most 1; its range is as it came.

    Parameters
    ----------
    days
        Of each set since the lot's first, ascending or not.
    flocculation_min, dose_ml_per_l, activity_pct
        Of each set: minutes, ml of rennet in a litre of milk, % of the best activity.
    at
        Days since the lot's first set that are asked about.
    """
    for values, name in ((flocculation_min, "reckoning.flocculation"),
                         (dose_ml_per_l, "reckoning.dose")):  # fmt: skip
        above(values, 0, name)
    above(activity_pct, 0, "reckoning.ratio-of-activities")
    t = np.asarray(days, dtype=float)
    require(np.isfinite([*t, at]), "reckoning.days-no-number")
    if len(t) < LEAST_SETS or float(np.ptp(t)) < LEAST_DAYS:
        return None
    y = -np.log(np.asarray(flocculation_min) * dose_ml_per_l * activity_pct)
    slopes = np.sort([(y[j] - y[i]) / (t[j] - t[i]) for i, j in combinations(range(len(t)), 2)
                      if t[i] != t[j]])  # fmt: skip
    low, middle, high = _sens_range(slopes, t)
    age = at - float(t.min())
    fresh = float(np.median(y - middle * (t - t.min())))
    usual = log(float(np.median(np.asarray(dose_ml_per_l) * activity_pct)))
    return RennetKept(
        min(1.0, exp(middle * age)), exp(low * age), exp(high * age), len(t), exp(-fresh - usual)
    )


def _sens_range(slopes: Floats, t: Floats) -> tuple[float, float, float]:
    """The 80 % range of the median slope and the slope; equal days are taken out of the variance
    as ties."""
    n, pairs = len(t), len(slopes)
    _, ties = np.unique(t, return_counts=True)
    variance = (n * (n - 1) * (2 * n + 5) - float((ties * (ties - 1) * (2 * ties + 5)).sum())) / 18
    reach = _Z80 * sqrt(variance)
    first = max(0, round((pairs - reach) / 2) - 1)
    last = min(pairs - 1, round((pairs + reach) / 2))
    return float(slopes[first]), float(np.median(slopes)), float(slopes[last])
