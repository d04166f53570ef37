"""Warming the curd: one slope or two, the schedule by the clock, and each break of a limit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from journal.message import Message
from journal.reckoning.bounds import Numbers, above, require, within

# University of Guelph, cheddar: no faster than 1 °C in 5 min at first.
FIRST_LIMIT_C_PER_MIN = 0.2
FIRST_LIMIT_MIN = 15.0
ALPINE_C_PER_MIN = 0.77  # 33 to 56 °C in 30 min at the quickest (Thom & Fisk 1918, par. 267-271)
_ROUNDING = 1e-9


@dataclass(frozen=True)
class Slope:
    """One even part of a ramp: from and to in minutes and °C."""

    from_min: float
    to_min: float
    from_c: float
    to_c: float

    @property
    def c_per_min(self) -> float:
        """How fast it warms; negative where it cools."""
        return (self.to_c - self.from_c) / (self.to_min - self.from_min)


def mean_slope(from_c: Numbers, to_c: Numbers, minutes: Numbers) -> Numbers:
    """The mean warming, °C a minute. Exact."""
    _milk(from_c)
    _milk(to_c)
    above(minutes, 0, "reckoning.minutes-of-ramp", "min")
    return (to_c - from_c) / minutes


def slopes(
    from_c: float,
    to_c: float,
    minutes: float,
    first_c_per_min: float | None = None,
    first_min: float | None = None,
) -> list[Slope]:
    """The parts of a ramp: one, or a first slope and the rest.

    Parameters
    ----------
    from_c, to_c, minutes
        The whole ramp.
    first_c_per_min
        How fast it goes at first; without it the ramp is even.
    first_min
        How long the first slope lasts; half of the ramp when not given.

    Notes
    -----
    Published for cheddar: at most 1 °C in 5 min at first, 30 to 39 °C in 30 min (University of
    Guelph); the first °F takes 5 min (Thom & Fisk 1918).

    Raises
    ------
    ReckoningError
        When the first slope would pass the target, goes the other way or lasts too long.
    """
    mean = float(mean_slope(from_c, to_c, minutes))
    if first_c_per_min is None:
        return [Slope(0.0, minutes, from_c, to_c)]
    first = minutes / 2 if first_min is None else first_min
    above(first, 0, "reckoning.length-of-first-slope", "min")
    require(first < minutes, "reckoning.first-slope-too-long")
    require(first_c_per_min * mean > 0, "reckoning.first-slope-other-way")
    knee = from_c + first_c_per_min * first
    require(
        abs(knee - from_c) <= abs(to_c - from_c) + _ROUNDING,
        "reckoning.first-slope-passes",
        c_per_min=first_c_per_min,
        minutes=first,
        to_c=to_c,
    )
    return [Slope(0.0, first, from_c, knee), Slope(first, minutes, knee, to_c)]


def schedule(parts: list[Slope], every_min: float = 5.0) -> list[tuple[float, float]]:
    """The ramp by the clock: (minute, °C) every so often and wherever the slope changes."""
    above(every_min, 0, "reckoning.step-of-schedule", "min")
    end = parts[-1].to_min
    require(end / every_min <= 10_000, "reckoning.schedule-too-long")
    ticks = [i * every_min for i in range(int(end / every_min + _ROUNDING) + 1)]
    knees = [part.to_min for part in parts]
    minutes = sorted({round(m, 9) for m in (*ticks, *knees)})
    return [(minute, _at(parts, minute)) for minute in minutes]


def limit_breaks(
    parts: list[Slope],
    limit_c_per_min: float | None = None,
    first_limit_c_per_min: float = FIRST_LIMIT_C_PER_MIN,
) -> tuple[Message, ...]:
    """A message for each part that warms faster than it may.

    The limit at first (1 °C in 5 min, for the first 15 min after the curd begins to warm) is that
    of the cheddar procedure, University of Guelph; `limit_c_per_min` holds all along, if given.
    """
    warnings: list[Message] = []
    for part in parts:
        slope: dict[str, Any] = {
            "from_min": part.from_min,
            "to_min": part.to_min,
            "c_per_min": part.c_per_min,
        }
        if part.from_min < FIRST_LIMIT_MIN - _ROUNDING and _faster(part, first_limit_c_per_min):
            limits = {"limit": first_limit_c_per_min, "alpine": ALPINE_C_PER_MIN}
            warnings.append(Message("reckoning.ramp-fast-at-first", **slope, **limits))
        if limit_c_per_min is not None and _faster(part, limit_c_per_min):
            warnings.append(Message("reckoning.ramp-fast", **slope, limit=limit_c_per_min))
    return tuple(warnings)


def wash_temp_c(
    vat_l: Numbers, drawn_l: Numbers, vat_c: Numbers, water_l: Numbers, water_c: Numbers
) -> Numbers:
    """The vat after whey was drawn and water let in, °C, before the room takes its share.

    A balance of heat with water and whey alike. Published gouda washes end 1 to 2 °C lower, for
    heat lost to the room.
    """
    above(vat_l, 0, "reckoning.vat", "L")
    require((drawn_l >= 0) & (drawn_l < vat_l), "reckoning.more-whey-than-vat")
    above(water_l, 0, "reckoning.water", "L")
    left = vat_l - drawn_l
    return (left * vat_c + water_l * water_c) / (left + water_l)


def _faster(part: Slope, limit: float) -> bool:
    return part.c_per_min > limit + _ROUNDING


def _at(parts: list[Slope], minute: float) -> float:
    part = next(p for p in parts if minute <= p.to_min + _ROUNDING)
    return part.from_c + part.c_per_min * (minute - part.from_min)


def _milk(temp_c: Numbers) -> None:
    within(temp_c, -5, 110, "reckoning.temperature", "°C")
