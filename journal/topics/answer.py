"""What a sum answers: values with their units, the formula in words, source, what was assumed."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

# The unit a value's name ends in; the longest ending wins.
_ENDINGS = {
    "_pct": "%",
    "_kg": "kg",
    "_g": "g",
    "_ml": "ml",
    "_l": "L",
    "_c": "°C",
    "_kpa": "kPa",
    "_psi": "psi",
    "_mm": "mm",
    "_cm2": "cm²",
    "_min": "min",
    "_h": "h",
    "_kg_per_l": "kg/L",
    "_kg_m3": "kg/m³",
    "_c_per_min": "°C/min",
    "_mv": "mV",
    "_n_per_mm": "N/mm",
    "_mv_per_ph": "mV/pH",
}
_NAMES = {
    "ml": "ml",
    "g": "g",
    "activity_units": "",
    "packets": "",
    "tablets": "",
    "moulds": "",
    "cost": "",
    "cost_per_kg": "per kg",
    "aged_cost_per_kg": "per kg",
    "degree_days": "°C d",
    "equal_days": "d",
    "dornic": "°D",
    "soxhlet_henkel": "°SH",
    "thorner": "°Th",
    "baume": "°Bé",
    "salometer_deg": "°S",
    "g_per_kg_water": "g/kg water",
    "pct_w_w": "% w/w",
    "multiple_of_weight": "times",
    "log_reduction": "tenfold reductions",
    "c_per_min": "°C/min",
    "imcu_per_kg": "IMCU/kg",
    "aw": "",
    "aw_by_salt": "",
    "aw_by_salt_and_ph": "",
    "protein_fat": "",
    "casein_fat": "",
}


@dataclass(frozen=True)
class SumAnswer:
    """A sum's answer.

    `values` by key, the unit in the key's name; None where a value is not to be had. `assumed`
    is what was assumed, `warnings` where an input lies outside the range of validity,
    `cautions` what to mind whatever the numbers are. `kitchen_ml` is the volume to give in a
    kitchen measure, if any.
    """

    values: dict[str, Any]
    formula: str
    source: str
    assumed: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    kitchen_ml: float | None = None
    units: dict[str, str] = field(init=False)

    def __post_init__(self) -> None:
        units = {key: unit_of(key) for key in self.values}
        object.__setattr__(
            self, "units", {key: unit for key, unit in units.items() if unit is not None}
        )


def unit_of(key: str) -> str | None:
    """The unit that a value's key names, "" for a plain number, None for what is no number."""
    if key in _NAMES:
        return _NAMES[key]
    fits = [ending for ending in _ENDINGS if key.endswith(ending)]
    return _ENDINGS[max(fits, key=len)] if fits else None
