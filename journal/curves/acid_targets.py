"""Where a plan's acid targets fall on the day, and which of them the make missed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from journal.curves.day import last_reading_min, stage_times
from journal.message import Instant, Message
from journal.records.plans import AcidTarget, Plan
from journal.records.traces import Floats
from journal.records.whole import WholeMake

NEAR_MIN = 30.0  # a reading so long before or after a target's time still tells of it
# Before the cut milk is read for curd.
_READ_AS = {"curd-ph": ("milk-ph", "curd-ph"), "milk-ph": ("milk-ph", "curd-ph")}


@dataclass(frozen=True)
class DayAcidTarget:
    """An acid target where it falls on the day: minutes from the start, value range, its stage's
    name."""

    acid_target: AcidTarget
    from_min: float
    to_min: float
    label: str
    index: int


def day_acid_targets(
    plan: Plan, begins: Sequence[float], ends: Sequence[float]
) -> list[DayAcidTarget]:
    """The plan's acid targets where they fall on a day whose stages begin and end at these
    minutes."""
    out = []
    for index, (stage, begin, end) in enumerate(zip(plan.stages, begins, ends, strict=False)):
        acid_target = stage.acid_target
        if acid_target is None:
            continue
        first = begin if acid_target.from_min is None else begin + acid_target.from_min
        last = end if acid_target.to_min is None else begin + acid_target.to_min
        out.append(DayAcidTarget(acid_target, first, max(last, first + 1), stage.label, index))
    return out


def missed_targets(whole: WholeMake) -> list[Message]:
    """Each acid target whose time is over and that the readings say was missed.

    A target nobody read near its time is left out: nothing is known of it. Of a make that runs
    only what was over at its last reading counts.
    """
    now = (last_reading_min(whole) or 0.0) if whole.make.running else np.inf
    begins, end = stage_times(whole)
    begun = [r.began_ms is not None for r in whole.runs]
    out = []
    for one in day_acid_targets(whole.plan, begins, [*begins[1:], end]):
        if one.to_min > now or not (one.index < len(begun) and begun[one.index]):
            continue
        value = nearest_miss(whole, one)
        if value is not None:
            out.append(_missed(whole, one, value))
    return out


def nearest_miss(whole: WholeMake, one: DayAcidTarget) -> tuple[float, float] | None:
    """The minute and value that came nearest to a missed target; None where it was met or not
    read."""
    at, value = read_for(whole, one.acid_target.kind)
    near = (at >= one.from_min - NEAR_MIN) & (at <= one.to_min + NEAR_MIN)
    if not near.any():
        return None
    inside = (at >= one.from_min) & (at <= one.to_min)
    edges = np.array([m for m in (one.from_min, one.to_min) if at[near][0] <= m <= at[near][-1]])
    minutes = np.r_[at[inside], edges]
    if not len(minutes):
        return None
    there = np.r_[value[inside], np.interp(edges, at, value)]
    low, high = one.acid_target.low, one.acid_target.high
    if there.min() <= high and there.max() >= low:
        return None
    best = int(np.argmin(np.abs(there - (low + high) / 2)))
    return float(minutes[best]), float(there[best])


def read_for(whole: WholeMake, kind: str) -> tuple[Floats, Floats]:
    """Minutes and values (n,), ascending, of what was read for an acid target's kind."""
    traces = [whole.trace(k).sound() for k in _READ_AS.get(kind, (kind,))]
    at = np.concatenate([t.minutes_from(whole.make.started_ms) for t in traces])
    order = np.argsort(at, kind="stable")
    return at[order], np.concatenate([t.value for t in traces])[order]


def _missed(whole: WholeMake, one: DayAcidTarget, found: tuple[float, float]) -> Message:
    minute, value = found
    at = Instant(whole.make.started_ms + round(minute * 60_000), whole.make.zone)
    return Message(
        "curves.target-missed",
        stage=one.label,
        kind=one.acid_target.kind,
        value=value,
        at=at,
        low=one.acid_target.low,
        high=one.acid_target.high,
    )
