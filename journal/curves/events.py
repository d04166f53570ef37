"""Deviations as they happen: outside the corridor, a cook too quick or too slow, slow acid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from journal.curves.acidity import fit, has_acid
from journal.curves.culture_time import culture_in_min
from journal.curves.day import Line, day_line, planned_at, segments
from journal.curves.deviation import slope, strayed
from journal.curves.heating import Vessel, heating
from journal.curves.leaning import AcidFit
from journal.curves.slow_acid import CAUTION, slow_words
from journal.curves.standing import Standing, standing
from journal.curves.until import whole_until
from journal.quantities.counts import counted
from journal.quantities.written import write
from journal.records.instants import clock
from journal.records.plans import Stage
from journal.records.traces import Floats
from journal.records.whole import WholeMake

LASTS_MIN = 3.0  # a shorter stray is a spoon in the vat or a probe out of it
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
    `how_long` says of "outside" how many minutes of it are known, reckoned as `deviation` does:
    "8 min", or "at 3 readings" where they stand too far apart to tell.
    """

    kind: str
    since_ms: int
    minutes: float
    mean_c: float | None
    worst_c: float | None
    sentence: str
    lasts: bool = True
    how_long: str = ""

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
    fitted : the make's own fit when it is at hand, to spare fitting again

    Notes
    -----
    A stray lasts from its first reading outside the corridor to its last one: what comes after
    that was not read. Shorter than 3 min it is left out; half an hour after its last reading it
    is taken to be over. Milk that warms up from the cold without a limit may do so at
    its own pace.
    """
    seen = whole_until(whole, now_ms)
    out = [*_strays(seen, now_ms), *_rates(seen, now_ms), *_acid(seen, now_ms, past, fitted)]
    return sorted(out, key=_since)


def sentences(
    whole: WholeMake,
    now_ms: int,
    *,
    vessels: Sequence[Vessel] = (),
    past: Sequence[AcidFit] = (),
    fitted: AcidFit | None = None,
) -> list[str]:
    """What the vat's page has to say at a moment: the ramp, else how the milk stands to the plan,
    and what strays now."""
    out = []
    stands = standing(whole, now_ms)
    if stands.is_old(now_ms):
        out.append(old_words(stands, now_ms, whole.make.zone))
    elif stands.advice is not None:
        out.append(stands.advice.sentence)
    ramp = None if stands.is_old(now_ms) else heating(whole, heard_until(whole, now_ms), vessels)
    if ramp is not None:
        out.append(ramp.sentence)
    found = events(whole, now_ms, past, fitted=fitted)
    return out + [event.sentence for event in found if event.lasts]


def heard_until(whole: WholeMake, now_ms: int) -> int:
    """The last instant at which the milk was read or its heat was logged: what is reckoned ahead
    begins there, so that it does not move with the clock."""
    at = [trace.at_ms[trace.at_ms <= now_ms][-1:]
          for trace in (whole.trace(kind).sound() for kind in ("milk-temp", "heat"))]  # fmt: skip
    return max((int(one[0]) for one in at if len(one)), default=now_ms)


def old_words(stands: Standing, now_ms: int, zone: str) -> str:
    """How old the last reading is: "Milk last read 17 min ago: 33.0 °C at 10:42."."""
    at_ms, value = stands.last_at_ms, stands.last_c
    if at_ms is None or value is None:
        return ""
    age = write((now_ms - at_ms) // 60_000, "duration")
    return f"Milk last read {age} ago: {value:.1f} °C at {clock(at_ms, zone)}."


def _since(event: Event) -> tuple[int, str]:
    return event.since_ms, event.kind


def _strays(whole: WholeMake, now_ms: int) -> Iterator[Event]:
    """Each time the milk was outside its corridor."""
    zero = whole.make.started_ms
    trace = whole.trace("milk-temp").sound()
    at = trace.minutes_from(zero)
    line = day_line(whole, (now_ms - zero) / 60_000)
    place, planned = _plan_at(line, at)
    width = np.array([s.corridor_c for s in whole.plan.stages])[place]
    apart = trace.value - planned
    outside = np.isfinite(planned) & (np.abs(apart) > width + 1e-9)
    outside &= ~_on_its_way(whole, place, trace.value, width)
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
            words = _how_long(known.outside, end - first)
            yield _stray(whole, int(trace.at_ms[first]), minutes, apart[first:end], lasts, words)


def _how_long(known_min: float, readings: int) -> str:
    return f"{known_min:.0f} min" if known_min >= 1 else f"at {counted(readings, 'reading')}"


def _on_its_way(whole: WholeMake, place: np.ndarray, value: Floats, width: Floats) -> np.ndarray:
    """Which readings (n,) are of milk that only warms up from the cold, not yet too warm."""
    stages = whole.plan.stages
    free = np.array([s.kind == "warm" and s.limit_c_per_min is None for s in stages])
    target = np.array([np.inf if s.target_c is None else s.target_c for s in stages])
    found: np.ndarray = free[place] & (value <= target[place] + width + 1e-9)
    return found


def _plan_at(line: Line, at: Floats) -> tuple[np.ndarray, Floats]:
    """The place in the plan and its °C at minutes (n,) from the start, NaN where none is held."""
    parts = segments(line)
    if not len(parts.x0):
        return np.zeros(len(at), np.intp), np.full(len(at), np.nan)
    near = np.clip(np.searchsorted(parts.x0, at, side="right") - 1, 0, len(parts.x0) - 1)
    return parts.stage[near], planned_at(line, at)


def _stray(
    whole: WholeMake, since_ms: int, minutes: float, apart: Floats, lasts: bool, how_long: str
) -> Event:
    mean, worst = float(apart.mean()), float(apart[np.argmax(np.abs(apart))])
    where = "above" if mean > 0 else "below"
    have = "has been" if lasts else "was"
    lasted = how_long if how_long.startswith("at ") else f"for {how_long}"
    said = (
        f"The milk {have} {where} its corridor {lasted} since "
        f"{clock(since_ms, whole.make.zone)}: by {abs(mean):.1f} °C on the mean, "
        f"{abs(worst):.1f} °C at worst."
    )
    return Event("outside", since_ms, minutes, mean, worst, said, lasts, how_long)


def _rates(whole: WholeMake, now_ms: int) -> Iterator[Event]:
    """A cook that climbs, or climbed, well beside its plan."""
    for place, (stage, run) in enumerate(zip(whole.plan.stages, whole.runs, strict=False)):
        if stage.kind == "cook" and run.began_ms is not None:
            yield from _rate_of(whole, place, run.began_ms, now_ms)


def _rate_of(whole: WholeMake, place: int, begin_ms: int, now_ms: int) -> Iterator[Event]:
    stage, run, zero = whole.plan.stages[place], whole.runs[place], whole.make.started_ms
    runs = run.ended_ms is None and place == whole.running_place
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


def _rate_event(stage: Stage, rate: float, planned: float, runs: bool) -> tuple[str, str] | None:
    """The kind and the sentence, None while the cook climbs about as planned."""
    limit = stage.limit_c_per_min
    numbers = f"{rate:.2f} °C/min{' so far' if runs else ''}, planned {planned:.2f}"
    is_quicker = "The cook is quicker" if runs else "The cook was quicker"
    if limit is not None and rate > limit * (1 + LIMIT_OFF):
        return "quick", f"{is_quicker} than the plan allows: {numbers}, limit {limit:.2f}."
    if rate > planned * (1 + RATE_OFF):
        return "quick", f"{is_quicker} than planned: {numbers}."
    if rate < planned * (1 - RATE_OFF):
        return "lagging", f"The cook {'lags' if runs else 'lagged'}: {numbers}."
    return None


def _acid(
    whole: WholeMake, now_ms: int, past: Sequence[AcidFit], fitted: AcidFit | None
) -> Iterator[Event]:
    """Slow acid, named early."""
    if not has_acid(whole):
        return
    found = fit(whole, past) if fitted is None else fitted
    said = slow_words(whole, found)
    if not said:
        return
    since = whole.make.started_ms + round(culture_in_min(whole) * 60_000)
    yield Event("slow acid", since, (now_ms - since) / 60_000, None, None, f"{said} {CAUTION}")
