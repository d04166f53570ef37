"""Delay: how much longer or shorter each stage of a running day is than planned, and in all."""

from __future__ import annotations

from typing import NamedTuple

from journal.curves.day import stage_times
from journal.records.whole import WholeMake

LEAST_MIN = 0.5  # less is no delay anyone would speak of


class StageDelay(NamedTuple):
    """A stage of the day: minutes longer (shorter below zero) than planned, and why."""

    position: int
    label: str
    minutes: float
    skipped: bool
    reason: str


def delays(whole: WholeMake, now_min: float | None = None) -> list[StageDelay]:
    """Each stage of the day against its planned length, those to come and not skipped left out.

    The stage that runs counts with what it is to last, or with what it has taken already where
    that is more.
    """
    begins, end = stage_times(whole, now_min)
    ends = [*begins[1:], end]
    out = []
    for position, (begin, until) in enumerate(zip(begins, ends, strict=True)):
        run = whole.runs[position] if position < len(whole.runs) else None
        if run is None or (run.began_ms is None and not run.skipped):
            continue
        stage = whole.plan.stages[position]
        took = 0.0 if run.skipped else until - begin
        out.append(StageDelay(position, stage.label, took - stage.minutes, run.skipped, run.reason))
    return out


def total_delay(whole: WholeMake, now_min: float | None = None) -> float:
    """How much later (earlier below zero) than planned the whole day ends as it stands, minutes."""
    _, end = stage_times(whole, now_min)
    return end - whole.plan.minutes


def spoken(found: list[StageDelay]) -> list[StageDelay]:
    """Those worth a word: half a minute and more, or skipped."""
    return [delay for delay in found if delay.skipped or abs(delay.minutes) >= LEAST_MIN]
