"""How a cheese dries: first order in its water, by its surface and the dryness of the air."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from journal.reckoning.air import saturation_pa
from journal.reckoning.bounds import Floats, Numbers, above, part, plain, require
from journal.reckoning.loss import MOST_LOSS_PCT, Loss

# The water activity of a ripening rind: unripened to hard cheese has 0.94 to 0.99 (from memory).
RIND_AW = 0.97
# The series prints no humidity; a room for cheddar in cloth is taken to have had 85 % (common
# practice, no source).
SERIES_HUMIDITY_PCT = 85.0
_LEAST_KPA = 0.002  # in air as damp as the rind it still loses a little: it respires


def dryness_kpa(temp_c: Numbers, humidity_pct: Numbers) -> Numbers:
    """What draws water out of a rind, kPa: its vapour pressure above that of the air.

    (0.97 − humidity) × saturation pressure (ASHRAE 2017), the rind as warm as the air.
    """
    part(humidity_pct, "reckoning.relative-humidity")
    wanted = (RIND_AW - np.asarray(humidity_pct) / 100) * np.asarray(saturation_pa(temp_c)) / 1000
    return plain(np.maximum(wanted, _LEAST_KPA))


def surface(cheese_kg: Numbers) -> Numbers:
    """Surface for each kg, as a share of that of 1 kg of the same shape: the cube root of 1/kg."""
    above(cheese_kg, 0, "reckoning.weight-of-cheese", "kg")
    return plain(np.asarray(cheese_kg) ** (-1 / 3))


def loss_after_pct(
    rate: Numbers, cheese_kg: Numbers, kpa_days: Numbers, most_pct: float = MOST_LOSS_PCT
) -> Numbers:
    """Weight lost by drying, % of the green weight: most × (1 − exp(−rate × surface × kPa days)).

    Parameters
    ----------
    rate : of the rind, for each kPa and day at 1 kg
    kpa_days : dryness of the air summed over the days
    most_pct : what it could lose at all
    """
    spent = np.asarray(rate) * surface(cheese_kg) * np.asarray(kpa_days)
    return plain(most_pct * (1 - np.exp(-spent)))


def rate_between(
    first_pct: float,
    last_pct: float,
    cheese_kg: float,
    kpa_days: float,
    most_pct: float = MOST_LOSS_PCT,
) -> float:
    """The rate of a rind from two losses and the dryness between them: the reverse of
    `loss_after_pct`. Nothing lost, or gained, is a rate of 0 or less."""
    require(last_pct < most_pct, "reckoning.loss-beyond-water", most_pct=most_pct)
    spent = np.log((most_pct - first_pct) / (most_pct - last_pct))
    return float(spent / (float(surface(cheese_kg)) * kpa_days))


def series_rates(series: Sequence[Loss]) -> Floats:
    """The rate of a rind in cloth by each published row, at `SERIES_HUMIDITY_PCT`."""
    return np.array(
        [
            rate_between(
                0.0, row.loss_pct, row.cheese_kg,
                float(dryness_kpa(row.room_c, SERIES_HUMIDITY_PCT)) * row.weeks * 7,
            )
            for row in series
        ]
    )  # fmt: skip
