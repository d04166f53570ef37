"""What both panels of the day draw alike: sound readings, struck and doubted ones, round steps."""

from __future__ import annotations

import numpy as np

from journal.curves.day_scene import draw_struck
from journal.curves.snapshot import MakeSnapshot
from journal.curves.surface import PlotSurface
from journal.records.traces import DOUBTFUL, STRUCK, Trace
from journal.wording.scales import nearest as nearest_point

_A_RULE_PX = 22.0
_ROOMY_PX = 170.0
_UNIT_PX = 24.0  # from the top of a panel down to where a value may stand under its unit
_NEAR_MIN = 15.0  # so far from the pointer a reading is still meant

XYPoints = tuple[np.ndarray, np.ndarray]


def sound(day: MakeSnapshot, trace: Trace) -> XYPoints:
    """The readings that stand, in minutes from the start of the make."""
    saved = trace.sound()
    return saved.minutes_from(day.whole.make.started_ms), saved.value


def seen(points: XYPoints, view: tuple[float, float]) -> np.ndarray:
    """The values of those within a stretch."""
    x, y = points
    return y[(x >= view[0]) & (x <= view[1])]


def nearest(day: MakeSnapshot, kind: str, x: float) -> float | None:
    """The reading of a kind nearest to a minute, None where none is near."""
    found = nearest_point(*sound(day, day.whole.trace(kind)), x, _NEAR_MIN)
    return None if found is None else found[1]


def draw_flagged(plot: PlotSurface, day: MakeSnapshot, trace: Trace) -> None:
    """Struck readings as small crosses, doubtful ones as triangles."""
    draw_struck(plot, trace, day.whole.make.started_ms)
    x = trace.minutes_from(day.whole.make.started_ms)
    doubtful = ((trace.flags & DOUBTFUL) != 0) & ((trace.flags & STRUCK) == 0)
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
