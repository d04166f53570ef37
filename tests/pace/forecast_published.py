"""Published series of acid asked as a journal would ask them: after each reading."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from journal.curves.acidity import forecast
from journal.records.makes import Make, Milk
from journal.records.plans import Plan, Stage
from journal.records.traces import Trace
from journal.records.whole import WholeMake

START_MS = 1_760_000_000_000
CHEDDAR = (
    Stage("ripen", 60, target_c=31.0, ramp_min=0),
    Stage("set", 20, target_c=31.0, ramp_min=0),
    Stage("cook", 40, target_c=39.0),
    Stage("stir", 31, target_c=39.0, ramp_min=0),
    Stage("cheddar", 97),
)
SHORT = (
    Stage("set", 25, target_c=31.0, ramp_min=0),
    Stage("cook", 35, target_c=39.0),
    Stage("stir", 35, target_c=39.0, ramp_min=0),
    Stage("cheddar", 110),
)


@dataclass(frozen=True)
class Series:
    """One published series: pH at minutes, and the level whose passing between readings is read
    off by a straight line. The temperatures of the two makes are not printed with their table:
    31 °C and a cook to 39 °C, common practice, no source."""

    name: str
    kind: str
    stages: tuple[Stage, ...]
    minutes: tuple[float, ...]
    ph: tuple[float, ...]
    level: float

    @property
    def passed_min(self) -> float:
        """When the level is passed, by straight line."""
        return float(np.interp(-self.level, -np.array(self.ph), self.minutes))

    def until(self, readings: int) -> WholeMake:
        """The make with its first readings."""
        at = START_MS + (np.array(self.minutes[:readings]) * 60_000).astype(np.int64)
        ph = np.array(self.ph[:readings])
        trace = Trace(self.kind, at, ph, np.zeros(readings, np.uint8))
        plan = Plan("As published", self.stages, milk_c=self.stages[0].target_c or 31.0)
        make = Make("HL-0001", 1, Milk(10), START_MS)
        return WholeMake(make, plan, traces={self.kind: trace})


# University of Guelph, Cheese Making Technology, Fig. 3.1 (Mitchell 1995), and J. Milk Sci.
# Biotechnol. 35(2):85 (2017), Table 1, n = 2.
SERIES = (
    Series(
        "activity test, 37 °C",
        "milk-ph",
        (Stage("ripen", 900, target_c=37.0, ramp_min=0),),
        (0, 60, 120, 180, 240, 300, 360, 420, 480, 540),
        (6.62, 6.59, 6.50, 6.40, 6.15, 5.74, 5.39, 5.08, 4.92, 4.87),
        5.2,
    ),
    Series(
        "cheddar, low-pH make", "curd-ph", CHEDDAR,
        (0, 60, 80, 151, 233, 248), (6.59, 6.53, 6.55, 6.07, 5.32, 5.25), 5.6,
    ),
    Series(
        "cheddar, high-pH make", "curd-ph", SHORT,
        (0, 30, 100, 191, 206), (6.59, 6.58, 6.29, 5.6, 5.4), 5.5,
    ),
)  # fmt: skip


def lines() -> Iterator[str]:
    """A line for each reading before the level is passed: the error and whether it is held."""
    for one in SERIES:
        yield f"{one.name}: pH {one.level} at {one.passed_min:.0f} min"
        for readings in range(1, sum(np.array(one.minutes) < one.passed_min) + 1):
            found = forecast(one.until(readings), one.level)
            at = [
                "never" if ms is None else f"{(ms - START_MS) / 60_000:.0f}"
                for ms in (found.reached_at_ms, found.low_at_ms, found.high_at_ms)
            ]
            error = (
                "" if found.reached_at_ms is None
                else f"{(found.reached_at_ms - START_MS) / 60_000 - one.passed_min:+.0f} min"
            )  # fmt: skip
            yield (
                f"  after {readings} readings ({one.minutes[readings - 1]:.0f} min): {at[0]} "
                f"({at[1]} to {at[2]}), off by {error}, failing {found.stalled:.2f}"
            )
