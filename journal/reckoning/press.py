"""Pressing: load, area and pressure, moulds in a stack, another mould, a spring that slackens."""

from __future__ import annotations

import numpy as np

from journal.reckoning.bounds import Numbers, above, at_least, outside, plain, require, within

GRAVITY = 9.80665
KPA_PER_PSI = 6.894757293168361
# A spring gives way as the curd settles. That half of the load is left in the end and how fast
# it goes are assumed so that it wants tightening about every 6 h (common practice, no source).
SPRING_KEEPS = 0.5
SPRING_SETTLES_H = 12.0
TIGHTEN_BELOW = 0.8
CAUTION = (
    "Published factory pressures (14 to 28 psi) are about ten times what the old rule of 10 to 20 "
    "times the cheese's own weight gives: say which a plan means, and at what size of wheel. "
    "Press by steps; full from the start forces out fat. Stand clear of loaded levers and weights."
)


def round_area_cm2(diameter_mm: Numbers) -> Numbers:
    """Area of a round mould, cm². Exact."""
    above(diameter_mm, 0, "width of the mould", "mm")
    return np.pi * (diameter_mm / 20) ** 2


def rectangle_area_cm2(width_mm: Numbers, length_mm: Numbers) -> Numbers:
    """Area of a square or oblong mould, cm². Exact."""
    above(width_mm, 0, "width of the mould", "mm")
    above(length_mm, 0, "length of the mould", "mm")
    return width_mm * length_mm / 100


def pressure_kpa(load_kg: Numbers, area_cm2: Numbers, advantage: Numbers = 1.0) -> Numbers:
    """Pressure under a load, kPa: load × advantage × 9.80665 / area.

    Parameters
    ----------
    load_kg
        What hangs on the lever or stands on the follower.
    area_cm2
        Of the mould.
    advantage
        What the lever multiplies the load by; 1 for a weight that stands on the follower.
    """
    at_least(load_kg, 0, "load", "kg")
    above(area_cm2, 0, "area of the mould", "cm²")
    above(advantage, 0, "advantage of the lever")
    return load_kg * advantage * GRAVITY * 10 / area_cm2


def load_kg(pressure_kpa: Numbers, area_cm2: Numbers, advantage: Numbers = 1.0) -> Numbers:
    """The load that gives a pressure, kg: the reverse of `pressure_kpa`. Exact."""
    at_least(pressure_kpa, 0, "pressure", "kPa")
    above(area_cm2, 0, "area of the mould", "cm²")
    above(advantage, 0, "advantage of the lever")
    return pressure_kpa * area_cm2 / (GRAVITY * 10 * advantage)


def psi(pressure_kpa: Numbers) -> Numbers:
    """Pounds to the square inch from kPa. Exact."""
    return pressure_kpa / KPA_PER_PSI


def kpa_from_psi(pressure_psi: Numbers) -> Numbers:
    """kPa from pounds to the square inch. Exact."""
    return pressure_psi * KPA_PER_PSI


def load_on_other_mould_kg(load_kg: Numbers, area_cm2: Numbers, other_area_cm2: Numbers) -> Numbers:
    """The load that presses another mould alike, kg: load × other area / area. Exact."""
    at_least(load_kg, 0, "load", "kg")
    above(area_cm2, 0, "area of the mould", "cm²")
    above(other_area_cm2, 0, "area of the other mould", "cm²")
    return load_kg * other_area_cm2 / area_cm2


def multiple_of_weight(on_cheese_kg: Numbers, wheel_kg: Numbers) -> Numbers:
    """How many times its own weight a wheel bears. Exact."""
    at_least(on_cheese_kg, 0, "load", "kg")
    above(wheel_kg, 0, "weight of the wheel", "kg")
    return on_cheese_kg / wheel_kg


def stack_loads_kg(on_top_kg: Numbers, wheel_kg: Numbers, count: int) -> list[Numbers]:
    """What each wheel of a stack bears, top first, kg: the load and the wheels above it.

    Moulds and followers count as weightless. Each bears the whole load, not a share of it. Over
    arrays of loads or wheels each entry is an array.
    """
    at_least(on_top_kg, 0, "load", "kg")
    at_least(wheel_kg, 0, "weight of the wheel", "kg")
    within(count, 1, 50, "number of moulds in the stack")
    return [on_top_kg + i * wheel_kg for i in range(count)]


def spring_load_kg(
    load_kg: Numbers,
    hours: Numbers,
    keeps: float = SPRING_KEEPS,
    settles_h: float = SPRING_SETTLES_H,
) -> Numbers:
    """The load a spring press is left with as the curd settles, kg.

    load × (keeps + (1 − keeps) e^(−hours / settles)): a spring loses load in proportion to how
    far the curd has sunk, and the curd sinks ever slower. The model and both constants are
    assumed; measure the spring's length to know better.
    """
    at_least(load_kg, 0, "load", "kg")
    at_least(hours, 0, "time", "h")
    _spring(keeps, settles_h)
    return plain(load_kg * (keeps + (1 - keeps) * np.exp(-np.asarray(hours) / settles_h)))


def tighten_after_h(
    below: float = TIGHTEN_BELOW, keeps: float = SPRING_KEEPS, settles_h: float = SPRING_SETTLES_H
) -> float:
    """Hours until a spring press has fallen to a share of its load, by `spring_load_kg`.

    About 6 h for four fifths (common practice, no source). Infinite when it never falls so far.
    """
    require(0 < below < 1, "Tighten at a share of the load between 0 and 1.")
    _spring(keeps, settles_h)
    if below <= keeps:
        return float("inf")
    return float(-settles_h * np.log((below - keeps) / (1 - keeps)))


def press_warnings(pressure_kpa: Numbers, multiple: Numbers | None = None) -> list[str]:
    """Where a pressure lies outside what was published."""
    said = []
    if outside(pressure_kpa, 0, 195):
        said.append(
            "That is more than the 28 psi (193 kPa) published for gouda; check what the mould and "
            "the press can bear."
        )
    most = 0.0 if multiple is None else float(np.max(multiple))
    if most > 20:
        said.append(
            f"That is {most:.0f} times the wheel's own weight; the old rule for gouda is 10 "
            "to 20 times."
        )
    return said


def _spring(keeps: float, settles_h: float) -> None:
    require(0 <= keeps <= 1, "The share of the load a spring keeps lies between 0 and 1.")
    above(settles_h, 0, "time in which the curd settles", "h")
