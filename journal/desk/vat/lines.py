"""What both panels of the day draw alike: sound readings, struck and doubted ones, round steps."""

from __future__ import annotations

import numpy as np

from journal.curves.snapshot import MakeSnapshot
from journal.desk.plot import ChartPlot
from journal.records.traces import DOUBTFUL, STRUCK, Trace

GAP_MIN = 45.0  # a line is not drawn over a longer silence
FEW_POINTS = 150  # up to here every reading has its own mark
_A_RULE_PX = 22.0
_ROOMY_PX = 170.0
_UNIT_PX = 24.0  # from the top of a panel down to where a value may stand under its unit
_NEAR_MIN = 15.0  # so far from the pointer a reading is still meant

Points = tuple[np.ndarray, np.ndarray]


def sound(day: MakeSnapshot, trace: Trace) -> Points:
    """The readings that stand, in minutes from the start of the make."""
    saved = trace.sound()
    return saved.minutes_from(day.whole.make.started_ms), saved.value


def seen(points: Points, view: tuple[float, float]) -> np.ndarray:
    """The values of those within a stretch."""
    x, y = points
    return y[(x >= view[0]) & (x <= view[1])]


def nearest(day: MakeSnapshot, kind: str, x: float) -> float | None:
    """The reading of a kind nearest to a minute, None where none is near."""
    minutes, value = sound(day, day.whole.trace(kind))
    if not len(minutes):
        return None
    at = int(np.argmin(np.abs(minutes - x)))
    return float(value[at]) if abs(minutes[at] - x) <= _NEAR_MIN else None


def draw_struck(plot: ChartPlot, day: MakeSnapshot, trace: Trace) -> None:
    """Struck readings as small crosses, doubtful ones as triangles."""
    x = trace.minutes_from(day.whole.make.started_ms)
    struck = (trace.flags & STRUCK) != 0
    doubtful = ((trace.flags & DOUBTFUL) != 0) & ~struck
    if struck.any():
        plot.points(x[struck], trace.value[struck], "quiet", symbol="x", size=8)
    if doubtful.any():
        plot.points(x[doubtful], trace.value[doubtful], "attention", symbol="t1", size=10)


def most_rules(high_px: float) -> int:
    """How many values a panel of that height has room to name at its left."""
    return int(min(max(high_px / _A_RULE_PX, 2), 7))


def below_unit(high_px: float, values: list[float], low: float, high: float) -> list[float]:
    """The values that leave room for the unit at the top of a panel, however low it is."""
    if high_px >= _ROOMY_PX:
        return values
    room = _UNIT_PX / max(high_px, 1.0) * (high - low)
    return [value for value in values if value <= high - room] or values


def steps(low: float, high: float, sizes: tuple[float, ...], most: int = 7) -> list[float]:
    """Round values inside the range, at most `most` and one of them."""
    step = next((s for s in sizes if (high - low) / s <= most), sizes[-1])
    first, last = np.ceil(low / step), np.floor(high / step)
    return [float(i * step) for i in np.arange(first, last + 1)]
