"""How far a make strayed from its plan: temperature, cook rate and delay."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from journal.curves.day import (
    Places,
    PlannedTemp,
    Segments,
    line_of,
    plan_line,
    planned_at,
    segments,
    tolerance_of,
)
from journal.records.plans import Plan
from journal.records.traces import Floats
from journal.records.whole import WholeMake

GAP_MIN = 10.0  # between two readings further apart nothing is known
HAIR_MIN = 5e-6  # a third of a millisecond: what sums of minutes may be off by


class Delay(NamedTuple):
    """How late (early below zero) a stage began against the plan's own clock."""

    position: int
    kind: str
    minutes: float


@dataclass(frozen=True)
class Deviation:
    """A make against its plan. None where nothing was read that could tell.

    `worst_c` is read minus planned, at the reading furthest from the plan. `minutes_outside`
    and `rms_c` need readings no further apart than ten minutes.
    """

    rms_c: float | None
    worst_c: float | None
    worst_at_ms: int | None
    minutes_outside: float | None
    cook_rate_c_per_min: float | None
    planned_cook_rate_c_per_min: float | None
    delay_min: tuple[Delay, ...]


class DeviationSums(NamedTuple):
    """Sums over the time that counts: minutes, ∫d² in °C²·min, minutes outside the allowed
    range, ∫|d| in °C·min."""

    minutes: float
    square: float
    outside: float
    absolute: float = 0.0


def deviation(whole: WholeMake, clock: str = "day", now_min: float | None = None) -> Deviation:
    """The deviation of a make's milk temperature from its plan.

    Parameters
    ----------
    whole : the make; struck readings are left out
    clock : "day", the plan re-timed to when stages really began, or "plan", its own clock
    now_min : minutes from the make's start until which a running stage that overruns is held;
        None: stages still to come follow at their planned length

    Notes
    -----
    The difference is integrated exactly: linear between readings at most 10 min apart, the plan
    linear between its knots, over unbroken stretches of stages that hold a temperature, each
    from its first reading to its last. The cook rate is the least-squares slope of the readings
    while the cook really ran; the planned one is that of the plan over its cook stage.

    Raises
    ------
    CurveError
        When there is no such clock.
    """
    line = line_of(whole, clock, now_min)
    trace = whole.trace("milk-temp").sound()
    minutes = trace.minutes_from(whole.make.started_ms)
    sums = strayed(minutes, trace.value, line, whole.plan)
    worst = _worst(minutes, trace.value, line)
    counted = sums.minutes > 0
    return Deviation(
        rms_c=float(np.sqrt(sums.square / sums.minutes)) if counted else None,
        worst_c=None if worst is None else worst[1],
        worst_at_ms=None if worst is None else int(trace.at_ms[worst[0]]),
        minutes_outside=sums.outside if counted else None,
        cook_rate_c_per_min=cook_rate(whole),
        planned_cook_rate_c_per_min=planned_cook_rate(whole.plan),
        delay_min=delays(whole),
    )


def delays(whole: WholeMake) -> tuple[Delay, ...]:
    """The delay of every stage that began, in the order of the plan."""
    runs = ((run, run.delay_min) for run in whole.runs)
    return tuple(Delay(r.position, r.kind, delay) for r, delay in runs if delay is not None)


def cook_rate(whole: WholeMake) -> float | None:
    """Least-squares slope of the milk temperature while the cook really ran, °C/min.

    None when there was no cook, or fewer than two instants were read in it.
    """
    run = whole.run_of("cook")
    if run is None or run.began_ms is None:
        return None
    trace = whole.trace("milk-temp").sound()
    ended = whole.make.finished_ms if run.ended_ms is None else run.ended_ms
    last = int(trace.at_ms[-1]) if len(trace) else run.began_ms
    part = trace.between(run.began_ms, last if ended is None else ended)
    return slope(part.minutes_from(run.began_ms), part.value)


def planned_cook_rate(plan: Plan) -> float | None:
    """Least-squares slope of the plan over its first cook stage, °C/min; None without one.

    Equal to the rise over the minutes where the stage is one even ramp.
    """
    index = next((i for i, s in enumerate(plan.stages) if s.kind == "cook"), None)
    s = segments(plan_line(plan))
    mine = s.stage == (-1 if index is None else index)
    if not mine.any():
        return None
    x0, x1, y0, y1 = s.x0[mine], s.x1[mine], s.y0[mine], s.y1[mine]
    middle = (x0[0] + x1[-1]) / 2
    lever = (x0 - middle) * y0 + 2 * ((x0 + x1) / 2 - middle) * (y0 + y1) + (x1 - middle) * y1
    return float(np.sum((x1 - x0) * lever) / 6 / ((x1[-1] - x0[0]) ** 3 / 12))


def slope(x: Floats, y: Floats) -> float | None:
    """Least-squares slope of y on x (n,), None when x does not spread."""
    if len(x) < 2 or np.ptp(x) == 0:
        return None
    away = x - x.mean()
    return float(away @ (y - y.mean()) / (away @ away))


def strayed(
    minutes: Floats, value: Floats, line: PlannedTemp, plan: Plan, sides: tuple[int, ...] = (1, -1)
) -> DeviationSums:
    """Integrate the difference between readings (n,) and a planned line exactly; outside counts
    what is above (1) or below (-1) the allowed range, or both."""
    s = segments(line)
    if len(minutes) < 2 or not len(s.x0):
        return DeviationSums(0.0, 0.0, 0.0)
    edges = np.unique(np.concatenate([minutes, s.x0, s.x1]))
    middle = (edges[:-1] + edges[1:]) / 2
    log = np.clip(np.searchsorted(minutes, middle) - 1, 0, len(minutes) - 2)
    piece = np.clip(np.searchsorted(s.x0, middle) - 1, 0, len(s.x0) - 1)
    counts = _counted(minutes, log, s, piece, middle)
    a, b, log, piece = edges[:-1][counts], edges[1:][counts], log[counts], piece[counts]
    rise = (s.y1 - s.y0)[piece] / (s.x1 - s.x0)[piece]
    climb = np.diff(value)[log] / np.diff(minutes)[log]
    left = value[log] + climb * (a - minutes[log]) - s.y0[piece] - rise * (a - s.x0[piece])
    right = left + (climb - rise) * (b - a)
    width = tolerance_of(plan, s.stage[piece])
    over = sum(
        (_share_above(side * left, side * right, width) for side in sides), np.zeros(len(left))
    )
    square = (b - a) * (left**2 + left * right + right**2) / 3
    size = (b - a) * _mean_size(left, right)
    return DeviationSums(
        float(np.sum(b - a)), float(np.sum(square)), float(np.sum((b - a) * over)),
        float(np.sum(size)),
    )  # fmt: skip


def _counted(
    minutes: Floats, log: Places, s: Segments, piece: Places, middle: Floats
) -> npt.NDArray[np.bool_]:
    """Which spans count: between two readings close enough, both in one stretch of the plan."""
    first, last = minutes[log], minutes[log + 1]
    opens = np.flatnonzero(np.r_[True, np.diff(s.stretch) > 0])
    closes = np.r_[opens[1:] - 1, len(s.x0) - 1]
    mine = s.stretch[piece]
    within = (middle > s.x0[piece]) & (middle < s.x1[piece]) & (middle > first) & (middle < last)
    together = (first >= s.x0[opens][mine]) & (last <= s.x1[closes][mine])
    counts: npt.NDArray[np.bool_] = within & together & (last - first <= GAP_MIN + HAIR_MIN)
    return counts


def _share_above(left: Floats, right: Floats, level: Floats) -> Floats:
    """The share of each span in which the straight line from left to right lies above a level."""
    top, size = np.maximum(left, right), np.abs(right - left)
    flat = size == 0
    share = np.clip((top - level) / np.where(flat, 1.0, size), 0.0, 1.0)
    return np.where(flat, (top > level).astype(float), share)


def _mean_size(left: Floats, right: Floats) -> Floats:
    """The mean of |d| over spans in which d goes straight from left to right."""
    total = np.abs(left) + np.abs(right)
    crosses = left * right < 0
    halves = (left**2 + right**2) / (2 * np.where(crosses, total, 1.0))
    return np.where(crosses, halves, total / 2)


def _worst(minutes: Floats, value: Floats, line: PlannedTemp) -> tuple[int, float] | None:
    """Index and size of the greatest difference at a reading, the earliest where several tie."""
    apart = value - planned_at(line, minutes)
    if not np.isfinite(apart).any():
        return None
    at = int(np.nanargmax(np.abs(apart)))
    return at, float(apart[at])
