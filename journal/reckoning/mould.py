"""The mould for a milk: how high the wheel stands, and whether the curd goes in."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from journal.message import Message
from journal.reckoning.bounds import Numbers, above, within

# Pressed cheese and loose curd, from memory; the hoops of Thom & Fisk 1918, table XIII, hold
# their printed weights at about 1.0 to 1.1 kg/L.
CHEESE_KG_PER_L = 1.08
LOOSE_OVER_PRESSED = 1.5


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


def mould_warnings(height_mm: Numbers, width_mm: Numbers) -> tuple[Message, ...]:
    """Proportions that make a wheel hard to press or to ripen (common practice, no source)."""
    slender = np.asarray(height_mm) / width_mm
    warnings: list[Message] = []
    if np.any(slender < 1 / 8):
        warnings.append(Message("reckoning.wheel-flat"))
    if np.any(slender > 1.5):
        warnings.append(Message("reckoning.wheel-tall"))
    return tuple(warnings)
