"""When heated milk arrives, when to turn the heat down, and at which rate it lands on the plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from journal.curves.day import day_line, segments, stage_times
from journal.curves.standing import steepest
from journal.curves.vessel_fit import KEEPS, LAGS, Ramp, Way, usual_belief, ways
from journal.records.instants import clock
from journal.records.plans import Stage
from journal.records.traces import Floats, Trace
from journal.records.whole import WholeMake

# What follows without a source is this journal's own choice, from memory, and tried on simulated
# kitchens (the proof of the ramp's advice prints what it was worth on others).
NEAR = 0.5  # of the stage's corridor: so near the target the milk has arrived
AHEAD_MIN, STEP_MIN = 240.0, 0.25  # how far and how finely a ramp is followed ahead
DRAWS, SEED = 400, 1903
BEFORE_MIN = 15.0  # of the hold before a ramp: what it begins from
AFTER_MIN = 12.0  # of the stage after a ramp: how it coasted
RESTLESS = 3  # changes of the logged heat in a ramp from which a hand is taken to keep its rate
USUAL = 2.0  # what is usual counts as much as so many ramps
HINT = 0.35  # of a ramp whose heat was not logged: a hand that eases off looks like a lag
SUREST = 2.5  # logarithm of the odds that a hand's habit can come to
EASES_C = 1.5  # of the target: from here on the climb tells nothing of a habit
LEAST = 2  # readings of a ramp from which it is foretold, with three in all
ENOUGH = 6  # readings of a ramp that is over
OLD_MIN = 30.0  # a ramp not read for so long is not foretold


@dataclass(frozen=True)
class Vessel:
    """What one make's ramps tell of its vat and the hand at it.

    `ramps` holds for each its stage's kind, how likely each lag of vessel_fit is (5,), and the
    log evidence for a hand that kept its rate against one that left the heat.
    """

    ramps: tuple[tuple[str, Floats, float], ...]


@dataclass(frozen=True)
class Heating:
    """A ramp at one moment. Instants are UTC milliseconds, temperatures °C, rates °C/min.

    `arrives_ms` is when the milk comes as near its target as `NEAR` says if it is warmed on as
    now and turned down as said; `low` and `high` hold it 8 times in 10 (None: not within four
    hours). At `turn_down_ms` the heat is turned down to what holds the milk, which then rises by
    `coast_c` more. `rate` lands on the plan's time, never quicker than `limit`, the plan's own;
    `in_time` is false where no rate within the limit would. `late_min` is how much later than
    planned it arrives (below zero: earlier; None: it does not), `target_c` where.
    """

    arrives_ms: int | None
    low: int | None
    high: int | None
    turn_down_ms: int | None
    coast_c: float | None
    rate: float
    limit: float
    target_c: float
    late_min: float | None
    in_time: bool
    sentence: str


class Aim(NamedTuple):
    """Where a ramp is to end (°C), how near that is as good as there, the minute it is, and the
    minute it was to be so near; minutes from the ramp's begin."""

    target: float
    near: float
    now: float
    planned: float


class Drawn(NamedTuple):
    """Courses of a ramp, each (m,): °C now, arrival and turning down (minutes from the ramp's
    begin, inf: not within four hours), and the rise after that (°C)."""

    here: Floats
    arrives: Floats
    down: Floats
    coast: Floats


def vessel_of(whole: WholeMake) -> Vessel:
    """What a make tells of its vat, from the ramps that are over and how they coasted."""
    out, belief = [], usual_belief()
    for place in _ramps(whole):
        run = whole.runs[place] if place < len(whole.runs) else None
        ramp = None if run is None or run.ended_ms is None else _ramp(whole, place, None)
        if ramp is not None and len(ramp.minutes) >= ENOUGH:
            told = belief + ways(ramp, belief)[2]
            share = np.exp(told - np.logaddexp.reduce(told.ravel())).sum(axis=0)
            if ramp.heat is None:
                share = HINT * share + (1 - HINT) * np.exp(belief).sum(axis=0)
            kind, kept = whole.plan.stages[place].kind, _kept(ramp, whole.plan.stages[place])
            out.append((kind, share, kept))
    return Vessel(tuple(out))


def heating(whole: WholeMake, now_ms: int, past: Sequence[Vessel] = ()) -> Heating | None:
    """The ramp that runs at `now_ms`; None where none runs or too little of it was read.

    Parameters
    ----------
    whole : the make; readings after `now_ms` are not looked at
    now_ms : UTC milliseconds
    past : what earlier makes tell of the vat, from `vessel_of`
    """
    place = whole.running_place
    if place is None or place not in _ramps(whole):
        return None
    ramp = _ramp(whole, place, now_ms)
    begin_ms = whole.make.started_ms + round(stage_times(whole)[0][place] * 60_000)
    now = (now_ms - begin_ms) / 60_000
    if ramp is None or now - ramp.minutes[-1] > OLD_MIN:
        return None
    stage = whole.plan.stages[place]
    belief = _belief(past, stage.kind)
    near = NEAR * stage.corridor_c
    aim = Aim(stage.target_c or 0.0, near, now, _planned_near(whole, place, near))
    turned = _drawn(ramp, belief, aim)
    restless = ramp.heat is not None and np.sum(ramp.heat[:, 0] > 0) >= RESTLESS
    course = _drawn(replace(ramp, heat=None), belief, aim) if restless else turned
    limit = steepest(stage, _from_c(whole, place, ramp)) or 0.0
    return _answer(whole, begin_ms, aim, course, turned, stage.ramp_length_min - now, limit)


def _answer(
    whole: WholeMake,
    begin_ms: int,
    aim: Aim,
    course: Drawn,
    turned: Drawn,
    left: float,
    limit: float,
) -> Heating:
    """What the draws say: arrival from the one set, turning down from the other."""
    here = float(np.median(turned.here))
    needed = max(aim.target - here, 0.0) / left if left > 0 else np.inf
    arrives = np.sort(course.arrives)[[round(q * (DRAWS - 1)) for q in (0.5, 0.1, 0.9)]]
    at = [_instant(begin_ms, float(m)) for m in arrives]
    down = np.median(turned.down)
    turn = _instant(begin_ms, max(float(down), aim.now))
    coast_c = None if turn is None else float(np.median(turned.coast[turned.down < np.inf]))
    rate = min(needed, limit)
    words = _sentence(whole, at, turn, aim.target, coast_c, rate, needed, limit)
    late = None if at[0] is None else float(arrives[0] - aim.planned)
    in_time = bool(needed <= limit)
    return Heating(
        at[0], at[1], at[2], turn, coast_c, rate, limit, aim.target, late, in_time, words
    )


def _kept(ramp: Ramp, stage: Stage) -> float:
    """Log evidence for a kept rate, from the climb alone: near its target every hand eases off."""
    near = np.flatnonzero(ramp.value >= (stage.target_c or 0.0) - EASES_C)
    climb = slice(0, int(near[0])) if len(near) else slice(None)
    if len(ramp.minutes[climb]) < ENOUGH:
        return 0.0
    usual = usual_belief()
    part = replace(ramp, minutes=ramp.minutes[climb], value=ramp.value[climb], heat=None)
    told = usual + ways(part, usual)[2]
    kept, left = np.logaddexp.reduce(told[0]), np.logaddexp.reduce(told[1:].ravel())
    return float(kept - left - np.log(KEEPS / (1 - KEEPS)))


def _belief(past: Sequence[Vessel], kind: str) -> Floats:
    """Log chances of losses and lags: what is usual, and what such ramps were found to have.

    For the lag each ramp counts once and as unsure as it was, since the next one's fill is its
    own. Whether the hand keeps its rate (a loss of 0) is a habit and adds up from ramp to ramp.
    """
    same = [(share, kept) for v in past for k, share, kept in v.ramps if k == kind]
    usual = np.exp(usual_belief())
    lag = USUAL * usual.sum(axis=0) + sum((s for s, _ in same), np.zeros(len(LAGS)))
    odds = np.log(KEEPS / (1 - KEEPS)) + sum(kept for _, kept in same)
    keeps = 1 / (1 + np.exp(-np.clip(odds, -SUREST, SUREST)))
    loss = usual.sum(axis=1)
    loss = np.r_[keeps, (1 - keeps) * loss[1:] / loss[1:].sum()]
    out: Floats = np.log(loss)[:, None] + np.log(lag / lag.sum())[None, :]
    return out


def _ramps(whole: WholeMake) -> list[int]:
    """Places of the stages that warm by a degree or more while something is heated."""
    parts, out = segments(day_line(whole)), []
    for place, stage in enumerate(whole.plan.stages):
        mine = parts.stage == place
        if stage.target_c is None or not mine.any() or stage.ramp_length_min <= 0:
            continue
        if stage.target_c - parts.y0[mine][0] >= 1.0:
            out.append(place)
    return out


def _from_c(whole: WholeMake, place: int, ramp: Ramp) -> float:
    """The planned °C a ramp begins at."""
    parts = segments(day_line(whole))
    mine = parts.stage == place
    return float(parts.y0[mine][0]) if mine.any() else float(ramp.value[0])


def _ramp(whole: WholeMake, place: int, now_ms: int | None) -> Ramp | None:
    """A ramp's readings until now, or with its coasting when it is over; None without three."""
    begins, end = stage_times(whole)
    if place >= len(begins):
        return None
    zero = whole.make.started_ms
    first = begins[place]
    last = begins[place + 1] + AFTER_MIN if place + 1 < len(begins) else end
    if now_ms is not None:
        last = (now_ms - zero) / 60_000
    stage = whole.plan.stages[place]
    sound = whole.trace("milk-temp").sound()
    trace = _between(sound, zero, first - _held(whole, place, first), last)
    if len(_between(trace, zero, first, last)) < LEAST or len(trace) < 3:
        return None
    rate = ((stage.target_c or 0.0) - float(trace.value[0])) / stage.ramp_length_min
    heat = _heat(whole.trace("heat").sound(), zero, first, last)
    return Ramp(trace.minutes_from(zero) - first, trace.value, max(rate, 0.0), heat)


def _planned_near(whole: WholeMake, place: int, near: float) -> float:
    """Minutes from a ramp's begin at which the plan comes so near its target."""
    parts = segments(day_line(whole))
    mine = parts.stage == place
    x0, x1, y0, y1 = parts.x0[mine], parts.x1[mine], parts.y0[mine], parts.y1[mine]
    level = (whole.plan.stages[place].target_c or 0.0) - near
    there = np.flatnonzero(y1 >= level - 1e-9)
    if not len(there):
        return float(x1[-1] - x0[0])
    at = int(there[0])
    share = 0.0 if y1[at] <= y0[at] else max(level - y0[at], 0.0) / (y1[at] - y0[at])
    return float(x0[at] + share * (x1[at] - x0[at]) - x0[0])


def _held(whole: WholeMake, place: int, first: float) -> float:
    """For how many of the last minutes before a ramp its first °C was held."""
    parts = segments(day_line(whole))
    mine, hold = parts.stage == place, parts.stage == place - 1
    if not mine.any() or not hold.any():
        return 0.0
    last = np.flatnonzero(hold)[-1]
    if max(abs(parts.y0[last] - parts.y0[mine][0]), abs(parts.y1[last] - parts.y0[mine][0])) > 0.1:
        return 0.0
    return float(min(first - parts.x0[last], BEFORE_MIN))


def _between(trace: Trace, zero: int, first: float, last: float) -> Trace:
    return trace.between(zero + round(first * 60_000), zero + round(last * 60_000))


def _heat(trace: Trace, zero: int, first: float, last: float) -> Floats | None:
    """The logged heat of a ramp as steps; None when it says nothing or was changed all the time."""
    minutes = trace.minutes_from(zero) - first
    kept = minutes <= last - first
    minutes, value = minutes[kept], trace.value[kept]
    if not len(minutes) or minutes[0] > 0:
        return None
    steps = np.r_[True, np.diff(value) != 0]
    minutes, value = minutes[steps], value[steps]
    recent = minutes > -60
    recent[np.flatnonzero(minutes <= -60)[-1:]] = True
    return np.column_stack([minutes[recent], value[recent]])


def _drawn(ramp: Ramp, belief: Floats, aim: Aim) -> Drawn:
    """Courses of the ramp as likely as its readings hold them."""
    found, log_weight, _ = ways(ramp, belief)
    share = np.cumsum(np.exp(log_weight - log_weight.max()))
    rungs = (np.arange(DRAWS) + 0.5) / DRAWS * share[-1]
    counts = np.bincount(np.searchsorted(share, rungs), minlength=len(found))
    rng = np.random.default_rng(SEED)
    ahead = aim.now + np.arange(0.0, AHEAD_MIN + STEP_MIN, STEP_MIN)
    lags = np.exp(belief).sum(axis=0)
    parts = []
    for i in np.flatnonzero(counts):
        way, count = found[i], int(counts[i])
        lag = np.full(count, way.lag)
        if way.loss == 0 and way.heat is None:  # a hand that keeps its rate hides how it lags
            lag = rng.choice(LAGS, count, p=lags / lags.sum())
        parts.append(_followed(way, lag, ahead, aim, rng))
    return Drawn(*(np.concatenate(p) for p in zip(*parts, strict=True)))


def _followed(
    way: Way, lag: Floats, ahead: Floats, aim: Aim, rng: np.random.Generator
) -> tuple[Floats, Floats, Floats, Floats]:
    """One way's draws followed until the heat may be turned down, and coasting from there, each
    by its own lag (m,)."""
    factors = way.mean + rng.standard_normal((len(lag), len(way.mean))) @ way.root.T
    temp = factors @ way.columns(ahead).T
    coasts = lag[:, None] * np.maximum(np.gradient(temp, STEP_MIN, axis=1), 0.0)
    down = _first(temp + coasts >= aim.target, ahead)
    place = np.clip(np.searchsorted(ahead, down), 0, len(ahead) - 1)
    rise = np.take_along_axis(coasts, place[:, None], axis=1)[:, 0]
    late = down + lag * np.log(np.maximum(rise, aim.near) / aim.near)
    near = _first(temp >= aim.target - aim.near, ahead)
    return temp[:, 0], np.where(rise > aim.near, late, near), down, rise


def _first(there: npt.NDArray[np.bool_], ahead: Floats) -> Floats:
    """When each row is first true, inf for never."""
    return np.where(there.any(axis=1), ahead[there.argmax(axis=1)], np.inf)


def _instant(begin_ms: int, minutes: float) -> int | None:
    return begin_ms + round(minutes * 60_000) if np.isfinite(minutes) else None


def _sentence(
    whole: WholeMake,
    at: list[int | None],
    turn: int | None,
    target: float,
    coast_c: float | None,
    rate: float,
    needed: float,
    limit: float,
) -> str:
    """The advice in words."""
    zone, said = whole.make.zone, []
    if at[0] is None:
        said.append(f"At this rate the milk does not come to {target:.1f} °C.")
    else:
        until = "no sure end" if at[2] is None else clock(at[2], zone)
        since = clock(at[1] or at[0], zone)
        said.append(f"At {target:.1f} °C about {clock(at[0], zone)} ({since} to {until}).")
    if turn is not None and coast_c is not None:
        said.append(
            f"Turn the heat down at {clock(turn, zone)}, at {target - coast_c:.1f} °C: "
            f"it coasts {coast_c:.1f} °C."
        )
    if needed <= limit:
        said.append(f"{rate:.2f} °C/min lands on the plan.")
    else:
        said.append(f"The plan allows {limit:.2f} °C/min at most: it arrives late.")
    return " ".join(said)
