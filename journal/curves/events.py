"""Deviations as they happen: outside the allowed range, a cook too quick or too slow, slow acid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from journal.curves.acidity import fit, has_acid
from journal.curves.culture_time import culture_in_min
from journal.curves.day import PlannedTemp, day_line, planned_at, segments
from journal.curves.deviation import slope, strayed
from journal.curves.leaning import AcidFit
from journal.curves.page_state import PageState
from journal.curves.slow_acid import cautioned, slow
from journal.curves.until import whole_until
from journal.message import Instant, Message
from journal.records.plans import Stage
from journal.records.traces import Floats
from journal.records.whole import WholeMake

LASTS_MIN = 3.0  # a shorter stray is a spoon in the vat or a sensor out of it
APART_MIN = 30.0  # two readings further apart do not belong to one stray
RATE_AFTER_MIN = 10.0  # a ramp's rate is not judged before
RATE_OFF = 0.3  # of the planned rate
LIMIT_OFF = 0.1  # of the plan's limit


@dataclass(frozen=True)
class Event:
    """Something that strays from the plan. `key` stays the same while it lasts, so that it can
    be said once; `lasts` is false when it is over.

    `kind` is "outside", "quick", "lagging" or "slow acid". `minutes` is how long it has lasted,
    `mean_c` and `worst_c` are read minus planned °C (None where no temperature strays). For
    "quick" and "lagging" both are None; for "slow acid" `since_ms` is when the culture went in.
    `how_long` says of "outside" how many of its minutes are known, as `deviation` calculates, or
    at how many readings it was where they stand too far apart to tell. `message` says all of it;
    that of "slow acid" has the caution, and among its values what is `said` before it.
    """

    kind: str
    since_ms: int
    minutes: float
    mean_c: float | None
    worst_c: float | None
    message: Message
    lasts: bool = True
    how_long: Message | None = None

    @property
    def key(self) -> str:
        """What it is known by."""
        return f"{self.kind} {self.since_ms}"


def events(
    whole: WholeMake,
    now_ms: int,
    past: Sequence[AcidFit] = (),
    *,
    fitted: AcidFit | None = None,
) -> list[Event]:
    """What strayed from the plan until `now_ms`, the earliest first.

    Parameters
    ----------
    whole : the make; readings after `now_ms` are not looked at
    now_ms : UTC milliseconds
    past : fits of earlier makes, for the acid
    fitted : the make's own fit when there is one, to spare fitting again

    Notes
    -----
    A stray lasts from its first reading outside the allowed range to its last one: what comes after
    that was not read. Shorter than 3 min it is left out; half an hour after its last reading it
    is taken to be over. Milk that warms up from the cold without a limit may do so at
    its own pace.
    """
    seen = whole_until(whole, now_ms)
    out = [*_strays(seen, now_ms), *_rates(seen, now_ms), *_acid(seen, now_ms, past, fitted)]
    return sorted(out, key=_since)


def heard_until(whole: WholeMake, now_ms: int) -> int:
    """The last instant at which the milk was read or its heat was logged: what is calculated ahead
    begins there, so that it does not move with the clock."""
    at = [trace.at_ms[trace.at_ms <= now_ms][-1:]
          for trace in (whole.trace(kind).sound() for kind in ("milk-temp", "heat"))]  # fmt: skip
    return max((int(one[0]) for one in at if len(one)), default=now_ms)


def last_read(stands: PageState, now_ms: int, zone: str) -> Message | None:
    """How old the last reading is; None without one."""
    at_ms, value = stands.last_at_ms, stands.last_c
    if at_ms is None or value is None:
        return None
    age = (now_ms - at_ms) // 60_000
    at = Instant(at_ms, zone)
    return Message("curves.milk-last-read", minutes=age, read_c=value, at=at)


def _since(event: Event) -> tuple[int, str]:
    return event.since_ms, event.kind


def _strays(whole: WholeMake, now_ms: int) -> Iterator[Event]:
    """Each time the milk was outside its allowed range."""
    zero = whole.make.started_ms
    trace = whole.trace("milk-temp").sound()
    at = trace.minutes_from(zero)
    line = day_line(whole, (now_ms - zero) / 60_000)
    index, planned = _plan_at(line, at)
    width = np.array([s.allowed_c for s in whole.plan.stages])[index]
    apart = trace.value - planned
    outside = np.isfinite(planned) & (np.abs(apart) > width + 1e-9)
    outside &= ~_on_its_way(whole, index, trace.value, width)
    side = np.where(outside, np.sign(apart), 0.0)
    fresh = np.r_[True, (np.diff(side) != 0) | (np.diff(at) > APART_MIN)]
    starts = np.flatnonzero(fresh)
    for first, end in zip(starts, [*starts[1:], len(side)], strict=True):
        if not len(side) or side[first] == 0:
            continue
        lasts = end == len(side) and (now_ms - zero) / 60_000 - at[end - 1] <= APART_MIN
        minutes = float(at[end - 1] - at[first])
        if minutes >= LASTS_MIN:
            near = slice(max(first - 1, 0), end + 1)
            known = strayed(at[near], trace.value[near], line, whole.plan, (int(side[first]),))
            long = _how_long(known.outside, int(end - first))
            yield _stray(whole, int(trace.at_ms[first]), minutes, apart[first:end], lasts, long)


def _how_long(known_min: float, readings: int) -> Message:
    if known_min >= 1:
        return Message("curves.known-minutes", minutes=known_min)
    return Message("curves.at-readings", readings=readings)


def _on_its_way(whole: WholeMake, index: np.ndarray, value: Floats, width: Floats) -> np.ndarray:
    """Which readings (n,) are of milk that only warms up from the cold, not yet too warm."""
    stages = whole.plan.stages
    free = np.array([s.kind == "warm" and s.limit_c_per_min is None for s in stages])
    target = np.array([np.inf if s.target_c is None else s.target_c for s in stages])
    found: np.ndarray = free[index] & (value <= target[index] + width + 1e-9)
    return found


def _plan_at(line: PlannedTemp, at: Floats) -> tuple[np.ndarray, Floats]:
    """The place in the plan and its °C at minutes (n,) from the start, NaN where none is held."""
    parts = segments(line)
    if not len(parts.x0):
        return np.zeros(len(at), np.intp), np.full(len(at), np.nan)
    near = np.clip(np.searchsorted(parts.x0, at, side="right") - 1, 0, len(parts.x0) - 1)
    return parts.stage[near], planned_at(line, at)


def _stray(
    whole: WholeMake, since_ms: int, minutes: float, apart: Floats, lasts: bool, how_long: Message
) -> Event:
    mean, worst = float(apart.mean()), float(apart[np.argmax(np.abs(apart))])
    sentence = Message(
        "curves.outside",
        lasts=lasts,
        above=mean > 0,
        known="minutes" in how_long.values,
        how_long=how_long,
        since=Instant(since_ms, whole.make.zone),
        mean_c=abs(mean),
        worst_c=abs(worst),
    )
    return Event("outside", since_ms, minutes, mean, worst, sentence, lasts, how_long)


def _rates(whole: WholeMake, now_ms: int) -> Iterator[Event]:
    """A cook that climbs, or climbed, well beside its plan."""
    for index, (stage, run) in enumerate(zip(whole.plan.stages, whole.runs, strict=False)):
        if stage.kind == "cook" and run.began_ms is not None:
            yield from _rate_of(whole, index, run.began_ms, now_ms)


def _rate_of(whole: WholeMake, index: int, begin_ms: int, now_ms: int) -> Iterator[Event]:
    stage, run, zero = whole.plan.stages[index], whole.runs[index], whole.make.started_ms
    runs = run.ended_ms is None and index == whole.running_index
    until_ms = now_ms if run.ended_ms is None else min(now_ms, run.ended_ms)
    line = day_line(whole, (now_ms - zero) / 60_000)
    ramp_ends = begin_ms + round(stage.ramp_length_min * 60_000)
    trace = whole.trace("milk-temp").sound().between(begin_ms, min(until_ms, ramp_ends))
    minutes = trace.minutes_from(zero)
    if len(trace) < 3 or minutes[-1] - minutes[0] < RATE_AFTER_MIN:
        return
    rate, planned = slope(minutes, trace.value), slope(minutes, planned_at(line, minutes))
    if rate is None or planned is None or planned <= 0:
        return
    found = _rate_event(stage, rate, planned, runs)
    if found:
        seen_ms = int(trace.at_ms[-1]) if runs else until_ms
        passed = (seen_ms - begin_ms) / 60_000
        yield Event(found[0], begin_ms, passed, None, None, found[1], runs)


def _rate_event(
    stage: Stage, rate: float, planned: float, runs: bool
) -> tuple[str, Message] | None:
    """The kind and its message, None while the cook climbs about as planned."""
    limit = stage.limit_c_per_min
    numbers = {"lasts": runs, "rate": rate, "planned": planned}
    if limit is not None and rate > limit * (1 + LIMIT_OFF):
        return "quick", Message("curves.cook-over-limit", **numbers, limit=limit)
    if rate > planned * (1 + RATE_OFF):
        return "quick", Message("curves.cook-quick", **numbers)
    if rate < planned * (1 - RATE_OFF):
        return "lagging", Message("curves.cook-lags", **numbers)
    return None


def _acid(
    whole: WholeMake, now_ms: int, past: Sequence[AcidFit], fitted: AcidFit | None
) -> Iterator[Event]:
    """Slow acid, named early."""
    if not has_acid(whole):
        return
    found = fit(whole, past) if fitted is None else fitted
    sentence = slow(whole, found)
    if sentence is None:
        return
    since = whole.make.started_ms + round(culture_in_min(whole) * 60_000)
    yield Event("slow acid", since, (now_ms - since) / 60_000, None, None, cautioned(sentence))
