"""The mould for a milk: how high the wheel stands, and whether the curd goes in."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from journal.message import Message
from journal.reckoning.bounds import Numbers, above, within

# Pressed cheese and loose curd, from memory; the hoops of Thom & Fisk 1918, table XIII, hold
# their printed weights at about 1.0 to 1.1 kg/L.
CHEESE_KG_PER_L = 1.08
LOOSE_OVER_PRESSED = 1.5
# Thom & Fisk 1918, par. 146 and 147: a camembert hoop of 4 5/8 by 5 in takes 2 quarts of milk,
# ladled in turns as the curd drains.
LADLED_L_PER_L = 2 * 0.946353 / (np.pi / 4 * (4.625 * 0.254) ** 2 * 5 * 0.254)


def wheel_kg(milk_kg: Numbers, yield_pct: Numbers) -> Numbers:
    """The cheese of a milk, kg, at so many kg from 100 kg. Exact."""
    above(milk_kg, 0, "reckoning.milk", "kg")
    within(yield_pct, 0.1, 60, "reckoning.yield", "%")
    return milk_kg * yield_pct / 100


def wheel_height_mm(
    wheel_kg: Numbers, area_cm2: Numbers, kg_per_l: Numbers = CHEESE_KG_PER_L
) -> Numbers:
    """How high a pressed wheel stands in a mould of so much area, mm: volume / area.

    A pressed cheese weighs about 1.08 kg/L (from memory).
    """
    above(wheel_kg, 0, "reckoning.weight-of-wheel", "kg")
    above(area_cm2, 0, "reckoning.area-of-mould", "cm²")
    within(kg_per_l, 0.5, 1.5, "reckoning.density-of-cheese", "kg/L")
    return 1e4 * wheel_kg / kg_per_l / area_cm2


def loose_height_mm(
    height_mm: Numbers, loose_over_pressed: Numbers = LOOSE_OVER_PRESSED
) -> Numbers:
    """How high the curd stands as it is filled in, mm: half as high again (common practice)."""
    above(height_mm, 0, "reckoning.height-of-wheel", "mm")
    above(loose_over_pressed, 0, "reckoning.ratio-of-loose-to-pressed-curd")
    return height_mm * loose_over_pressed


def fits(height_mm: Numbers, mould_height_mm: Numbers) -> bool | npt.NDArray[np.bool_]:
    """Whether the loose curd of a wheel so high goes into a mould so high; arrays give arrays."""
    above(mould_height_mm, 0, "reckoning.height-of-mould", "mm")
    found = np.asarray(loose_height_mm(height_mm) <= np.asarray(mould_height_mm))
    return bool(found) if found.ndim == 0 else found


def most_pressed_kg(
    area_cm2: Numbers, mould_height_mm: Numbers, kg_per_l: Numbers = CHEESE_KG_PER_L
) -> Numbers:
    """The heaviest pressed wheel whose loose curd still fits a mould, kg."""
    above(area_cm2, 0, "reckoning.area-of-mould", "cm²")
    above(mould_height_mm, 0, "reckoning.height-of-mould", "mm")
    return area_cm2 * mould_height_mm / LOOSE_OVER_PRESSED * kg_per_l / 1e4


def most_ladled_l(area_cm2: Numbers, mould_height_mm: Numbers) -> Numbers:
    """The milk whose curd a mould takes as it is ladled in turns, L: 1.37 times its volume.

    By the camembert hoop of Thom & Fisk 1918; lactic curd sinks more, cut curd less.
    """
    above(area_cm2, 0, "reckoning.area-of-mould", "cm²")
    above(mould_height_mm, 0, "reckoning.height-of-mould", "mm")
    return LADLED_L_PER_L * area_cm2 * mould_height_mm / 1e4


def moulds_for_weight(cheese_kg: float, wheel_kg: float) -> int:
    """Moulds that bring each wheel nearest to a wanted weight; at least one."""
    above(cheese_kg, 0, "reckoning.weight-of-cheese", "kg")
    above(wheel_kg, 0, "reckoning.weight-of-wheel", "kg")
    within(cheese_kg / wheel_kg, 0, 10_000, "reckoning.number-of-wheels")
    return max(1, round(cheese_kg / wheel_kg))


def moulds_to_hold(amount: float, most_each: float) -> int:
    """The fewest moulds that hold all of it, curd or milk, by what one takes at most."""
    above(amount, 0, "reckoning.milk")
    above(most_each, 0, "reckoning.area-of-mould")
    within(amount / most_each, 0, 10_000, "reckoning.number-of-wheels")
    return max(1, math.ceil(amount / most_each - 1e-9))


def mould_warnings(height_mm: Numbers, width_mm: Numbers) -> tuple[Message, ...]:
    """Proportions that make a wheel hard to press or to ripen (common practice, no source)."""
    slender = np.asarray(height_mm) / width_mm
    warnings: list[Message] = []
    if np.any(slender < 1 / 8):
        warnings.append(Message("reckoning.wheel-flat"))
    if np.any(slender > 1.5):
        warnings.append(Message("reckoning.wheel-tall"))
    return tuple(warnings)
