"""How curd cools where nothing holds its temperature: by its size, in the vat and in its mould."""

from __future__ import annotations

import numpy as np

from journal.curves.day import every_begin
from journal.records.plans import Plan
from journal.records.traces import Floats
from journal.records.whole import WholeMake

# Of milk and of curd, from memory: J/(m³ K), m²/s, and W/(m² K) from a vat with its wall and a lid,
# and from a mould with its cloth, standing in a room.
HEAT, DIFFUSIVITY = 3.6e6, 1.3e-7
FROM_VAT, FROM_MOULD = 9.0, 6.0
CURD_KG_PER_L = 1.06
MOULDED = ("mould", "press")
FIRST_ROOT = 2.405  # of the Bessel function: how warmth leaves a cylinder by its side


def cooling_rate(whole: WholeMake, minutes: Floats) -> Floats:
    """The share of its excess over the room that milk or curd loses in a minute, at `minutes` (n,)
    of the make."""
    stages, begins = whole.plan.stages, every_begin(whole)
    moulded = [at for at, s in zip(begins, stages, strict=True) if s.kind in MOULDED]
    vat = 1 / vat_min(whole.make.milk.litres)
    if not moulded:
        return np.full(len(minutes), vat)
    wheel = 1 / wheel_min(whole.plan, whole.make.milk.litres)
    return np.where(minutes < moulded[0], vat, wheel)


def vat_min(litres: float) -> float:
    """Time constant of a vat as high as wide, minutes; its milk is stirred or nearly so."""
    wide = (4 * litres / 1000 / np.pi) ** (1 / 3)
    return float(HEAT * wide / 6 / FROM_VAT / 60)


def wheel_min(plan: Plan, litres: float) -> float:
    """Time constant of the middle of all of a wheel in its mould, minutes: what its skin gives to
    the room, and what its inside takes to give to the skin. Without a mould it is as high as wide,
    and never higher, for then it is several."""
    volume = litres * plan.yield_pct / 100 / CURD_KG_PER_L / 1000
    wide = (4 * volume / np.pi) ** (1 / 3) if plan.mould_mm is None else plan.mould_mm / 1000
    high = min(volume / (np.pi * wide**2 / 4), wide)
    skin = HEAT / FROM_MOULD / (2 / high + 4 / wide)
    inside = 1 / DIFFUSIVITY / ((np.pi / high) ** 2 + (2 * FIRST_ROOT / wide) ** 2)
    return float((skin + inside) / 60)
