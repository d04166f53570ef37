"""How a ramp coasted once its heat was turned down: what that tells of the vessel's lag."""

from __future__ import annotations

import numpy as np

from journal.curves.vessel_fit import LAGS, NOISES, response, thinned, weighed
from journal.records.traces import Floats

# From memory, and tried on simulated kitchens.
CLIMBS = 0.35  # of the whole rise: from here on heat that was turned up late shows no more
STILL = 0.1  # of the climb's rate: so slow, the milk coasts no more
LOOK_MIN = 6.0  # a rate is told over so long
LEAST = 8  # readings
MOST_MOMENTS = 40
_WIDE = np.array([3.0, 0.3, 0.0015, 0.012])  # spreads of °C, rate, its fading, what is not held


def coasted(minutes: Floats, value: Floats, down: float | None = None) -> tuple[Floats, float]:
    """Log likelihood of each lag (11,), and about when the heat was turned down.

    The milk rises evenly until then, and after that by lag times its rate, fading with the lag;
    this holds whatever warms the vessel. `down` is when, where it was logged. Without a coasting
    the lags are all alike, and the moment is that of the last reading.
    """
    nothing = np.zeros(len(LAGS)), float(minutes[-1])
    part = _climb_and_coast(minutes, value)
    if part.sum() < LEAST:
        return nothing
    at, read = thinned(minutes[part], value[part])
    moments = np.array([down + 0.3]) if down is not None else at[(at > at[0] + 4) & (at < at[-1])]
    if not len(moments):
        return nothing
    moments = moments[:: max(1, len(moments) // MOST_MOMENTS)]
    b, lag = (axis.ravel() for axis in np.meshgrid(moments, LAGS))
    since = at[None, :] - b[:, None]
    before, after = np.minimum(since, 0.0), np.maximum(since, 0.0)
    rise = before - lag[:, None] * np.expm1(-after / lag[:, None])
    drift = response(since, 0.0, lag[:, None])
    x = np.stack([np.ones_like(rise), rise, before**2, drift], axis=2)
    spread = np.tile(_WIDE, (len(b), 1))
    likelihoods = [
        weighed(at, read - read[0], x, np.zeros_like(spread), spread, wander, sd)[2]
        + np.log(chance)
        for wander, sd, chance in NOISES
    ]
    table = np.logaddexp.reduce(likelihoods, axis=0).reshape(len(LAGS), len(moments))
    share = np.exp(table - np.logaddexp.reduce(table.ravel()))
    lags = np.logaddexp.reduce(table, axis=1)
    return lags - np.logaddexp.reduce(lags), float(share.sum(axis=0) @ moments)


def _climb_and_coast(minutes: Floats, value: Floats) -> np.ndarray:
    """Which readings lie between the climb's first third and the end of the coasting."""
    look = max(LOOK_MIN, 2.2 * float(np.median(np.diff(minutes))))
    low, high = np.quantile(value, [0.03, 0.97])
    share = (value - low) / max(high - low, 1e-9)
    climbs = (share > CLIMBS) & (np.maximum.accumulate(share) < 0.75)
    start = minutes[np.argmax(share > CLIMBS)]
    first = np.searchsorted(minutes, minutes - look / 2)
    last = np.searchsorted(minutes, minutes + look / 2, side="right") - 1
    span = np.maximum(minutes[last] - minutes[first], 1e-9)
    slope = (_middle(value)[last] - _middle(value)[first]) / span
    if climbs.sum() < 2:
        return np.asarray(minutes >= start)
    still = (slope < STILL * np.median(slope[climbs])) & (share > 0.6) & (minutes > start)
    end = minutes[np.argmax(still)] + 2.0 if still.any() else minutes[-1]
    return np.asarray((minutes >= start) & (minutes <= end))


def _middle(value: Floats) -> Floats:
    """Each reading's mean with its neighbours."""
    wide = np.r_[value[0], value, value[-1]]
    out: Floats = (wide[:-2] + wide[1:-1] + wide[2:]) / 3
    return out
