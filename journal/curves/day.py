"""The planned temperature on the plan's own clock, and re-timed to when stages really began."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from journal.curves import CurveError
from journal.records.plans import Plan
from journal.records.traces import Floats
from journal.records.whole import WholeMake

CLOCKS = ("day", "plan")
Places = npt.NDArray[np.intp]


class PlannedTemp(NamedTuple):
    """Knots of the planned temperature, minutes from the make's start.

    `minutes` (n,) ascending, `value` (n,) °C with NaN where no temperature is held, `stage` (n,)
    the place of the stage in the plan (−1 at a NaN). Two knots at one minute are a stage's end
    and the next one's begin, or a jump.
    """

    minutes: Floats
    value: Floats
    stage: Places


class Segments(NamedTuple):
    """The straight pieces of a line that last some time, each (m,), in order.

    From (x0, y0) to (x1, y1); `stage` is the place in the plan, `stretch` counts from 0 and
    changes where the line breaks.
    """

    x0: Floats
    x1: Floats
    y0: Floats
    y1: Floats
    stage: Places
    stretch: Places


class AllowedRange(NamedTuple):
    """The planned line with its tolerance either side, each (n,), NaN at the breaks."""

    minutes: Floats
    low: Floats
    mid: Floats
    high: Floats


def plan_line(plan: Plan) -> PlannedTemp:
    """The planned line of a plan on its own clock."""
    return _line(plan, plan.starts(), plan.minutes)


def plan_range(plan: Plan) -> AllowedRange:
    """The planned line of a plan on its own clock, with each stage's tolerance either side."""
    return _range_about(plan, plan_line(plan))


def day_line(whole: WholeMake, now_min: float | None = None) -> PlannedTemp:
    """The planned line re-timed to the day: each stage from when it really began.

    Parameters
    ----------
    whole : the make
    now_min : minutes from the make's start; a running stage that overruns is held on until then
        and the stages to come follow. None: nothing overruns.

    Notes
    -----
    A stage passed over ends where the next one began. A finished make ends where it really
    ended: stages that never began are left out. Where nobody ended a stage by hand (readings
    brought in afterwards), the stages follow from the first one's begin at their planned length.
    """
    begins, end = stage_times(whole, now_min)
    return _line(whole.plan, begins, end)


def line_of(whole: WholeMake, clock: str = "day", now_min: float | None = None) -> PlannedTemp:
    """The planned line on the clock asked for, "day" or "plan"; CurveError for another word."""
    if clock not in CLOCKS:
        raise CurveError("curves.no-clock", name=clock, known=CLOCKS)
    return day_line(whole, now_min) if clock == "day" else plan_line(whole.plan)


def allowed_range(
    whole: WholeMake, clock: str = "day", now_min: float | None = None
) -> AllowedRange:
    """The planned line with each stage's tolerance either side (±1.0 °C where none is named)."""
    return _range_about(whole.plan, line_of(whole, clock, now_min))


def _range_about(plan: Plan, line: PlannedTemp) -> AllowedRange:
    width = tolerance_of(plan, line.stage)
    return AllowedRange(line.minutes, line.value - width, line.value, line.value + width)


def tolerance_of(plan: Plan, stage: Places) -> Floats:
    """The allowed range's half width in °C for each place in the plan (n,)."""
    return np.array([s.allowed_c for s in plan.stages])[stage]


def stage_times(whole: WholeMake, now_min: float | None = None) -> tuple[list[float], float]:
    """When each stage of the day begins and when the last one ends, minutes from the start.

    The list is as long as the stages that belong to the day: all of them, or up to the last one
    that began when the make is finished.
    """
    known = _known_begins(whole)
    last = max((i for i, at in enumerate(known) if at is not None), default=None)
    if last is None:
        return whole.plan.starts(), whole.plan.minutes
    begins = _filled(whole, known[: last + 1])
    finished = whole.make.finished_ms is not None
    if finished and last == 0 and len(whole.plan.stages) > 1:
        return [begins[0] + at for at in whole.plan.starts()], begins[0] + whole.plan.minutes
    end = _end_of(whole, last, begins[last], now_min)
    if finished:
        return begins, end
    for index in range(last + 1, len(whole.plan.stages)):
        begins.append(end)
        end += whole.minutes_of(index)
    return begins, end


def every_begin(whole: WholeMake) -> list[float]:
    """When every stage of the plan began or is to begin, minutes from the start: those of the day
    as `stage_times` has them, those a finished make left out one after the other behind it."""
    begins, end = stage_times(whole)
    for index in range(len(begins), len(whole.plan.stages)):
        begins.append(end)
        end += whole.minutes_of(index)
    return begins


def planned_at(line: PlannedTemp, minutes: npt.ArrayLike) -> Floats:
    """The planned °C at `minutes` (any shape), NaN where none is held.

    At a jump the later temperature counts.
    """
    at = np.asarray(minutes, dtype=float)
    s = segments(line)
    if not len(s.x0):
        return np.full(at.shape, np.nan)
    i = np.clip(np.searchsorted(s.x0, at, side="right") - 1, 0, len(s.x0) - 1)
    value: Floats = s.y0[i] + (s.y1 - s.y0)[i] * (at - s.x0[i]) / (s.x1 - s.x0)[i]
    return np.where((at >= s.x0[i]) & (at <= s.x1[i]), value, np.nan)


def segments(line: PlannedTemp) -> Segments:
    """The straight pieces of a line, without its breaks and jumps."""
    x, y = line.minutes, line.value
    real = np.isfinite(y[:-1]) & np.isfinite(y[1:]) & (x[1:] > x[:-1])
    breaks = np.cumsum(~np.isfinite(y))[1:][real]
    stretch = np.cumsum((np.diff(breaks, prepend=breaks[:1]) > 0).astype(np.intp))
    ends = (x[:-1][real], x[1:][real], y[:-1][real], y[1:][real])
    return Segments(*ends, line.stage[1:][real], stretch)


def last_reading_min(whole: WholeMake) -> float | None:
    """Minutes from the make's start to its last sound reading of any kind, None without one."""
    last = [trace.sound().at_ms[-1:] for trace in whole.traces.values()]
    ends = np.concatenate(last) if last else np.empty(0)
    return float(ends.max() - whole.make.started_ms) / 60_000 if len(ends) else None


def _known_begins(whole: WholeMake) -> list[float | None]:
    """When each stage really began, minutes from the start; None for one that did not."""
    zero = whole.make.started_ms
    runs = whole.runs[: len(whole.plan.stages)]
    return [None if r.began_ms is None else (r.began_ms - zero) / 60_000 for r in runs]


def _filled(whole: WholeMake, known: list[float | None]) -> list[float]:
    """Begins without holes: a stage passed over follows the one before, cut short by the next."""
    out: list[float] = []
    for i, at in enumerate(known):
        if at is None:
            at = out[-1] + whole.minutes_of(i - 1) if out else 0.0
            at = min([at, *(k for k in known[i:] if k is not None)])
        out.append(max(at, out[-1]) if out else at)
    return out


def _end_of(whole: WholeMake, index: int, begin: float, now_min: float | None) -> float:
    """When the last stage that began ended, or will end, minutes from the start."""
    run, make = whole.runs[index], whole.make
    ended = make.finished_ms if run.ended_ms is None else run.ended_ms
    if ended is not None:
        return max((ended - make.started_ms) / 60_000, begin)
    planned = begin + whole.minutes_of(index)
    return planned if now_min is None else max(planned, now_min)


def _line(plan: Plan, begins: list[float], end: float) -> PlannedTemp:
    """Knots of the stages that have a begin, the last of them until `end`."""
    rows: list[tuple[float, float, int]] = []
    now_c, held = plan.milk_c, True
    for index, start in enumerate(begins):
        stage = plan.stages[index]
        until = begins[index + 1] if index + 1 < len(begins) else end
        points = stage.knots(now_c)
        if points and not held and rows:
            rows.append((start, float("nan"), -1))
        held = bool(points)
        if held:
            rows.extend((x, y, index) for x, y in _until(points, start, until))
            now_c = rows[-1][1]
    minutes, value, stages = zip(*rows, strict=True) if rows else ((), (), ())
    return PlannedTemp(np.array(minutes, float), np.array(value, float), np.array(stages, np.intp))


def _until(
    points: list[tuple[float, float]], start: float, until: float
) -> list[tuple[float, float]]:
    """A stage's knots from its begin, cut at `until` or its last temperature held until then."""
    x, y = [start + p[0] for p in points], [p[1] for p in points]
    inside = [(a, b) for a, b in zip(x, y, strict=True) if a < until]
    return [*inside, (until, float(np.interp(until, x, y)))]
