"""The kitchen's culture: how far the milk has soured after a day at its temperatures."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from journal.curves.growth import ctmi

Floats = npt.NDArray[np.float64]

# The invented culture's cardinal temperatures, °C: a mesophilic mix whose acid falls away above
# 35 °C. From memory of what is typical of lactococci (8 to 10, 30 to 34, 40 to 42).
COLDEST_C, BEST_C, HOTTEST_C = 8.0, 33.0, 43.5
WHEY_ABOVE_CURD = 0.14  # curd reads 0.1 to 0.2 below whey (A. R. Hill, University of Guelph)
_PARTED = 0.25  # pH the curd has fallen by when the two have come that far apart (invented)
STALL_AFTER_MIN = 170.0  # a culture struck by phage looks sound for about three hours (Guelph)
STALLED = 0.08  # of its rate is left then


@dataclass(frozen=True)
class SimulatedCulture:
    """One make's culture: pH from `ph_start` toward `ph_end`, after a lag and at a rate.

    `lag_min` and `rate_per_min` (the steepest fall, as a share of the whole) are in culture time,
    minutes at the best temperature. One that is `failing` keeps only the share `fails_to` of its
    rate from `fails_after_min` on, minutes after it was added.
    """

    ph_start: float
    ph_end: float
    lag_min: float
    rate_per_min: float
    failing: bool = False
    fails_after_min: float = STALL_AFTER_MIN
    fails_to: float = STALLED

    def ph(self, culture_min: Floats | float) -> Floats:
        """pH after `culture_min` of culture time, any shape (Gompertz's curve)."""
        steep = self.rate_per_min * math.e
        share = np.exp(-np.exp(steep * (self.lag_min - np.asarray(culture_min)) + 1.0))
        out: Floats = self.ph_start - (self.ph_start - self.ph_end) * share
        return out

    def whey_above(self, curd_ph: Floats) -> Floats:
        """How far whey reads above curd: not at all in sweet milk, all of it at the drain."""
        fallen = np.clip((self.ph_start - curd_ph) / _PARTED, 0.0, 1.0)
        out: Floats = WHEY_ABOVE_CURD * fallen
        return out


class Souring:
    """The culture at work: culture time gathered over the day's temperatures."""

    def __init__(self, culture: SimulatedCulture, begun_min: float) -> None:
        self.culture = culture
        self._begun = begun_min
        self._clock, self._gathered = [begun_min], [0.0]
        self._pace = _pace_table()

    @property
    def ph(self) -> float:
        """Curd pH now."""
        return float(self.culture.ph(self._gathered[-1]))

    def run(self, to_min: float, from_c: float, to_c: float) -> None:
        """Go on to `to_min` (minutes from the start) while the vat went from one °C to another."""
        passed = to_min - self._clock[-1]
        pace = self._pace_at(from_c) + 4 * self._pace_at((from_c + to_c) / 2) + self._pace_at(to_c)
        pace /= 6.0
        if self.culture.failing and to_min - self._begun > self.culture.fails_after_min:
            pace *= self.culture.fails_to
        self._clock.append(to_min)
        self._gathered.append(self._gathered[-1] + pace * passed)

    def ph_at(self, at_min: Floats) -> Floats:
        """Curd pH at `at_min` (minutes from the start, any shape)."""
        return self.culture.ph(np.interp(at_min, self._clock, self._gathered))

    def _pace_at(self, temp_c: float) -> float:
        index = min(max(round((temp_c - COLDEST_C) / _GRID_C), 0), len(self._pace) - 1)
        return self._pace[index]


_GRID_C = 0.02


@lru_cache(maxsize=1)
def _pace_table() -> list[float]:
    """The culture's pace from its coldest to its hottest temperature, 1 at the best."""
    grid = np.arange(COLDEST_C, HOTTEST_C + _GRID_C, _GRID_C)
    table: list[float] = ctmi(grid, COLDEST_C, BEST_C, HOTTEST_C).tolist()
    return table


def draw(rng: np.random.Generator, *, washed: bool, failing: bool) -> SimulatedCulture:
    """A make's culture as it happens to be that day."""
    end = 5.12 if washed else 4.96
    return SimulatedCulture(
        ph_start=float(rng.normal(6.65, 0.012)),
        ph_end=float(rng.normal(end, 0.025)),
        lag_min=float(rng.normal(150.0, 6.0)),
        rate_per_min=0.0056 * float(rng.lognormal(0.0, 0.05)),
        failing=failing,
    )
