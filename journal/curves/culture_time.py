"""Culture time: the minutes of a make weighed by how fast its culture works at that warmth."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from journal.curves.cooling import cooling_rate
from journal.curves.day import day_line, every_begin, last_reading_min, planned_at
from journal.curves.growth import pace
from journal.records.traces import Floats
from journal.records.whole import WholeMake

HORIZON_MIN = 72 * 60.0  # no acid is forecast beyond this after the culture went in
NEAR_MIN = 30.0  # between two readings further apart the plan is believed rather than a line
KITCHEN_C = 20.0  # where the room was not read; from memory
# How a day goes on beside its plan: the milk lags behind a rising plan more often than it runs
# ahead, and steps take longer than planned more often than not. Mean and spread of °C and of the
# share by which steps are longer; from memory.
WARMER_C, WARMER_SPREAD_C = -0.25, 0.7
ALONE_SPREAD_C = 2.0  # where nothing holds the curd's temperature
LONGER, LONGER_SPREAD = 0.15, 0.15
# Eight ways it may go, as normal deviates of the one and of the other: the middles of eight
# equally likely parts, paired so that they have nothing to do with each other.
WAYS = (
    (-1.53, 0.16), (-0.89, -1.53), (-0.49, 1.53), (-0.16, -0.49),
    (0.16, 0.49), (0.49, -0.89), (0.89, 0.89), (1.53, -0.16),
)  # fmt: skip


class CultureTime(NamedTuple):
    """`tau` (n,) minutes at the culture's best temperature, over `minutes` (n,) of the make."""

    minutes: Floats
    tau: Floats

    def at(self, minutes: Floats) -> Floats:
        """Culture time at minutes from the make's start (any shape)."""
        return np.interp(minutes, self.minutes, self.tau)

    def when(self, tau: Floats) -> Floats:
        """Minutes from the make's start at which a culture time is reached; inf when it is not."""
        first = np.r_[True, np.diff(self.tau) > 0]
        minutes = np.interp(tau, self.tau[first], self.minutes[first])
        return np.where(tau <= self.tau[-1], minutes, np.inf)


def culture_in_min(whole: WholeMake) -> float:
    """Minutes from the make's start at which its culture went in.

    The addition that was noted, else the begin of the stage whose doses hold a culture, else of
    the ripening, else the make's start.
    """
    zero = whole.make.started_ms
    added = [a.at_ms for a in whole.additions if a.kind == "culture"]
    if added:
        return (min(added) - zero) / 60_000
    stages = whole.plan.stages
    dosed = [i for i, s in enumerate(stages) if any(d.kind == "culture" for d in s.doses)]
    ripened = [i for i, s in enumerate(stages) if s.kind == "ripen"]
    index = next(iter(dosed or ripened), 0)
    return every_begin(whole)[index]


def culture_time(whole: WholeMake) -> CultureTime:
    """Culture time of a make, minute by minute, from its culture to the horizon."""
    minutes = np.arange(0.0, HORIZON_MIN + 1) + culture_in_min(whole)
    return _gathered(minutes, temperature_course(whole, minutes), whole.plan.culture_type)


def culture_times(whole: WholeMake) -> list[CultureTime]:
    """The same in the eight `WAYS` the day may go on beside its plan; alike where it was read."""
    minutes = np.arange(0.0, HORIZON_MIN + 1) + culture_in_min(whole)
    kind, last = whole.plan.culture_type, last_reading_min(whole)
    known, now = _known(whole, minutes), minutes[0] if last is None else last
    course, ahead = _cooled(whole, minutes, known), minutes > now
    spread = np.where(np.isfinite(known), WARMER_SPREAD_C, ALONE_SPREAD_C)
    out = []
    for warmer, longer in WAYS:
        stretch = 1 + LONGER + LONGER_SPREAD * longer
        other = np.interp(now + (minutes - now) / stretch, minutes, course)
        other += WARMER_C + spread * warmer
        out.append(_gathered(minutes, np.where(ahead, other, course), kind))
    return out


def _gathered(minutes: Floats, course: Floats, culture_type: str) -> CultureTime:
    rate = pace(course, culture_type)
    steps = (rate[1:] + rate[:-1]) / 2
    return CultureTime(minutes, np.r_[0.0, np.cumsum(steps)])


def temperature_course(whole: WholeMake, minutes: Floats) -> Floats:
    """The make's temperature at `minutes` (n,), ascending: read, else planned, else cooling.

    Between readings it is what was read, beyond them what the plan wants from here on; where no
    temperature is held the curd cools slowly to the kitchen's.
    """
    return _cooled(whole, minutes, _known(whole, minutes))


def _known(whole: WholeMake, minutes: Floats) -> Floats:
    """What was read, else planned; NaN where no temperature is held."""
    course = planned_at(day_line(whole, last_reading_min(whole)), minutes)
    trace = whole.trace("milk-temp").sound()
    if len(trace):
        at = trace.minutes_from(whole.make.started_ms)
        after = np.clip(np.searchsorted(at, minutes), 0, len(at) - 1)
        pause = at[after] - at[np.maximum(after - 1, 0)]
        read = (minutes >= at[0]) & (minutes <= at[-1]) & (pause <= NEAR_MIN)
        course = np.where(read, np.interp(minutes, at, trace.value), course)
    return course


def _cooled(whole: WholeMake, minutes: Floats, course: Floats) -> Floats:
    """The course with its holes filled by cooling (or warming) towards the room."""
    room_c, known = _kitchen_c(whole), np.isfinite(course)
    last = np.maximum.accumulate(np.where(known, np.arange(len(course)), -1))
    lost = np.cumsum(cooling_rate(whole, minutes) * np.diff(minutes, prepend=minutes[0]))
    since = lost - lost[np.maximum(last, 0)]
    from_c = np.where(last >= 0, course[np.maximum(last, 0)], whole.plan.milk_c)
    return np.where(known, course, room_c + (from_c - room_c) * np.exp(-since))


def _kitchen_c(whole: WholeMake) -> float:
    """The kitchen's temperature: the middle of what was read, else a usual one."""
    value = whole.trace("room-temp").sound().value
    return float(np.median(value)) if len(value) else KITCHEN_C
