"""Whether a reading is far from where its curve was going."""

from __future__ import annotations

import numpy as np

from journal.curves.day import line_of, planned_at
from journal.records.instants import MINUTE_MS
from journal.records.kinds import READING_KINDS
from journal.records.traces import Trace
from journal.records.whole import WholeMake

LOOK_BACK_MIN = 60.0  # an older reading says nothing of where the curve is going
SLOPE_OVER_MIN = 30.0
# How far from the expected a reading may be, and how much more a minute of silence allows, by
# quantity: °C, pH, % lactic acid (common practice, no source).
ROOM = {"temperature": (3.0, 0.3), "ph": (0.25, 0.01), "acidity": (0.06, 0.004)}


def far_from(whole: WholeMake, kind: str, value: float, at_ms: int) -> float | None:
    """The reading before this one where `value` lies far from the trend, else None.

    Expected is anything from where the last reading was to where its own slope, or the plan's,
    has gone since; with some room either side that grows with the minutes in between.
    """
    limits = ROOM.get(READING_KINDS[kind].quantity)
    before = whole.trace(kind).sound().between(at_ms - round(LOOK_BACK_MIN * MINUTE_MS), at_ms)
    if limits is None or not len(before):
        return None
    last, gap = float(before.value[-1]), (at_ms - int(before.at_ms[-1])) / MINUTE_MS
    moves = [0.0, _slope(before) * gap, _planned_move(whole, kind, int(before.at_ms[-1]), at_ms)]
    room = limits[0] + limits[1] * gap
    if last + min(moves) - room <= value <= last + max(moves) + room:
        return None
    return last


def _slope(before: Trace) -> float:
    """The trace's own slope over its last half hour, a minute; 0 for a single reading."""
    recent = before.between(int(before.at_ms[-1]) - round(SLOPE_OVER_MIN * MINUTE_MS),
                            int(before.at_ms[-1]))  # fmt: skip
    minutes = recent.minutes_from(int(before.at_ms[-1]))
    if len(recent) < 2 or minutes[-1] - minutes[0] < 1.0:
        return 0.0
    return float((recent.value[-1] - recent.value[0]) / (minutes[-1] - minutes[0]))


def _planned_move(whole: WholeMake, kind: str, from_ms: int, to_ms: int) -> float:
    """How far the plan's temperature goes between two instants; 0 where none is held."""
    if kind != "milk-temp":
        return 0.0
    zero = whole.make.started_ms
    ends = np.array([from_ms - zero, to_ms - zero]) / MINUTE_MS
    planned = planned_at(line_of(whole, now_min=float(ends[1])), ends)
    return float(planned[1] - planned[0]) if np.isfinite(planned).all() else 0.0
