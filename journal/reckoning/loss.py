"""Weight lost in the ripening room, and why that is not water lost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from journal.message import Message
from journal.reckoning.bounds import Numbers, above, at_least, each, part, require, within

SERIES_WEEKS = 20.0
SMALLEST_KG = 5.0
# About the water of the cheddar of the series (University of Guelph): no more can be lost.
MOST_LOSS_PCT = 37.0
# How far a published loss lies about a power of the weight and an exponential of the temperature
# through the seven others (root mean square of the logarithms, each left out in turn).
SERIES_SD = 0.29
# How much faster a soft cheese with a bare rind loses than one in cloth would at its size and room.
# Three published losses of camembert of about 250 g (108 × 32 mm: Liu & Puri 2003), each in units
# of this series carried on by surface to mass: 3.1 (57 to 48 % water, taken as four weeks at 13 °C:
# Thom & Fisk 1918), 3.2 (3 to 6 points of water in two weeks: the same), 5.8 (15 % in 23 days at
# 6 °C and 75 % humidity: Picque et al., J. Dairy Sci. 2011). Their mean and spread as logarithms.
SOFT_BARE, SOFT_BARE_SD = 3.8, 0.36
SOFT_MOISTURE_PCT = 48.0
# No cheese is dried further (common practice; Parmesan has 29 %, University of Guelph, table 1.2).
DRIEST_PCT = 25.0


@dataclass(frozen=True)
class Loss:
    """One published loss: a cheese so heavy, a room so warm, weeks, % of the weight."""

    cheese_kg: float
    room_c: float
    weeks: float
    loss_pct: float


def weight_loss_pct(
    cheese_kg: Numbers, room_c: Numbers, weeks: Numbers, series: Sequence[Loss]
) -> Numbers:
    """Weight lost by a cheese with a rind in cloth, % of what it weighed.

    Between the published rooms in a straight line, between the published weights along a power of
    the weight, below the lightest by surface to mass (its cube root), in proportion to the time.
    Source of the series: Thom & Fisk, The Book of Cheese, 1918, table XIX (cheddar of 5.7 to
    31.8 kg, 4 to 16 °C, 20 weeks; the humidity is not printed). The largest cheese loses less at
    10 than at 4 °C in it: such is the scatter.

    Raises
    ------
    ReckoningError
        When an input cannot be, the series is missing, or the loss would pass 37 %, all the water
        that a cheddar holds: so far the series cannot be carried on.
    """
    above(cheese_kg, 0, "reckoning.weight-of-cheese", "kg")
    within(room_c, -2, 40, "reckoning.temperature-of-room", "°C")
    at_least(weeks, 0, "reckoning.time", "weeks")
    weights = sorted({row.cheese_kg for row in series})
    require(len(weights) >= 2, "reckoning.loss-series-missing")
    rows = [[row for row in series if row.cheese_kg == kg] for kg in weights]

    def a_week(kg: float, temp: float) -> float:
        return _power(kg, weights, [_at_room(each_weight, temp) for each_weight in rows])

    found = each(a_week, cheese_kg, room_c) * weeks
    require(
        found <= MOST_LOSS_PCT,
        "reckoning.loss-beyond-water",
        most_pct=MOST_LOSS_PCT,
    )
    return found


@dataclass(frozen=True)
class LossRange:
    """What a cheese may lose, %: between `low` and `high`, most likely `middle` (None: unknown)."""

    low: float
    middle: float | None
    high: float


def loss_range_pct(
    in_cloth_pct: float, cheese_kg: float, rind: str = "", moisture_pct: float | None = None
) -> LossRange:
    """What a cheese may lose where one in cloth would lose `in_cloth_pct`.

    A rind in cloth loses as the series does, 1.8 times more or less. A bare rind loses more: a soft
    cheese (48 % of water and more) as published for camembert; of a firmer one nothing is
    published, so it lies between the two. Under wax, a coating or vacuum: up to what cloth lets
    out. Without a word a cheese of 5 kg and more is in cloth, a smaller one bare.

    Raises
    ------
    ReckoningError
        When the middle would dry the cheese below 25 % of water (37 % lost where its moisture is
        not known).
    """
    soft = moisture_pct is not None and moisture_pct >= SOFT_MOISTURE_PCT
    most = MOST_LOSS_PCT
    if moisture_pct is not None:
        most = max(float(loss_from_moisture_pct(moisture_pct, DRIEST_PCT)), 0.0)
    cloth = float(np.exp(1.96 * SERIES_SD))
    if rind in ("waxed", "coated", "vacuum"):
        return LossRange(0.0, None, min(in_cloth_pct * cloth, most))
    if rind == "bandaged" or (not rind and cheese_kg >= SMALLEST_KG):
        low, middle, high = 1 / cloth, 1.0, cloth
    elif soft:
        wide = float(np.exp(1.96 * SOFT_BARE_SD))
        low, middle, high = SOFT_BARE / wide, SOFT_BARE, SOFT_BARE * wide
    else:
        low, middle, high = 1 / cloth, SOFT_BARE**0.5, SOFT_BARE * float(np.exp(SOFT_BARE_SD))
    require(
        in_cloth_pct * middle <= most,
        "reckoning.loss-dries-out",
    )
    return LossRange(in_cloth_pct * low, in_cloth_pct * middle, min(in_cloth_pct * high, most))


def loss_from_moisture_pct(moisture_pct: Numbers, later_moisture_pct: Numbers) -> Numbers:
    """Weight lost when moisture fell and the solids stayed, %: 1 − (100 − M₀)/(100 − M₁). Exact.

    From 57 to 48 % moisture a cheese loses 17.3 % of its weight, not 9.
    """
    _moisture(moisture_pct)
    _moisture(later_moisture_pct)
    return 100 * (1 - (100 - moisture_pct) / (100 - later_moisture_pct))


def moisture_after_loss_pct(moisture_pct: Numbers, loss_pct: Numbers) -> Numbers:
    """Moisture after a loss of weight that was all water, %: 100 − (100 − M₀)/(1 − loss). Exact."""
    _moisture(moisture_pct)
    require(
        (np.asarray(loss_pct) >= 0) & (np.asarray(loss_pct) <= moisture_pct),
        "reckoning.loss-above-moisture",
    )
    return 100 - (100 - moisture_pct) / (1 - loss_pct / 100)


def loss_warnings(cheese_kg: Numbers, room_c: Numbers, weeks: Numbers) -> tuple[Message, ...]:
    """Where the published series is left behind."""
    warnings: list[Message] = []
    kg, room = np.asarray(cheese_kg), np.asarray(room_c)
    if np.any(kg < SMALLEST_KG):
        warnings.append(Message("reckoning.loss-of-small-cheese"))
    if np.any(kg > 32):
        warnings.append(Message("reckoning.loss-of-large-cheese"))
    if np.any((room < 4.4 - 1e-9) | (room > 15.6 + 1e-9)):
        warnings.append(Message("reckoning.loss-in-other-room"))
    if np.any((kg < 10) & (room > 10)):
        warnings.append(Message("reckoning.loss-in-warm-room"))
    if np.any(np.asarray(weeks) > SERIES_WEEKS):
        warnings.append(Message("reckoning.loss-after-long"))
    return tuple(warnings)


def _at_room(rows: Sequence[Loss], room_c: float) -> float:
    """Loss a week at a room's temperature: a straight line, the last one carried on."""
    rows = sorted(rows, key=lambda row: row.room_c)
    i = int(np.clip(np.searchsorted([r.room_c for r in rows], room_c), 1, len(rows) - 1))
    a, b = rows[i - 1], rows[i]
    low, high = a.loss_pct / a.weeks, b.loss_pct / b.weeks
    found = low + (high - low) * (room_c - a.room_c) / (b.room_c - a.room_c)
    return max(found, 1e-6)


def _power(at: float, weights: Sequence[float], losses: Sequence[float]) -> float:
    """Along a power of the weight between neighbours, the last one carried on.

    Below the lightest the loss goes with the surface for each kilogram.
    """
    if at < weights[0]:
        return float(losses[0] * (weights[0] / at) ** (1 / 3))
    i = int(np.clip(np.searchsorted(weights, at), 1, len(weights) - 1))
    x = np.log([weights[i - 1], weights[i], at])
    y = np.log([losses[i - 1], losses[i]])
    return float(np.exp(y[0] + (y[1] - y[0]) * (x[2] - x[0]) / (x[1] - x[0])))


def _moisture(moisture_pct: Numbers) -> None:
    part(moisture_pct, "reckoning.moisture")
    require(np.asarray(moisture_pct) < 100, "reckoning.cheese-is-whey")
