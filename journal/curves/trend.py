"""Whether a reading is far from where its curve was going."""

from __future__ import annotations

import numpy as np

from journal.curves.day import line_of, planned_at
from journal.records.instants import MINUTE_MS
from journal.records.kinds import READING_KINDS
from journal.records.traces import DOUBTFUL, Trace
from journal.records.whole import WholeMake

LOOK_BACK_MIN = 60.0  # an older reading says nothing of where the curve is going
APART_MIN = 2.0  # two readings at least so far apart tell a slope
SLOPE_HOLDS_MIN = 10.0  # for so long a slope is thought to go on
SILENCE_COUNTS_MIN = 20.0  # a longer silence allows no more
# How far from the expected a reading may be, and how much more a minute of silence allows, by
# quantity: °C, pH, % lactic acid (common practice, no source).
ROOM = {"temperature": (3.0, 0.3), "ph": (0.25, 0.01), "acidity": (0.06, 0.004)}


def far_from(whole: WholeMake, kind: str, value: float, at_ms: int) -> float | None:
    """The reading before this one where `value` lies far from the trend, else None.

    Expected is anything from where the last reading was to where its own slope, or the plan's,
    has gone since; with some room either side that grows with the minutes in between. A doubtful
    reading before it is passed over, unless this one agrees with it.
    """
    before = whole.trace(kind).sound().between(at_ms - round(LOOK_BACK_MIN * MINUTE_MS), at_ms)
    sure = (before.flags & DOUBTFUL) == 0
    trusted = Trace(kind, before.at_ms[sure], before.value[sure], before.flags[sure])
    if not len(trusted) or READING_KINDS[kind].quantity not in ROOM:
        return None
    if any(_near(whole, trace, value, at_ms) for trace in (trusted, before)):
        return None
    return float(trusted.value[-1])


def _near(whole: WholeMake, before: Trace, value: float, at_ms: int) -> bool:
    """Whether a value lies where the readings before it were going."""
    room, more = ROOM[READING_KINDS[before.kind].quantity]
    last, last_ms = float(before.value[-1]), int(before.at_ms[-1])
    gap = (at_ms - last_ms) / MINUTE_MS
    moves = (
        0.0,
        _slope(before) * min(gap, SLOPE_HOLDS_MIN),
        _planned_move(whole, before.kind, last_ms, at_ms),
    )
    room += more * min(gap, SILENCE_COUNTS_MIN)
    return last + min(moves) - room <= value <= last + max(moves) + room


def _slope(before: Trace) -> float:
    """The slope from the last reading but one to the last, a minute; 0 for a single reading."""
    minutes = before.minutes_from(int(before.at_ms[-1]))
    earlier = np.flatnonzero(minutes <= -APART_MIN)
    if not len(earlier):
        return 0.0
    i = int(earlier[-1])
    return float((before.value[-1] - before.value[i]) / -minutes[i])


def _planned_move(whole: WholeMake, kind: str, from_ms: int, to_ms: int) -> float:
    """How far the plan's temperature goes between two instants; 0 where none is held."""
    if kind != "milk-temp":
        return 0.0
    zero = whole.make.started_ms
    ends = np.array([from_ms - zero, to_ms - zero]) / MINUTE_MS
    planned = planned_at(line_of(whole, now_min=float(ends[1])), ends)
    return float(planned[1] - planned[0]) if np.isfinite(planned).all() else 0.0
