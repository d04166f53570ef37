"""The air of a room against what it allows: days as cells, and spells outside."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from journal.records.instants import DAY_MS, local
from journal.records.traces import AirTrace, Floats
from journal.records.wheels import Room

DayNumbers = NDArray[np.int64]
Mask = NDArray[np.bool_]
HOUR_MS = 3_600_000
TEMP, HUMIDITY = "temperature", "humidity"
# Two readings further apart say nothing of the time between them.
_APART_MS = 2 * DAY_MS
_NONE = timedelta()
_STALE_MS = 26 * HOUR_MS  # an older last reading does not say how the room is now


@dataclass(frozen=True)
class AirSpell:
    """A time outside: of `what`, from the first reading outside to the last, with the value
    furthest off and the allowed range."""

    what: str
    from_ms: int
    to_ms: int
    worst: float
    allowed: tuple[float, float]

    @property
    def low(self) -> bool:
        """Too cold, or too dry; else too warm or too damp."""
        return self.worst < self.allowed[0]


@dataclass(frozen=True)
class DayAir:
    """One day of a room: the means of what was read, NaN where nothing was; whether it was outside
    for an hour, or on the mean of its readings."""

    day: date
    temp_c: float
    humidity_pct: float
    temp_out: bool
    humidity_out: bool

    @property
    def outside(self) -> bool:
        """Either of the two was."""
        return self.temp_out or self.humidity_out


def spells(trace: AirTrace, room: Room, least_ms: int = HOUR_MS) -> list[AirSpell]:
    """The times outside of at least so long, in the order they began."""
    found = []
    for what, values, allowed in _both(trace, room):
        known = np.isfinite(values)
        at_ms, value = trace.at_ms[known], values[known]
        out = (value < allowed[0]) * -1 + (value > allowed[1]) * 1
        breaks = (out[1:] != out[:-1]) | (np.diff(at_ms) > _APART_MS)
        edges = [0, *(np.flatnonzero(breaks) + 1).tolist(), len(out)]
        for start, end in pairwise(edges):
            if end > start and out[start] and at_ms[end - 1] - at_ms[start] >= least_ms:
                part = value[start:end]
                worst = float(part.min() if out[start] < 0 else part.max())
                spell = AirSpell(what, int(at_ms[start]), int(at_ms[end - 1]), worst, allowed)
                found.append(spell)
    return sorted(found, key=lambda one: (one.from_ms, one.what))


def out_now(trace: AirTrace, room: Room, now_ms: int) -> list[AirSpell]:
    """The spells that go on: they last to the newest reading, which is of the last day."""
    going = []
    for what, values, _ in _both(trace, room):
        known = trace.at_ms[np.isfinite(values) & (trace.at_ms <= now_ms)]
        if len(known) and now_ms - known[-1] <= _STALE_MS:
            seen = trace.between(0, now_ms)
            going += [s for s in spells(seen, room) if s.what == what and s.to_ms == known[-1]]
    return going


def day_cells(trace: AirTrace, room: Room, zone: str) -> list[DayAir]:
    """The air of each day that was read, in the kitchen's zone, first day first."""
    if not len(trace.at_ms):
        return []
    days, means, outs = _by_day(trace, room, zone)
    rows = zip(
        days.tolist(), *(m.tolist() for m in means), *(o.tolist() for o in outs), strict=True
    )
    return [DayAir(date.fromordinal(day), *values) for day, *values in rows]


def days_outside(trace: AirTrace, room: Room, zone: str) -> tuple[int, int]:
    """How many days were outside, by either of the two, and how many were read."""
    if not len(trace.at_ms):
        return 0, 0
    days, _, (warm, damp) = _by_day(trace, room, zone)
    return int((warm | damp).sum()), len(days)


def _by_day(
    trace: AirTrace, room: Room, zone: str
) -> tuple[DayNumbers, tuple[Floats, Floats], tuple[Mask, Mask]]:
    """The days that were read, the means of each, and whether it was outside: of temperature and
    of humidity."""
    days, which = np.unique(_days(trace, zone), return_inverse=True)
    outside: dict[str, Mask] = {what: np.zeros(len(days), bool) for what in (TEMP, HUMIDITY)}
    for spell in spells(trace, room):
        ends = [local(at, zone).date().toordinal() for at in (spell.from_ms, spell.to_ms)]
        first, last = np.searchsorted(days, [ends[0], ends[1] + 1])
        outside[spell.what][first:last] = True
    temp, pct = (_means(values, which, len(days)) for values in (trace.temp_c, trace.humidity_pct))
    means = {TEMP: temp, HUMIDITY: pct}
    for what, _, (low, high) in _both(trace, room):
        outside[what] |= (means[what] < low) | (means[what] > high)
    return days, (temp, pct), (outside[TEMP], outside[HUMIDITY])


def _means(values: Floats, which: NDArray[np.intp], count: int) -> Floats:
    """The mean of each group's known values, NaN without one."""
    known = np.isfinite(values)
    there = np.bincount(which[known], minlength=count)
    sums = np.bincount(which[known], values[known], minlength=count)
    return np.asarray(np.divide(sums, there, out=np.full(count, np.nan), where=there > 0), float)


def _days(trace: AirTrace, zone: str) -> DayNumbers:
    """The kitchen's day of each reading as an ordinal; the offset is looked up once an hour."""
    hours, which = np.unique(trace.at_ms // HOUR_MS, return_inverse=True)
    known = [local(int(h) * HOUR_MS, zone).utcoffset() or _NONE for h in hours]
    offsets = np.array([one.total_seconds() * 1000 for one in known])[which]
    return np.asarray((trace.at_ms + offsets) // DAY_MS + date(1970, 1, 1).toordinal(), np.int64)


def _both(trace: AirTrace, room: Room) -> list[tuple[str, Floats, tuple[float, float]]]:
    found = ((TEMP, trace.temp_c, room.range_c), (HUMIDITY, trace.humidity_pct, room.range_pct))
    return [(what, values, allowed) for what, values, allowed in found if allowed is not None]
