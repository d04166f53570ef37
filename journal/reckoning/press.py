"""Pressing: the weight that gives a pressure on a round mould."""

from __future__ import annotations

from math import pi

from journal.reckoning import ReckoningError

GRAVITY = 9.80665  # m/s², standard


def load_kg(pressure_kpa: float, mould_mm: float) -> float:
    """The weight in kg that presses a round mould of `mould_mm` across with `pressure_kpa`.

    N = kPa × area in m² × 1000; kgf = N / 9.80665. Exact.

    Raises
    ------
    ReckoningError
        When the mould has no width or the pressure is below zero.
    """
    if not mould_mm > 0:
        raise ReckoningError("A press needs a mould: give its width in mm.")
    if pressure_kpa < 0:
        raise ReckoningError(f"{pressure_kpa:g} kPa does not press: give 0 or more.")
    return pressure_kpa * 1000 * pi * (mould_mm / 2000) ** 2 / GRAVITY
