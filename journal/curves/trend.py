"""Whether a reading is far from where its curve was going."""

from __future__ import annotations

import numpy as np

from journal.curves.culture_time import culture_in_min
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
# What a reading with none before it is seldom outside of: pH of curd and whey from well below
# feta's end (4.4, University of Guelph) to above fresh milk (6.6 to 6.7, the same); milk whose
# culture is not yet an hour at work has lost less than 0.1 of that (Guelph activity test: 0.03
# in the first hour), and ripened milk seldom more than 0.3 (common practice, no source).
USUAL_PH, FRESH_PH, FRESH_MIN = (4.2, 6.95), 6.2, 60.0
RISE_PH = 0.1  # a culture only lowers the pH: a higher rise is the meter's, or a slip of the hand
COLDEST_C, HOTTER_C = -1.0, 15.0  # milk is no ice, and not so far above all a plan warms to


def odd_alone(whole: WholeMake, kind: str, value: float, at_ms: int) -> bool:
    """Whether a reading is outside of what is usual, where the last hour holds none to go by."""
    before = whole.trace(kind).sound().between(at_ms - round(LOOK_BACK_MIN * MINUTE_MS), at_ms)
    if ((before.flags & DOUBTFUL) == 0).any():
        return False
    if kind == "milk-temp":
        warmest = max([whole.plan.milk_c, *(s.target_c or 0.0 for s in whole.plan.stages)])
        return not COLDEST_C <= value <= warmest + HOTTER_C
    if READING_KINDS[kind].quantity != "ph":
        return False
    low, high = USUAL_PH
    if kind == "milk-ph" and _is_fresh(whole, at_ms):
        low = FRESH_PH
    return not low <= value <= high


def _is_fresh(whole: WholeMake, at_ms: int) -> bool:
    """Milk before its culture has worked for an hour; whey and milk soured by hand are not."""
    stages = whole.plan.stages
    cultured = any(s.kind == "ripen" or any(d.kind == "culture" for d in s.doses) for s in stages)
    at_min = (at_ms - whole.make.started_ms) / MINUTE_MS
    of_whey = whole.make.whey_from_make_id is not None
    return cultured and not of_whey and at_min < culture_in_min(whole) + FRESH_MIN


def far_from(whole: WholeMake, kind: str, value: float, at_ms: int) -> float | None:
    """The reading before this one where `value` lies far from the trend, else None.

    Expected is anything from where the last reading was to where its own slope, or the plan's,
    has gone since; with some room either side that grows with the minutes in between. A doubtful
    reading before it is passed over, unless this one agrees with it. A pH that has risen is far
    from any before it, however long ago that was.
    """
    lower = _risen_from(whole, kind, value, at_ms)
    if lower is not None:
        return lower
    before = whole.trace(kind).sound().between(at_ms - round(LOOK_BACK_MIN * MINUTE_MS), at_ms)
    sure = (before.flags & DOUBTFUL) == 0
    trusted = Trace(kind, before.at_ms[sure], before.value[sure], before.flags[sure])
    if not len(trusted) or READING_KINDS[kind].quantity not in ROOM:
        return None
    if any(_near(whole, trace, value, at_ms) for trace in (trusted, before)):
        return None
    return float(trusted.value[-1])


def _risen_from(whole: WholeMake, kind: str, value: float, at_ms: int) -> float | None:
    """The last sure reading before a pH that has risen from it; None where it has not, or where it
    agrees with a doubtful one since."""
    if READING_KINDS[kind].quantity != "ph":
        return None
    before = whole.trace(kind).sound().between(whole.make.started_ms, at_ms)
    sure = before.value[(before.flags & DOUBTFUL) == 0]
    if not len(sure) or value <= max(sure[-1], before.value[-1]) + RISE_PH + 1e-9:
        return None
    return float(sure[-1])


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
