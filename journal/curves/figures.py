"""A make's figures: how far off its plan, its cook rate, how long its culture had good warmth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from journal.curves.course import ACID_GAP_MIN, Course, acidity_read, read_off
from journal.curves.culture_time import culture_in_min, culture_time, temperature_course
from journal.curves.day import day_line, last_reading_min
from journal.curves.deviation import strayed
from journal.curves.growth import culture, pace
from journal.records.traces import Floats
from journal.records.whole import WholeMake

STEEP_MIN = 5.0  # over so many minutes a rise is told, not between two readings
WORKS_WELL = 0.5  # of its best pace


@dataclass(frozen=True)
class CulturePart:
    """Minutes in a part of the culture's range: "cold" and "hot" are outside its limits, "slow" and
    "warm" within them but below half its best pace on the cold and the hot side, "well" between."""

    cold: float
    slow: float
    well: float
    warm: float
    hot: float


@dataclass(frozen=True)
class StageFigures:
    """A stage in figures: culture time in minutes at the culture's best temperature, and how far
    the acidity moved (pH down or acidity up count as gain); None where nothing was read."""

    key: str
    label: str
    culture_min: float
    acid_gain: float | None


@dataclass(frozen=True)
class MakeFigures:
    """A make in figures; None where nothing was read that could tell."""

    degree_minutes: float | None
    minutes_read: float | None
    minutes_inside: float | None
    steepest_c_per_min: float | None
    culture: CulturePart | None
    acid_kind: str | None
    stages: tuple[StageFigures, ...]


def figures(whole: WholeMake, course: Course) -> MakeFigures:
    """The figures of a make.

    `degree_minutes` is ∫|read − planned| dt over the time that counts (as in `deviation`: linear
    between readings at most ten minutes apart), `minutes_inside` how much of that time was within
    the allowed range. The steepest rise of the cook is the least-squares slope over five minutes.
    """
    now = last_reading_min(whole) if whole.make.running else None
    trace = whole.trace("milk-temp").sound()
    minutes = trace.minutes_from(whole.make.started_ms)
    sums = strayed(minutes, trace.value, day_line(whole, now), whole.plan)
    counted = sums.minutes > 0
    kind = acidity_read(whole)
    return MakeFigures(
        sums.absolute if counted else None,
        sums.minutes if counted else None,
        sums.minutes - sums.outside if counted else None,
        steepest(course),
        _culture(whole, course) if len(trace) and whole.plan.cultured else None,
        kind,
        tuple(_stages(whole, course, kind)),
    )


def steepest(course: Course) -> float | None:
    """The steepest rise of the first cook over five minutes, °C/min."""
    cook = course.stage("cook")
    if cook is None:
        return None
    x, y = course.temp.minutes, course.temp.value
    mine = (x >= cook.begin) & (x <= cook.end)
    x, y = x[mine], y[mine]
    if len(x) < 2:
        return None
    first = np.arange(len(x))
    last = np.searchsorted(x, x + STEEP_MIN, side="right")
    wide = x[last - 1] - x >= STEEP_MIN / 2
    x, y = x - x.mean(), y - y.mean()
    sums = [np.r_[0.0, np.cumsum(part)] for part in (x, y, x * y, x * x)]
    sum_x, sum_y, sum_xy, sum_xx = ((s[last] - s[first])[wide] for s in sums)
    number = (last - first)[wide]
    lever = sum_xx - sum_x**2 / number
    rises = (sum_xy - sum_x * sum_y / number)[lever > 0] / lever[lever > 0]
    return float(rises.max()) if len(rises) else None


def _culture(whole: WholeMake, course: Course) -> CulturePart:
    """Minutes in each part of its range, from the culture in to the end of the hours at the vat."""
    kind = culture(whole.plan.culture_type)
    first = culture_in_min(whole)
    minutes = np.arange(first + 0.5, max(course.shown_min, first + 1))
    temp = temperature_course(whole, minutes)
    well = pace(temp, whole.plan.culture_type) >= WORKS_WELL
    below, cold, hot = temp < kind.best_c, temp <= kind.lowest_c, temp >= kind.highest_c

    def of(flags: np.ndarray) -> float:
        return float(flags.sum())

    return CulturePart(
        of(cold), of(below & ~well & ~cold), of(well), of(~below & ~well & ~hot), of(hot)
    )


def _stages(whole: WholeMake, course: Course, kind: str | None) -> list[StageFigures]:
    time = culture_time(whole)
    acid = course.acid if kind is not None else None
    out = []
    for stage in course.stages:
        ends = np.array([stage.begin, stage.end])
        tau: Floats = np.diff(time.at(ends))
        gain = None
        if acid is not None and kind is not None:
            read = read_off(acid.minutes, acid.value, ends, ACID_GAP_MIN)
            moved = float(read[1] - read[0])
            gain = (-moved if kind.endswith("-ph") else moved) if np.isfinite(moved) else None
        out.append(StageFigures(stage.key, stage.label, float(tau[0]), gain))
    return out
