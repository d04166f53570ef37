"""Heat against germs: which whole published pair of temperature and time was kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from journal.message import Message
from journal.reckoning.bounds import Floats, require

# Listeria monocytogenes in milk: D of 0.9 s at 71.7 °C, z of 6.3 °C (Bradshaw et al. 1985).
LISTERIA_D_S = 0.9
LISTERIA_AT_C = 71.7
LISTERIA_Z_C = 6.3
RICH_FAT_PCT = 10.0  # MCL 288.697
RICH_SOLIDS_PCT = 18.0  # Pasteurized Milk Ordinance, from memory; MCL 288.697: condensed products
EWES_FAT_PCT = 6.0  # beside some 11 % of other solids (ewe's milk, from memory)
THERMOMETER_C = 0.5  # what a kitchen's thermometer may be off by (common practice, no source)
OPEN_PAN_C = 101.0  # milk boils a little above water
_ROUNDING = 1e-6


@dataclass(frozen=True)
class Pair:
    """One published pair: the product it is for, the legal temperature (a °F figure), the hold."""

    product: str
    temp_f: float
    hold_s: float

    @property
    def temp_c(self) -> float:
        """The legal temperature in °C, unrounded (145 °F is 62.78, printed as 63)."""
        return (self.temp_f - 32) / 1.8


def longest_at_s(minutes: npt.ArrayLike, temp_c: npt.ArrayLike, at_least_c: float) -> float:
    """The longest time without a break at or above a temperature, s.

    Between two readings the temperature goes in a straight line.
    """
    at, temp = _curve(minutes, temp_c)
    warm = temp - at_least_c + _ROUNDING
    longest = begun = 0.0
    inside = bool(warm[0] >= 0)
    begun = float(at[0])
    for i in range(1, len(at)):
        if inside and warm[i] < 0:
            longest = max(longest, _crossing(at, warm, i) - begun)
            inside = False
        elif not inside and warm[i] >= 0:
            begun, inside = _crossing(at, warm, i), True
    if inside:
        longest = max(longest, float(at[-1]) - begun)
    return longest * 60


def pairs_met(minutes: npt.ArrayLike, temp_c: npt.ArrayLike, pairs: Sequence[Pair]) -> list[Pair]:
    """The published pairs that a curve kept whole: hot enough for long enough without a break.

    A pair is never put together from parts, and nothing is interpolated between pairs: the
    published table is no line of one z. Source of the pairs: Grade A Pasteurized Milk Ordinance
    table as in Michigan law MCL 288.697 and 21 CFR 131.3. The °F figure is the legal one.

    Parameters
    ----------
    minutes, temp_c
        The curve of the coldest milk, one-dimensional, minutes ascending.
    pairs
        Those of the milk.
    """
    found = []
    for pair in pairs:
        if longest_at_s(minutes, temp_c, pair.temp_c) >= pair.hold_s - 60 * _ROUNDING:
            found.append(pair)
    return found


def hold_s(temp_c: float, pairs: Sequence[Pair]) -> float | None:
    """How long a temperature must be held, s: the shortest whole pair it reaches; None for none.

    Never interpolated: 68 °C takes the 30 min of 63 °C.
    """
    reached = [pair.hold_s for pair in pairs if temp_c + _ROUNDING >= pair.temp_c]
    return min(reached, default=None)


def log_reduction(
    minutes: npt.ArrayLike,
    temp_c: npt.ArrayLike,
    d_s: float = LISTERIA_D_S,
    at_c: float = LISTERIA_AT_C,
    z_c: float = LISTERIA_Z_C,
) -> float:
    """Tenfold falls of one germ over a curve, for information only.

    ∫ dt / D(T) with D(T) = D × 10^((T₀ − T)/z), straight lines of temperature between readings.
    Without constants for Listeria monocytogenes in milk: D 0.9 s at 71.7 °C, z 6.3 °C (Bradshaw
    et al. 1985). Single published D values scatter by half. It never makes milk “pasteurised”.
    """
    at, temp = _curve(minutes, temp_c)
    total = 0.0
    for i in range(1, len(at)):
        span_s = 60 * float(at[i] - at[i - 1])
        low, high = (float(t - at_c) / z_c for t in (temp[i - 1], temp[i]))
        total += span_s / d_s * _mean_power(low, high)
    return total


def _mean_power(low: float, high: float) -> float:
    """The mean of 10^x over x from `low` to `high`."""
    if abs(high - low) < 1e-9:
        return float(10.0**low)
    return float((10.0**high - 10.0**low) / ((high - low) * np.log(10)))


def pasteurise_warnings(temp_c: npt.ArrayLike, met: Sequence[Pair]) -> tuple[Message, ...]:
    """What to say when no pair was met, and when the log reduction is stretched."""
    warnings: list[Message] = []
    hottest = float(np.max(np.asarray(temp_c, dtype=float)))
    if hottest > OPEN_PAN_C:
        warnings.append(Message("reckoning.hotter-than-open-pan"))
    if not met:
        warnings.append(Message("reckoning.no-pair-kept"))
    if hottest > 85:
        warnings.append(Message("reckoning.log-reduction-stretched"))
    return tuple(warnings)


def _crossing(at: Floats, warm: Floats, i: int) -> float:
    share = warm[i - 1] / (warm[i - 1] - warm[i])
    return float(at[i - 1] + share * (at[i] - at[i - 1]))


def _curve(minutes: npt.ArrayLike, temp_c: npt.ArrayLike) -> tuple[Floats, Floats]:
    at = np.asarray(minutes, dtype=np.float64)
    temp = np.asarray(temp_c, dtype=np.float64)
    require(
        at.ndim == 1 and at.shape == temp.shape and len(at) >= 2,
        "reckoning.curve-short",
    )
    require(np.isfinite(at).all() and np.isfinite(temp).all(), "reckoning.curve-no-number")
    require(np.all(np.diff(at) >= 0), "reckoning.curve-runs-backwards")
    require(np.all((temp > -50) & (temp < 200)), "reckoning.curve-beyond-milk")
    return at, temp
