"""Pressing: the weight that gives a pressure on a mould."""

from __future__ import annotations

from math import pi

from journal.reckoning import ReckoningError

GRAVITY = 9.80665  # m/s², standard


def round_area_cm2(diameter_mm: float) -> float:
    """Area of a round mould, cm². Exact; ReckoningError when it has no width."""
    if not diameter_mm > 0:
        raise ReckoningError("A press needs a mould: give its width in mm.")
    return pi * (diameter_mm / 20) ** 2


def load_kg(pressure_kpa: float, area_cm2: float) -> float:
    """The weight in kg that presses `area_cm2` with `pressure_kpa`. Exact.

    Raises
    ------
    ReckoningError
        When the pressure is below zero or there is no area.
    """
    if pressure_kpa < 0 or not area_cm2 > 0:
        raise ReckoningError("A press needs an area above 0 cm² and a pressure of 0 kPa or more.")
    return pressure_kpa * area_cm2 / (GRAVITY * 10)
