"""Conversion between two named units, by the one shared registry, made on first use."""

from __future__ import annotations

from functools import cache
from typing import Any, overload

import numpy as np
from numpy.typing import NDArray

from journal.message import Message
from journal.quantities import QuantityError
from journal.quantities.units import Unit, quantities

# Kitchen measures are metric and by convention. Acidity: 1 °SH = 2.5 °Th = 2.25 °D =
# 0.0225 % lactic acid, exact ratios (0.25 N, 0.1 N and N/9 NaOH; dairy laboratory manuals).
_DEFINITIONS = (
    "metric_teaspoon = 5 * milliliter",
    "metric_tablespoon = 15 * milliliter",
    "metric_cup = 250 * milliliter",
    "kitchen_drop = 0.05 * milliliter",
    "kitchen_dash = 0.625 * milliliter",
    "kitchen_pinch = 0.3125 * milliliter",
    "kitchen_smidgen = 0.15625 * milliliter",
    "hundred_liters = 100 * liter",
    "calendar_month = 30.4375 * day",
    "lactic_pct = [lactic_acidity]",
    "dornic = 0.01 * lactic_pct",
    "soxhlet_henkel = 0.0225 * lactic_pct",
    "thorner = 0.009 * lactic_pct",
)

# Points on a scale, not differences: taking the offset away leaves the dust of its sum.
_POINTS = frozenset({"degC", "degF", "kelvin"})


@overload
def convert(value: float, from_unit: str, to_unit: str) -> float: ...
@overload
def convert(value: NDArray[Any], from_unit: str, to_unit: str) -> NDArray[np.float64]: ...
def convert(
    value: float | NDArray[Any], from_unit: str, to_unit: str
) -> float | NDArray[np.float64]:
    """Convert a float or an array (any shape) between two units given by their keys.

    Temperatures ("degC", "degF", "K") convert as points on the scale; differences and rates
    ("delta_degC", "degC/min") by size alone. The same unit twice needs no registry.

    Raises
    ------
    QuantityError
        When a unit is unknown or the two measure different things.
    """
    number: float | NDArray[np.float64]
    number = np.asarray(value, dtype=np.float64) if isinstance(value, np.ndarray) else float(value)
    if _unit(from_unit) is _unit(to_unit) or from_unit == to_unit:
        return number
    if (from_unit, to_unit) not in _pairs():
        raise QuantityError(
            "quantities.different-things",
            first=_unit(from_unit).label or Message("quantities.plain-number"),
            second=_unit(to_unit).label or Message("quantities.plain-number"),
        )
    found = _registry().convert(number, _unit(from_unit).pint, _unit(to_unit).pint)
    if _unit(from_unit).pint in _POINTS:
        found = np.round(found, 12)  # 77 °F is 25 °C, not 25.000000000000057
    return found if isinstance(number, np.ndarray) else float(found)


def _unit(key: str) -> Unit:
    try:
        return _units()[key]
    except KeyError:
        raise QuantityError("quantities.no-such-unit", unit=key) from None


@cache
def _units() -> dict[str, Unit]:
    return {unit.key: unit for found in quantities().values() for unit in found.units}


@cache
def _pairs() -> frozenset[tuple[str, str]]:
    """Every ordered pair of units that belong to one quantity."""
    groups = [[unit.key for unit in found.units] for found in quantities().values()]
    return frozenset((a, b) for keys in groups for a in keys for b in keys)


@cache
def _registry() -> Any:
    import pint

    registry: Any = pint.UnitRegistry(cache_folder=None)
    for definition in _DEFINITIONS:
        registry.define(definition)
    return registry
