"""What a cheese is made of: the trade's ratios, its firmness, what a kitchen scale tells."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, overload

import numpy as np

from journal.reckoning.bounds import (
    Floats,
    Numbers,
    above,
    at_least,
    listed,
    outside,
    part,
    require,
)
from journal.reckoning.brine import SATURATED_PCT
from journal.reckoning.milk_yield import CASEIN_LOST_PCT, FAT_RECOVERY, SOLIDS_FACTOR

# About 95 times in 100 under a normal spread.
RANGE_SD = 1.96
_ROUNDING = 1e-9
CODEX_A6 = "Codex A-6"
CODEX_283 = "Codex 283-1978 as revised, from memory"
_FIRMNESS: tuple[tuple[str, str, float, float], ...] = (
    (CODEX_A6, "extra hard", 0, 51),
    (CODEX_A6, "hard", 49, 56),
    (CODEX_A6, "semi-hard", 54, 63),
    (CODEX_283, "firm/semi-hard", 54, 69),
    (CODEX_A6, "semi-soft", 61, 69),
    (CODEX_A6, "soft", 67, 100),
)
# (axis, premium, first grade): Lawrence & Gilles 1980, Lawrence et al. 2004, the numbers from
# memory.
_YOUNG_CHEDDAR = {
    "mnfs_pct": ((52.0, 54.0), (50.0, 56.0)),
    "s_m_pct": ((4.7, 5.7), (4.0, 6.0)),
    "fdm_pct": ((52.0, 55.0), (50.0, 56.0)),
    "ph": ((4.95, 5.10), (4.85, 5.20)),
}


def moisture_in_non_fat_substance(moisture_pct: Numbers, fat_pct: Numbers) -> Numbers:
    """MNFS (MFFB), %: 100 × moisture / (100 − fat).

    Source: Codex general standard for cheese; Mullan. Exact.
    """
    _cheese(moisture_pct, fat_pct)
    require(fat_pct < 100, "A cheese of fat alone has no other substance; check the fat.")
    return 100 * moisture_pct / (100 - fat_pct)


def fat_in_dry_matter(moisture_pct: Numbers, fat_pct: Numbers) -> Numbers:
    """FDM (FDB), %: 100 × fat / (100 − moisture).

    Source: Codex general standard for cheese; Mullan. Exact.
    """
    _cheese(moisture_pct, fat_pct)
    require(moisture_pct < 100, "A cheese of water alone has no dry matter; check the moisture.")
    return 100 * fat_pct / (100 - moisture_pct)


def salt_in_moisture(salt_pct: Numbers, moisture_pct: Numbers) -> Numbers:
    """S/M, %: 100 × salt / moisture. Not the strength of a brine: see `salt_in_water_phase`."""
    salt_and_moisture(salt_pct, moisture_pct)
    return 100 * salt_pct / moisture_pct


def salt_in_water_phase(salt_pct: Numbers, moisture_pct: Numbers) -> Numbers:
    """Salt as % of salt and water together, as a brine is counted: 100 S / (S + M)."""
    salt_and_moisture(salt_pct, moisture_pct)
    return 100 * salt_pct / (salt_pct + moisture_pct)


def salt_and_moisture(salt_pct: Numbers, moisture_pct: Numbers) -> None:
    """Refuse salt and moisture that no cheese can hold together."""
    part(salt_pct, "salt of the cheese")
    above(moisture_pct, 0, "moisture", "%")
    require(
        np.asarray(salt_pct) + moisture_pct <= 100 + _ROUNDING,
        "Salt and moisture together are more than the whole cheese; check both.",
    )


def whole_cheese(moisture_pct: Numbers, fat_pct: Numbers, salt_pct: Numbers) -> None:
    """Refuse moisture, fat and salt that pass 100 % of the cheese together."""
    _cheese(moisture_pct, fat_pct)
    part(salt_pct, "salt of the cheese")
    require(
        np.asarray(moisture_pct) + fat_pct + salt_pct <= 100 + _ROUNDING,
        "Moisture, fat and salt together are more than the whole cheese; check all three.",
    )


def water_phase_warnings(salt_pct: Numbers, moisture_pct: Numbers) -> list[str]:
    """Where a cheese's water would hold more salt than it can dissolve (26.4 %, salt handbook)."""
    if outside(salt_in_water_phase(salt_pct, moisture_pct), 0, SATURATED_PCT):
        return [
            "More salt than the water of the cheese can dissolve: it is saturated at 26.4 % of "
            "salt and water. Check salt and moisture."
        ]
    return []


@overload
def firmness(mnfs_pct: float) -> list[tuple[str, str]]: ...
@overload
def firmness(mnfs_pct: Floats) -> list[list[tuple[str, str]]]: ...
def firmness(mnfs_pct: Numbers) -> Any:
    """Every class of firmness an MNFS falls into, as (class, which wording it is from).

    The classes overlap on purpose: 55 is hard and semi-hard. Sources: the wording of Codex A-6;
    Codex 283-1978 as revised in 1999 (from memory), which says firm/semi-hard for 54 to 69.
    Over an array a list of such lists.
    """
    part(mnfs_pct, "MNFS")
    return listed(_firmness, mnfs_pct)


def _firmness(mnfs_pct: float) -> list[tuple[str, str]]:
    found = []
    for wording, name, low, high in _FIRMNESS:
        below = mnfs_pct < high if name == "extra hard" else mnfs_pct <= high
        over = mnfs_pct > low if name == "soft" else mnfs_pct >= low
        if below and over:
            found.append((name, wording))
    return found


@overload
def fat_class(fdm_pct: float) -> list[str]: ...
@overload
def fat_class(fdm_pct: Floats) -> list[list[str]]: ...
def fat_class(fdm_pct: Numbers) -> Any:
    """The words for a cheese's fat by FDM; a value on the border has both.

    Above 60 high, 45 to 60 full, 25 to 45 medium, 10 to 25 low, below 10 skim. Source: Codex A-6.
    Over an array a list of such lists.
    """
    part(fdm_pct, "FDM")
    return listed(_fat_class, fdm_pct)


def _fat_class(fdm_pct: float) -> list[str]:
    words = ["high fat"] if fdm_pct > 60 else []
    for name, low, high in (
        ("full fat", 45, 60),
        ("medium fat", 25, 45),
        ("partly skimmed", 10, 25),
    ):
        if low <= fdm_pct <= high:
            words.append(name)
    return words + (["skim"] if fdm_pct < 10 else [])


def young_cheddar(
    mnfs_pct: Numbers | None = None,
    s_m_pct: Numbers | None = None,
    fdm_pct: Numbers | None = None,
    ph: Numbers | None = None,
) -> dict[str, Any]:
    """How a young cheddar's four measures lie: "premium", "first grade" or "outside".

    The windows of Lawrence & Gilles 1980 and Lawrence et al. 2004 **from memory**: MNFS 52–54
    (50–56), S/M 4.7–5.7 (4.0–6.0), FDM 52–55 (50–56), pH 4.95–5.10 (4.85–5.20). Sources count the
    age differently, from 24 hours to 14 days: say the age beside it. For
    an array an axis has a list of words.
    """
    given = {"mnfs_pct": mnfs_pct, "s_m_pct": s_m_pct, "fdm_pct": fdm_pct, "ph": ph}
    return {
        axis: listed(partial(_window, axis), value)
        for axis, value in given.items()
        if value is not None
    }


def _window(axis: str, value: float) -> str:
    best, good = _YOUNG_CHEDDAR[axis]
    if best[0] <= value <= best[1]:
        return "premium"
    return "first grade" if good[0] <= value <= good[1] else "outside"


@dataclass(frozen=True)
class Kitchen:
    """A cheese's make-up as a kitchen scale tells it, %; each name also a key of `ranges`."""

    moisture_pct: float
    fat_pct: float
    salt_pct: float
    mnfs_pct: float
    fdm_pct: float
    s_m_pct: float
    water_phase_salt_pct: float
    ranges: dict[str, tuple[float, float]]


def kitchen_composition(
    milk_kg: float,
    fat_pct: float,
    casein_pct: float,
    green_weight_kg: float,
    salt_kg: float = 0.0,
    *,
    milk_sd_kg: float = 0.0,
    fat_sd_pct: float = 0.0,
    casein_sd_pct: float = 0.0,
    weight_sd_kg: float = 0.0,
    salt_sd_kg: float = 0.0,
) -> Kitchen:
    """Moisture, MNFS, FDM and S/M of one make, from milk, green weight and the salt that stayed.

    The milk's solids are kept as Van Slyke and Price have it: 93 % of the fat, all but 0.1 of the
    casein, and 9 % of other solids with the salt; what the wheel weighs beyond them is water.

    Parameters
    ----------
    milk_kg, fat_pct, casein_pct
        The milk.
    green_weight_kg
        All cheese as it left the press or the brine.
    salt_kg
        The salt that stayed in it.
    milk_sd_kg, fat_sd_pct, casein_sd_pct, weight_sd_kg, salt_sd_kg
        How sure each is, one standard deviation; they count as independent.

    Returns
    -------
    Kitchen
        `ranges` hold the truth about 95 times in 100 as far as the entered uncertainties go
        (first-order propagation); how well the recoveries fit this make is not in them.

    Raises
    ------
    ReckoningError
        When the wheel weighs less than its solids, when moisture, fat and salt pass the whole,
        or an input cannot be.
    """
    values = [milk_kg, fat_pct, casein_pct, green_weight_kg, salt_kg]
    spreads = [milk_sd_kg, fat_sd_pct, casein_sd_pct, weight_sd_kg, salt_sd_kg]
    for value, what in zip((milk_kg, green_weight_kg), ("milk", "green weight"), strict=True):
        above(value, 0, what, "kg")
    part(fat_pct, "fat of the milk")
    part(casein_pct, "casein of the milk")
    at_least(salt_kg, 0, "salt", "kg")
    for spread in spreads:
        at_least(spread, 0, "uncertainty")
    require(
        _solids_kg(milk_kg, fat_pct, casein_pct) < green_weight_kg,
        "The cheese weighs less than the solids its milk should leave; check the milk, its fat "
        "and the green weight.",
    )
    found = _kitchen(values)
    whole_cheese(found["moisture_pct"], found["fat_pct"], found["salt_pct"])
    ranges = {
        name: _range(lambda v, name=name: _kitchen(v)[name], values, spreads)  # type: ignore[misc]
        for name in found
    }
    return Kitchen(**found, ranges=ranges)


def _solids_kg(milk_kg: float, fat_pct: float, casein_pct: float) -> float:
    kept = FAT_RECOVERY * fat_pct + casein_pct - CASEIN_LOST_PCT
    return milk_kg * kept * SOLIDS_FACTOR / 100


def _kitchen(values: Sequence[float]) -> dict[str, float]:
    milk, fat, casein, green, salt = values
    moisture = 100 * (1 - _solids_kg(milk, fat, casein) / green)
    cheese_fat = FAT_RECOVERY * fat * milk / green
    salt_pct = 100 * salt / green
    return {
        "moisture_pct": moisture,
        "fat_pct": cheese_fat,
        "salt_pct": salt_pct,
        "mnfs_pct": 100 * moisture / (100 - cheese_fat),
        "fdm_pct": 100 * cheese_fat / (100 - moisture),
        "s_m_pct": 100 * salt_pct / moisture,
        "water_phase_salt_pct": 100 * salt_pct / (salt_pct + moisture),
    }


def first_order_sd(
    of: Callable[[Sequence[float]], float], values: Sequence[float], spreads: Sequence[float]
) -> float:
    """The standard deviation of `of(values)` by first-order propagation of independent spreads.

    Slopes are central differences over a millionth of each value.
    """
    total = 0.0
    for i, spread in enumerate(spreads):
        if spread == 0:
            continue
        step = max(abs(values[i]), 1e-3) * 1e-6
        up, down = list(values), list(values)
        up[i] += step
        down[i] -= step
        total += ((of(up) - of(down)) / (2 * step) * spread) ** 2
    return float(total**0.5)


def _range(
    of: Callable[[Sequence[float]], float], values: Sequence[float], spreads: Sequence[float]
) -> tuple[float, float]:
    middle, half = of(values), RANGE_SD * first_order_sd(of, values, spreads)
    return (middle - half, middle + half)


def _cheese(moisture_pct: Numbers, fat_pct: Numbers) -> None:
    part(moisture_pct, "moisture")
    part(fat_pct, "fat of the cheese")
    require(
        np.asarray(moisture_pct) + fat_pct <= 100 + _ROUNDING,
        "Moisture and fat together are more than the whole cheese; check both.",
    )
