"""Pressing: load, area and pressure, moulds in a stack, another mould, a spring that slackens."""

from __future__ import annotations

import numpy as np

from journal.message import Message
from journal.reckoning.bounds import Numbers, above, at_least, outside, plain, require, within

GRAVITY = 9.80665
KPA_PER_PSI = 6.894757293168361
# A spring gives way as the curd settles. That half of the load is left in the end and how fast
# it goes are assumed so that it wants tightening about every 6 h (common practice, no source).
SPRING_KEEPS = 0.5
SPRING_SETTLES_H = 12.0
TIGHTEN_BELOW = 0.8


def round_area_cm2(diameter_mm: Numbers) -> Numbers:
    """Area of a round mould, cm². Exact."""
    above(diameter_mm, 0, "reckoning.width-of-mould", "mm")
    return np.pi * (diameter_mm / 20) ** 2


def rectangle_area_cm2(width_mm: Numbers, length_mm: Numbers) -> Numbers:
    """Area of a square or oblong mould, cm². Exact."""
    above(width_mm, 0, "reckoning.width-of-mould", "mm")
    above(length_mm, 0, "reckoning.length-of-mould", "mm")
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
    at_least(load_kg, 0, "reckoning.load", "kg")
    above(area_cm2, 0, "reckoning.area-of-mould", "cm²")
    above(advantage, 0, "reckoning.advantage-of-lever")
    return load_kg * advantage * GRAVITY * 10 / area_cm2


def load_kg(pressure_kpa: Numbers, area_cm2: Numbers, advantage: Numbers = 1.0) -> Numbers:
    """The load that gives a pressure, kg: the reverse of `pressure_kpa`. Exact."""
    at_least(pressure_kpa, 0, "reckoning.pressure", "kPa")
    above(area_cm2, 0, "reckoning.area-of-mould", "cm²")
    above(advantage, 0, "reckoning.advantage-of-lever")
    return pressure_kpa * area_cm2 / (GRAVITY * 10 * advantage)


def psi(pressure_kpa: Numbers) -> Numbers:
    """Pounds to the square inch from kPa. Exact."""
    return pressure_kpa / KPA_PER_PSI


def kpa_from_psi(pressure_psi: Numbers) -> Numbers:
    """kPa from pounds to the square inch. Exact."""
    return pressure_psi * KPA_PER_PSI


def load_on_other_mould_kg(load_kg: Numbers, area_cm2: Numbers, other_area_cm2: Numbers) -> Numbers:
    """The load that presses another mould alike, kg: load × other area / area. Exact."""
    at_least(load_kg, 0, "reckoning.load", "kg")
    above(area_cm2, 0, "reckoning.area-of-mould", "cm²")
    above(other_area_cm2, 0, "reckoning.area-of-other-mould", "cm²")
    return load_kg * other_area_cm2 / area_cm2


def multiple_of_weight(on_cheese_kg: Numbers, wheel_kg: Numbers) -> Numbers:
    """How many times its own weight a wheel bears. Exact."""
    at_least(on_cheese_kg, 0, "reckoning.load", "kg")
    above(wheel_kg, 0, "reckoning.weight-of-wheel", "kg")
    return on_cheese_kg / wheel_kg


def stack_loads_kg(on_top_kg: Numbers, wheel_kg: Numbers, count: int) -> list[Numbers]:
    """What each wheel of a stack bears, top first, kg: the load and the wheels above it.

    Moulds and followers count as weightless. Each bears the whole load, not a share of it. Over
    arrays of loads or wheels each entry is an array.
    """
    at_least(on_top_kg, 0, "reckoning.load", "kg")
    at_least(wheel_kg, 0, "reckoning.weight-of-wheel", "kg")
    within(count, 1, 50, "reckoning.number-of-moulds")
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
    at_least(load_kg, 0, "reckoning.load", "kg")
    at_least(hours, 0, "reckoning.time", "h")
    _spring(keeps, settles_h)
    return plain(load_kg * (keeps + (1 - keeps) * np.exp(-np.asarray(hours) / settles_h)))


def tighten_after_h(
    below: float = TIGHTEN_BELOW, keeps: float = SPRING_KEEPS, settles_h: float = SPRING_SETTLES_H
) -> float:
    """Hours until a spring press has fallen to a share of its load, by `spring_load_kg`.

    About 6 h for four fifths (common practice, no source). Infinite when it never falls so far.
    """
    require(0 < below < 1, "reckoning.tighten-share")
    _spring(keeps, settles_h)
    if below <= keeps:
        return float("inf")
    return float(-settles_h * np.log((below - keeps) / (1 - keeps)))


def press_warnings(pressure_kpa: Numbers, multiple: Numbers | None = None) -> tuple[Message, ...]:
    """Where a pressure lies outside what was published."""
    warnings: list[Message] = []
    if outside(pressure_kpa, 0, 195):
        warnings.append(Message("reckoning.pressure-above-published"))
    most = 0.0 if multiple is None else float(np.max(multiple))
    if most > 20:
        warnings.append(Message("reckoning.load-above-rule", times=most))
    return tuple(warnings)


def _spring(keeps: float, settles_h: float) -> None:
    require(0 <= keeps <= 1, "reckoning.spring-share")
    above(settles_h, 0, "reckoning.time-to-settle", "h")
