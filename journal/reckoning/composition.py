"""What a cheese is made of: the trade's ratios, its firmness, what a kitchen scale tells."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, overload

import numpy as np

from journal.message import Message
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
from journal.reckoning.brine import SATURATED_PCT, g_per_kg_water
from journal.reckoning.milk_yield import CASEIN_LOST_PCT, SOLIDS_FACTOR

# About 95 and 80 times in 100 under a normal spread.
RANGE_SD = 1.96
RANGE_80_SD = 1.2816
# The fat that stays. Van Slyke and Price's 93 % is of good cheddar factories: measured were 90.5 to
# 94 % (Thom & Fisk 1918, table XII), 92.7 ± 1.7 (five vats: Mullan, dairyscience.info, cheese
# equations, table 1), 82.8 to 87.2 (four plants: J. Dairy Sci., Cheddar cheese yields in New York),
# some 90 in open vats with 0.4 % of fat in the whey (dairyfoods.com, on a high cheese yield).
FAT_KEPT, FAT_KEPT_SD = 0.90, 0.03
# How far the solids of single vats lie about the formula: the same five vats, 101.4 ± 2.7 % of it.
VAT_SD = 0.027
# Minerals and whey solids beside fat and casein: the formula's 9 % less the salt in them, 1.8 of
# the 63.3 % of solids of a cheddar (University of Guelph, table 1.2).
OTHER_SOLIDS = SOLIDS_FACTOR * (1 - 1.8 / 63.3)
# Salt of a cheese of which nothing is said: nothing yet, or as much as most have (0 to 2 %).
UNSAID_SALT_PCT, UNSAID_SALT_SD_PCT = 1.0, 2 / 12**0.5
# The wettest curd that is still called a cheese: quark of 72 % (Guelph, table 1.2) and wetter.
MOST_MOISTURE_PCT = 85.0
_ROUNDING = 1e-9
CODEX_A6 = "codex-a-6"
CODEX_283 = "codex-283-1978"  # as revised, from memory
_FIRMNESS: tuple[tuple[str, str, float, float], ...] = (
    (CODEX_A6, "extra-hard", 0, 51),
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
    require(fat_pct < 100, "reckoning.cheese-of-fat")
    return 100 * moisture_pct / (100 - fat_pct)


def fat_in_dry_matter(moisture_pct: Numbers, fat_pct: Numbers) -> Numbers:
    """FDM (FDB), %: 100 × fat / (100 − moisture).

    Source: Codex general standard for cheese; Mullan. Exact.
    """
    _cheese(moisture_pct, fat_pct)
    require(moisture_pct < 100, "reckoning.cheese-of-water")
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
    part(salt_pct, "reckoning.salt-of-cheese")
    above(moisture_pct, 0, "reckoning.moisture", "%")
    require(
        np.asarray(salt_pct) + moisture_pct <= 100 + _ROUNDING,
        "reckoning.salt-and-moisture-above-whole",
    )


def whole_cheese(moisture_pct: Numbers, fat_pct: Numbers, salt_pct: Numbers) -> None:
    """Refuse moisture, fat and salt that pass 100 % of the cheese together."""
    _cheese(moisture_pct, fat_pct)
    part(salt_pct, "reckoning.salt-of-cheese")
    require(
        np.asarray(moisture_pct) + fat_pct + salt_pct <= 100 + _ROUNDING,
        "reckoning.parts-above-whole",
    )


def water_phase_warnings(salt_pct: Numbers, moisture_pct: Numbers) -> tuple[Message, ...]:
    """Where a cheese's water would hold more salt than it can dissolve (26.4 %, salt handbook)."""
    if outside(salt_in_water_phase(salt_pct, moisture_pct), 0, SATURATED_PCT):
        return (Message("reckoning.salt-beyond-water"),)
    return ()


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
    part(mnfs_pct, "reckoning.mnfs")
    return listed(_firmness, mnfs_pct)


def _firmness(mnfs_pct: float) -> list[tuple[str, str]]:
    found = []
    for wording, name, low, high in _FIRMNESS:
        below = mnfs_pct < high if name == "extra-hard" else mnfs_pct <= high
        over = mnfs_pct > low if name == "soft" else mnfs_pct >= low
        if below and over:
            found.append((name, wording))
    return found


@overload
def fat_class(fdm_pct: float) -> list[str]: ...
@overload
def fat_class(fdm_pct: Floats) -> list[list[str]]: ...
def fat_class(fdm_pct: Numbers) -> Any:
    """The class of a cheese's fat by FDM; a value on the border has both.

    Above 60 high, 45 to 60 full, 25 to 45 medium, 10 to 25 low, below 10 skim. Source: Codex A-6.
    Over an array a list of such lists.
    """
    part(fdm_pct, "reckoning.fdm")
    return listed(_fat_class, fdm_pct)


def _fat_class(fdm_pct: float) -> list[str]:
    words = ["high-fat"] if fdm_pct > 60 else []
    for name, low, high in (
        ("full-fat", 45, 60),
        ("medium-fat", 25, 45),
        ("partly-skimmed", 10, 25),
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
    """How a young cheddar's four measures lie: "premium", "first-grade" or "outside".

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
    return "first-grade" if good[0] <= value <= good[1] else "outside"


@dataclass(frozen=True)
class Kitchen:
    """A cheese's make-up as a kitchen scale tells it, %; each name also a key of both ranges."""

    moisture_pct: float
    fat_pct: float
    salt_pct: float
    mnfs_pct: float
    fdm_pct: float
    s_m_pct: float
    water_phase_salt_pct: float
    ranges: dict[str, tuple[float, float]]
    ranges_80: dict[str, tuple[float, float]]


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

    The solids are Van Slyke and Price's: of the fat 90 %, all but 0.1 of the casein, 5.9 % other
    solids with them, and the salt. What the wheel weighs beyond them is water.

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
        `ranges` hold the truth about 95 times in 100, `ranges_80` about 80 (first-order
        propagation): what was entered, how much fat stayed (± 3 points) and how far vats lie about
        the formula (2.7 % of the solids in all).

    Raises
    ------
    ReckoningError
        When the wheel weighs less than its solids or nearly as much as its milk, when moisture,
        fat and salt pass the whole, or an input cannot be.
    """
    for value, what in zip(
        (milk_kg, green_weight_kg), ("reckoning.milk", "reckoning.green-weight"), strict=True
    ):
        above(value, 0, what, "kg")
    part(fat_pct, "reckoning.fat-of-milk")
    part(casein_pct, "reckoning.casein-of-milk")
    at_least(salt_kg, 0, "reckoning.salt", "kg")
    entered = (milk_sd_kg, fat_sd_pct, casein_sd_pct, weight_sd_kg, salt_sd_kg)
    for spread in entered:
        at_least(spread, 0, "reckoning.uncertainty")
    values = [milk_kg, fat_pct, casein_pct, green_weight_kg, salt_kg, FAT_KEPT, 1.0]
    spreads = [*entered, FAT_KEPT_SD, _vat_sd(fat_pct, casein_pct)]
    found = _kitchen(values)
    _refuse_impossible(milk_kg, green_weight_kg, found)
    sds = {
        name: first_order_sd(lambda v, name=name: _kitchen(v)[name], values, spreads)  # type: ignore[misc]
        for name in found
    }
    return Kitchen(
        **found,
        ranges={name: _range(found[name], RANGE_SD * sd) for name, sd in sds.items()},
        ranges_80={name: _range(found[name], RANGE_80_SD * sd) for name, sd in sds.items()},
    )


def salt_from_brine_kg(
    milk_kg: float,
    fat_pct: float,
    casein_pct: float,
    green_weight_kg: float,
    pct_w_w: float,
    share: float,
    before_kg: float = 0.0,
) -> float:
    """The salt of a cheese out of a brine, kg: its water goes the `share` (0 to 1) of the way from
    the salt it came with to the brine's strength, so in a weak brine it loses some.

    Exact for a cheese that keeps its water: S = before + share × (brine × water − before), water =
    weight − solids of the milk − S.
    """
    part(100 * share, "reckoning.share-taken-up")
    at_least(before_kg, 0, "reckoning.salt", "kg")
    a_kg = float(g_per_kg_water(pct_w_w)) / 1000
    unsalted = green_weight_kg - _milk_solids_kg(milk_kg, fat_pct, casein_pct)
    require(unsalted > 0, "reckoning.cheese-below-milk-solids")
    return (before_kg * (1 - share) + share * a_kg * unsalted) / (1 + share * a_kg)


def _milk_solids_kg(milk_kg: float, fat_pct: float, casein_pct: float) -> float:
    return milk_kg * (FAT_KEPT * fat_pct + casein_pct - CASEIN_LOST_PCT) / 100 * OTHER_SOLIDS


def _refuse_impossible(milk_kg: float, green_kg: float, found: dict[str, float]) -> None:
    moisture, salt = found["moisture_pct"], found["salt_pct"]
    require(
        moisture + salt > 0,
        "reckoning.cheese-below-milk-solids",
    )
    require(
        moisture > 0,
        "reckoning.cheese-below-solids-and-salt",
    )
    require(
        moisture <= MOST_MOISTURE_PCT,
        "reckoning.cheese-nearly-water",
        green_kg=green_kg,
        milk_kg=milk_kg,
    )
    whole_cheese(moisture, found["fat_pct"], salt)


def _vat_sd(fat_pct: float, casein_pct: float) -> float:
    """What is left of the spread of vats when that of the fat kept is taken out."""
    fat = FAT_KEPT * fat_pct
    share = fat / max(fat + casein_pct - CASEIN_LOST_PCT, 1e-9)
    return float(max(VAT_SD**2 - (FAT_KEPT_SD / FAT_KEPT * share) ** 2, 0.0) ** 0.5)


def _kitchen(values: Sequence[float]) -> dict[str, float]:
    milk, fat, casein, green, salt, fat_kept, vat = values
    kept = milk * (fat_kept * fat + casein - CASEIN_LOST_PCT) / 100
    moisture = 100 * (1 - (vat * kept * OTHER_SOLIDS + salt) / green)
    cheese_fat = fat_kept * fat * milk / green
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


def _range(middle: float, half: float) -> tuple[float, float]:
    return (max(middle - half, 0.0), min(middle + half, 100.0))


def _cheese(moisture_pct: Numbers, fat_pct: Numbers) -> None:
    part(moisture_pct, "reckoning.moisture")
    part(fat_pct, "reckoning.fat-of-cheese")
    require(
        np.asarray(moisture_pct) + fat_pct <= 100 + _ROUNDING,
        "reckoning.moisture-and-fat-above-whole",
    )
