"""Where a running make stands now: its stage, how long to go, and how the milk lies to the plan."""

from __future__ import annotations

from dataclasses import dataclass

from journal.curves.day import PlannedTemp, day_line, planned_at, segments, stage_times
from journal.curves.reading_age import ReadingAge, fresh_for
from journal.curves.vessel import Advice, advise
from journal.records.makes import StageRun
from journal.records.plans import Plan, Stage
from journal.records.traces import Trace
from journal.records.whole import WholeMake

FRESH_MIN = 2.0  # a stage that has only just begun is not judged yet
PAST_C = 0.3  # further past its target than a reading strays, the milk is no longer on a ramp


@dataclass(frozen=True)
class PageState:
    """What the vat's left page says at one instant.

    `index` is the running stage's place in the plan (None: none runs); `ends_ms` when it should
    end, `minutes_to_go` until then, below zero when it is overdue. `planned_c` is the re-timed
    plan's temperature now. `advice` compares the last reading with the plan at its own instant, and
    what it says of the time left counts from that instant too, so that nothing in it moves with
    the clock; None when the stage holds no temperature, nothing was read in it, or the reading is
    old. `fresh` says how long a reading speaks for now, and `old_from_ms` is when the last one
    ceases to (both None where no milk is held at a temperature, or none was ever read).
    `delay_min` is how late the running stage began. `next_stage` follows it.
    """

    index: int | None
    stage: Stage | None
    run: StageRun | None
    ends_ms: int | None
    minutes_to_go: float | None
    planned_c: float | None
    last_c: float | None
    last_at_ms: int | None
    delay_min: float | None
    next_stage: Stage | None
    advice: Advice | None
    fresh: ReadingAge | None = None
    old_from_ms: int | None = None

    def is_old(self, now_ms: int) -> bool:
        """Whether the last reading says nothing of the milk of now."""
        return self.old_from_ms is not None and now_ms > self.old_from_ms

    @property
    def behind_c(self) -> float | None:
        """°C behind the plan (below zero: ahead), None where nothing can be said."""
        return None if self.advice is None else self.advice.behind_c

    @property
    def rate_needed(self) -> float | None:
        """°C per minute to arrive on time, None where nothing can be said."""
        return None if self.advice is None else self.advice.rate_needed


def page_state(whole: WholeMake, now_ms: int) -> PageState:
    """Where a make stands at `now_ms`; readings after that instant are not looked at."""
    zero = whole.make.started_ms
    milk = _until(whole.trace("milk-temp").sound(), now_ms)
    last_c = float(milk.value[-1]) if len(milk) else None
    last_at = int(milk.at_ms[-1]) if len(milk) else None
    index = whole.running_index
    if index is None:
        return PageState(None, None, None, None, None, None, last_c, last_at, None, None, None)
    stages, run = whole.plan.stages, whole.runs[index]
    stage, now = stages[index], (now_ms - zero) / 60_000
    line = day_line(whole, now)
    begin = stage_times(whole)[0][index]
    ends = begin + whole.minutes_of(index)
    planned = float(planned_at(line, now))
    fresh = old_from = None
    if last_at is not None and last_c is not None:
        since = now - begin - run.extra_min
        fresh = fresh_for(stage, begins_at_c(whole.plan, index), since, last_c)
    if fresh is not None and last_at is not None:
        speaks_ms = max(last_at, zero + round(begin * 60_000))
        old_from = speaks_ms + round(fresh.minutes * 60_000)
    old = old_from is not None and now_ms > old_from
    return PageState(
        index,
        stage,
        run,
        zero + round(ends * 60_000),
        ends - now,
        planned if planned == planned else None,
        last_c,
        last_at,
        run.delay_min,
        next_stage(whole, index),
        None if old else _advice(whole, index, line, milk),
        fresh,
        old_from,
    )


def begins_at_c(plan: Plan, index: int) -> float:
    """The °C a stage begins from: what the last stage before it held, else the milk as it comes."""
    held = (s.target_c for s in reversed(plan.stages[:index]) if s.target_c is not None)
    return next(held, plan.milk_c)


def next_stage(whole: WholeMake, index: int) -> Stage | None:
    """The stage that comes after the one at `index`, skipped ones passed over."""
    left_out = {i for i, run in enumerate(whole.runs) if run.skipped}
    coming = [i for i in range(index + 1, len(whole.plan.stages)) if i not in left_out]
    return whole.plan.stages[coming[0]] if coming else None


def steepest(stage: Stage, from_c: float) -> float | None:
    """The rate a stage allows, °C/min as a size: its limit, else that of its ramp, or of
    the steeper part where it begins at a slope of its own.

    None on a hold.
    """
    if stage.limit_c_per_min is not None:
        return abs(stage.limit_c_per_min)
    ramp = stage.minutes if stage.ramp_min is None else min(stage.ramp_min, stage.minutes)
    if stage.target_c is None or ramp <= 0 or stage.target_c == from_c:
        return None
    rise, first, slow = abs(stage.target_c - from_c), stage.first_c_per_min, stage.first_min
    if first is None or slow is None or slow >= ramp:
        return rise / ramp
    return max(abs(first), (rise - abs(first) * slow) / (ramp - slow))


def _until(trace: Trace, now_ms: int) -> Trace:
    """The part of a trace up to an instant."""
    return trace.between(int(trace.at_ms[0]), now_ms) if len(trace) else trace


def _advice(whole: WholeMake, index: int, line: PlannedTemp, milk: Trace) -> Advice | None:
    """The last reading against the plan of the stage it was taken in, as of its own instant."""
    stage = whole.plan.stages[index]
    parts = segments(line)
    mine = parts.stage == index
    if not len(milk) or stage.target_c is None or not mine.any():
        return None
    read_at = float(milk.minutes_from(whole.make.started_ms)[-1])
    begin, from_c = float(parts.x0[mine][0]), float(parts.y0[mine][0])
    if read_at < begin + FRESH_MIN:
        return None
    ramp = stage.minutes if stage.ramp_min is None else min(stage.ramp_min, stage.minutes)
    read_c, planned_c = float(milk.value[-1]), float(planned_at(line, read_at))
    if stage.kind == "warm" and stage.limit_c_per_min is None and read_c > planned_c:
        return None  # warmer milk on its way up only saves time
    rising = stage.target_c >= from_c
    if read_c - stage.target_c > PAST_C if rising else stage.target_c - read_c > PAST_C:
        return advise(read_c, planned_c, stage.target_c, 0.0)  # past it: the ramp is over
    extra = whole.runs[index].extra_min
    holds = ramp < stage.minutes and begin + ramp + extra <= read_at
    if holds and (not rising or read_at < begin + stage.minutes + extra):
        return advise(read_c, planned_c, stage.target_c, 0.0)  # the rest of the stage is a hold
    return advise(
        read_c,
        planned_c,
        stage.target_c,
        begin + ramp + extra - read_at,
        limit=steepest(stage, from_c),
        rising=rising,
    )
