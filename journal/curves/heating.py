"""When heated milk arrives, when to turn the heat down, and at which rate it lands on the plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from journal.curves.bath_heat import NOTHING, bath_lags, with_bath
from journal.curves.coasting import coasted
from journal.curves.day import day_line, segments, stage_times
from journal.curves.page_state import steepest
from journal.curves.vessel_fit import (
    BATH,
    HABITS,
    KEPT,
    LAGS,
    LEFT,
    LOSSES,
    Ramp,
    RampFits,
    belief_of,
    usual_belief,
    usual_lags,
    ways,
)
from journal.records.traces import Floats, Trace
from journal.records.whole import WholeMake

# What follows without a source is this journal's own choice, from memory, and tried on simulated
# kitchens (the proof of the ramp's advice prints what it was worth on others).
NEAR = 0.5  # of the stage's allowed range: so near the target the milk has arrived
AHEAD_MIN, STEP_MIN = 240.0, 0.25  # how far and how finely a ramp is followed ahead
FINE_MIN, COARSE_MIN = 75.0, 2.5  # for so long so finely, then in steps of so many minutes
DRAWS, SEED = 400, 1903
BEFORE_MIN = 15.0  # of the hold before a ramp: what it begins from
AFTER_MIN = 45.0  # of the stage after a ramp: how it coasted
RESTLESS = 3  # changes of the logged heat in a ramp from which a hand is taken to keep its rate
MISLEADS = 0.1  # how likely a coasting was disturbed, and tells nothing
HINT = 0.5  # how much the begin of a climb tells of the lag where a hand keeps its rate
SUREST = 2.5  # logarithm of the odds that a habit can come to
FILLS = 0.2  # spread of the lag's logarithm from ramp to ramp of one vessel
STRANGE = 0.05  # how likely a ramp tells nothing of the next one
BEYOND = 1.6  # a vessel at the slow end may be so many times slower than the slowest lag
EDGE = 0.2  # how likely a lag there stands for one that is not known
GRID = 0.12  # spread of the lag's logarithm between two of the lags
BATH_SHARE = (0.1, 0.85)  # of the time in which milk comes to its bath: how long it may coast
SLOW_MIN = 8.0  # a lag from which on the milk may come further past its target
PAST_C = (0.5, 0.95)  # so far, a lag under that and over it, in a vessel not known yet
KNOWN, KNOWN_PAST_C = 2, (0.3, 0.5)  # and from so many earlier makes on
RISK = 0.1  # the heat is down before the milk may come so far past, so likely
EARLY_C = 0.25  # turned down so much before the middle course asks for it, that is said
STRAYS_C, STRAYS_MIN = 0.1, 0.5  # from its course, by stirring, lifted lids and the hand
UNFORESEEN = 0.15  # of the time still to go: what heat, lids and a slow bath do unlike the fit
LEARNS = 0.2  # of the time until the heat is turned down: by so much that may still move
SLOWEST = 0.03  # °C/min: no second heating is taken to be slower
VAGUE = 1.6  # a lag that may be so many times longer is not known
HAND_MIN = 0.5  # from being told until the heat is down
# What a second heating takes: minutes, times the lag, times what is missed at the rate before.
AGAIN_MIN, AGAIN_LAGS, AGAIN_TIMES, AGAIN_SPREAD = 10.0, 2.0, 3.0, 0.35
COASTS, COASTS_SPREAD = 0.95, 0.2  # of lag times rate: what the milk coasts by, and its spread
LEAST = 2  # readings of a ramp from which it is predicted, with three in all
ENOUGH = 6  # readings of a ramp that is over
OLD_MIN = 30.0  # a ramp not read for so long is not predicted


@dataclass(frozen=True)
class Vessel:
    """What one make's ramps tell of its vat and the hand at it.

    `ramps` holds for each its stage's kind, how likely it makes each lag of vessel_fit (11,),
    and the log evidence for each habit (3,): a rate that is kept, heat that is left, a thermostat.
    """

    ramps: tuple[tuple[str, Floats, Floats], ...]


@dataclass(frozen=True)
class Heating:
    """A ramp at one moment. Instants are UTC milliseconds, temperatures °C, rates °C/min.

    `arrives_ms` is when the milk comes as near its target as `NEAR` says if it is warmed on as
    now and turned down as said; `low` and `high` hold it 8 times in 10 (None: not within four
    hours). At `turn_down_ms`, when the milk is at `down_c`, the heat is turned down to what holds
    the milk, which then rises by `coast_c` more. `rate` lands on the plan's time, never quicker
    than `limit`, the plan's own;
    `in_time` is false where no rate within the limit would. `late_min` is how much later than
    planned it arrives (below zero: earlier; None: it does not), `target_c` where. `early`: the
    vessel's lag is not known yet, and the heat is turned down sooner than may be needed.
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
    down_c: float | None = None
    early: bool = False


class Aim(NamedTuple):
    """Where a ramp is to end (°C), how near that is as good as there, the minute it is, and the
    minute it was to be so near; minutes from the ramp's begin."""

    target: float
    near: float
    now: float
    planned: float
    past_c: tuple[float, float] = PAST_C


class SampledRamps(NamedTuple):
    """Courses of a ramp: °C now (m,), arrival (m,) and turning down (minutes from the ramp's
    begin, inf: not within four hours) and at what °C, the rise after that (m,) in °C, and whether
    it is turned down sooner than may be needed."""

    here: Floats
    arrives: Floats
    down: float
    down_c: float
    coast: Floats
    early: bool


def vessel_of(whole: WholeMake) -> Vessel:
    """What a make tells of its vat, from the ramps that are over and how they coasted."""
    out = []
    for index in _ramps(whole):
        run = whole.runs[index] if index < len(whole.runs) else None
        ramp = None if run is None or run.ended_ms is None else _ramp(whole, index, None)
        if ramp is not None and len(ramp.minutes) >= ENOUGH:
            down = coasted(ramp.minutes, ramp.value, _turned_down(ramp))[1]
            likely = np.exp(_bath(whole, index, ramp, down))
            share, habits = _learn_ramp(ramp)
            out.append((whole.plan.stages[index].kind, share * likely / (share @ likely), habits))
    return Vessel(tuple(out))


def _learn_ramp(ramp: Ramp) -> tuple[Floats, Floats]:
    """How likely a ramp that is over makes each lag (11,), and the evidence for each habit (3,).

    The climb tells the lag as far as the heat was left; the coasting tells it in any case.
    """
    coast, down = coasted(ramp.minutes, ramp.value, _turned_down(ramp))
    climb = ramp.minutes <= down
    habits, onset = np.zeros(3), np.ones(len(LAGS))
    if climb.sum() >= ENOUGH:
        usual = usual_belief()
        found = ways(replace(ramp, minutes=ramp.minutes[climb], value=ramp.value[climb]), usual)[1]
        counted = usual + found
        rows = [np.logaddexp.reduce(counted[row].ravel()) for row in (KEPT, LEFT, BATH)]
        chance = np.exp(np.array(rows) - np.logaddexp.reduce(rows))
        if ramp.heat is not None:  # what was turned when is known: all of it tells
            found = ways(ramp, usual)[1]
        left, kept = (np.logaddexp.reduce(found[row], axis=0) for row in (LEFT, KEPT))
        onset = chance @ np.stack(
            [_share(HINT * kept), _share(left), np.full(len(LAGS), 1 / len(LAGS))]
        )
        if ramp.heat is None:
            habits = np.array(rows) - np.log(HABITS)
    sure = HINT if ramp.heat is None else 1.0
    share = ((1 - MISLEADS) * _share(sure * coast) + MISLEADS / len(LAGS)) * onset
    return share / share.sum(), habits - habits.max()


def _share(log_chance: Floats) -> Floats:
    """Shares of one from logarithms of chances; nothing known is all alike."""
    if not np.isfinite(log_chance).any():
        return np.full(len(log_chance), 1 / len(log_chance))
    out: Floats = np.exp(log_chance - np.logaddexp.reduce(log_chance))
    return out


def _turned_down(ramp: Ramp) -> float | None:
    """When the logged heat was turned down by most, None where it was not logged or not."""
    if ramp.heat is None or len(ramp.heat) < 2:
        return None
    steps = np.where(ramp.heat[1:, 0] > 2.0, np.diff(ramp.heat[:, 1]), 0.0)
    return float(ramp.heat[1:, 0][np.argmin(steps)]) if steps.min() < 0 else None


def heating(whole: WholeMake, now_ms: int, past: Sequence[Vessel] = ()) -> Heating | None:
    """The ramp that runs at `now_ms`; None where none runs or too little of it was read.

    Parameters
    ----------
    whole : the make; readings after `now_ms` are not looked at
    now_ms : UTC milliseconds
    past : what earlier makes tell of the vat, from `vessel_of`
    """
    index = whole.running_index
    if index is None or index not in _ramps(whole):
        return None
    ramp = _ramp(whole, index, now_ms)
    begin_ms = whole.make.started_ms + round(stage_times(whole)[0][index] * 60_000)
    now = (now_ms - begin_ms) / 60_000
    if ramp is None or now - ramp.minutes[-1] > OLD_MIN:
        return None
    stage = whole.plan.stages[index]
    belief = with_bath(_belief(past, stage.kind), _bath(whole, index, ramp, now))
    near = NEAR * stage.allowed_c
    aim = Aim(
        stage.target_c or 0.0,
        near,
        now,
        _planned_near(whole, index, near),
        KNOWN_PAST_C if sum(bool(v.ramps) for v in past) >= KNOWN else PAST_C,
    )
    turned = _drawn(ramp, belief, aim)
    restless = ramp.heat is not None and np.sum(ramp.heat[:, 0] > 0) >= RESTLESS
    course = _drawn(replace(ramp, heat=None), belief, aim) if restless else turned
    limit = steepest(stage, _from_c(whole, index, ramp)) or 0.0
    return _answer(whole, begin_ms, aim, course, turned, stage.ramp_length_min - now, limit)


def _answer(
    whole: WholeMake,
    begin_ms: int,
    aim: Aim,
    course: SampledRamps,
    turned: SampledRamps,
    left: float,
    limit: float,
) -> Heating:
    """What the draws say: arrival from the one set, turning down from the other."""
    here = float(np.median(turned.here))
    needed = max(aim.target - here, 0.0) / left if left > 0 else np.inf
    arrives = np.sort(course.arrives)[[round(q * (DRAWS - 1)) for q in (0.5, 0.1, 0.9)]]
    at = [_instant(begin_ms, float(m)) for m in arrives]
    turn = _instant(begin_ms, max(turned.down, aim.now))
    coast_c = None if turn is None else float(np.median(turned.coast))
    rate = min(needed, limit)
    late = None if at[0] is None else float(arrives[0] - aim.planned)
    return Heating(
        at[0],
        at[1],
        at[2],
        turn,
        coast_c,
        rate,
        limit,
        aim.target,
        late,
        bool(needed <= limit),
        None if turn is None else turned.down_c,
        turned.early,
    )


def _belief(past: Sequence[Vessel], kind: str) -> Floats:
    """Log chances of losses and lags: what is usual, and what earlier ramps were found to have.

    The lag is the vessel's, give or take each ramp's own fill; whether a hand keeps its rate or
    leaves the heat is a habit of such ramps. Both add up from ramp to ramp.
    """
    near = np.exp(-(np.log(LAGS[:, None] / LAGS[None, :]) ** 2) / 2 / FILLS**2)
    near /= near.sum(axis=1, keepdims=True)
    lag, habits = usual_lags(), np.zeros(3)
    for vessel in past:
        for of, share, taught in vessel.ramps:
            lag = lag * ((1 - STRANGE) * (near @ share) + STRANGE / len(LAGS))
            lag /= lag.sum()
            habits = habits + taught if of == kind else habits
    ahead = (1 - STRANGE) * (lag @ near) + STRANGE * usual_lags()
    habits = np.maximum(habits - habits.max(), -SUREST)
    return belief_of(np.log(HABITS) + habits, ahead)


def _ramps(whole: WholeMake) -> list[int]:
    """Places of the stages that warm by a degree or more while something is heated."""
    parts, out = segments(day_line(whole)), []
    for index, stage in enumerate(whole.plan.stages):
        mine = parts.stage == index
        if stage.target_c is None or not mine.any() or stage.ramp_length_min <= 0:
            continue
        if stage.target_c - parts.y0[mine][0] >= 1.0:
            out.append(index)
    return out


def _from_c(whole: WholeMake, index: int, ramp: Ramp) -> float:
    """The planned °C a ramp begins at."""
    parts = segments(day_line(whole))
    mine = parts.stage == index
    return float(parts.y0[mine][0]) if mine.any() else float(ramp.value[0])


def _ramp(whole: WholeMake, index: int, now_ms: int | None) -> Ramp | None:
    """A ramp's readings until now, or with its coasting when it is over; None without three."""
    begins, end = stage_times(whole)
    if index >= len(begins):
        return None
    zero = whole.make.started_ms
    first = begins[index]
    last = begins[index + 1] + AFTER_MIN if index + 1 < len(begins) else end
    if now_ms is not None:
        last = (now_ms - zero) / 60_000
    stage = whole.plan.stages[index]
    sound = whole.trace("milk-temp").sound()
    trace = _between(sound, zero, first - _held(whole, index, first), last)
    if len(_between(trace, zero, first, last)) < LEAST or len(trace) < 3:
        return None
    rate = ((stage.target_c or 0.0) - float(trace.value[0])) / stage.ramp_length_min
    heat = _heat(whole.trace("heat").sound(), zero, first, last)
    return Ramp(trace.minutes_from(zero) - first, trace.value, max(rate, 0.0), heat)


def _bath(whole: WholeMake, index: int, ramp: Ramp, now: float) -> Floats:
    """How likely a thermometer in the bath makes each lag (11,), log, by a ramp until a minute."""
    zero, first = whole.make.started_ms, stage_times(whole)[0][index]
    trace = whole.trace("bath-temp").sound()
    bath = _between(trace, zero, first + min(float(ramp.minutes[0]), 0.0), first + now)
    if not len(bath):
        return NOTHING
    climb = ramp.minutes <= now
    return bath_lags(
        ramp.minutes[climb], ramp.value[climb], bath.minutes_from(zero) - first, bath.value
    )


def _planned_near(whole: WholeMake, index: int, near: float) -> float:
    """Minutes from a ramp's begin at which the plan comes so near its target."""
    parts = segments(day_line(whole))
    mine = parts.stage == index
    x0, x1, y0, y1 = parts.x0[mine], parts.x1[mine], parts.y0[mine], parts.y1[mine]
    level = (whole.plan.stages[index].target_c or 0.0) - near
    there = np.flatnonzero(y1 >= level - 1e-9)
    if not len(there):
        return float(x1[-1] - x0[0])
    at = int(there[0])
    share = 0.0 if y1[at] <= y0[at] else max(level - y0[at], 0.0) / (y1[at] - y0[at])
    return float(x0[at] + share * (x1[at] - x0[at]) - x0[0])


def _held(whole: WholeMake, index: int, first: float) -> float:
    """For how many of the last minutes before a ramp its first °C was held."""
    parts = segments(day_line(whole))
    mine, hold = parts.stage == index, parts.stage == index - 1
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


def _drawn(ramp: Ramp, belief: Floats, aim: Aim) -> SampledRamps:
    """Courses of the ramp as likely as its readings hold them, and when to turn the heat down."""
    found, _ = ways(ramp, belief)
    share = np.cumsum(np.exp(found.log_weight - found.log_weight.max()))
    rungs = (np.arange(DRAWS) + 0.5) / DRAWS * share[-1]
    which, of = np.unique(np.searchsorted(share, rungs), return_inverse=True)
    rng = np.random.default_rng(SEED)
    coarse = np.arange(FINE_MIN + COARSE_MIN, AHEAD_MIN + COARSE_MIN, COARSE_MIN)
    ahead = aim.now + np.r_[np.arange(0.0, FINE_MIN + STEP_MIN, STEP_MIN), coarse]
    noise = rng.standard_normal((DRAWS, found.mean.shape[1]))
    drawn = which[of]
    factors = found.mean[drawn] + np.einsum("mpq,mq->mp", found.root[drawn], noise)
    temp = np.einsum("mnp,mp->mn", found.columns(ahead, which)[of], factors)
    lag = _coasting_lags(found, drawn, ramp, belief, rng)
    turned = _turned(temp, lag, ahead, aim, rng)
    unlike = rng.lognormal(0, UNFORESEEN, DRAWS)
    return turned._replace(arrives=aim.now + (turned.arrives - aim.now) * unlike)


def _coasting_lags(
    found: RampFits,
    drawn: npt.NDArray[np.intp],
    ramp: Ramp,
    belief: Floats,
    rng: np.random.Generator,
) -> Floats:
    """How long each draw coasts (m,): its own lag, where its climb can tell that.

    A hand that keeps its rate hides most of it, and a bath with a thermostat all but its bounds.
    """
    lag, loss = found.lag[drawn].copy(), found.loss[drawn]
    usual = np.exp(belief[: BATH.start]).sum(axis=0)
    if ramp.heat is None:
        kept = loss == 0
        sure = np.exp(found.log_weight - found.log_weight.max())
        of = np.array([sure[(found.loss == 0) & (found.lag == one)].sum() for one in LAGS])
        prior = np.exp(belief[0] - np.logaddexp.reduce(belief[0]))
        weights = prior * np.maximum(of / np.maximum(prior, 1e-300), 1e-300) ** HINT
        lag[kept] = rng.choice(LAGS, int(kept.sum()), p=weights / weights.sum())
    for slow in LOSSES[BATH]:
        mine = loss == slow
        low, high = (share / slow for share in BATH_SHARE)
        may = np.where(np.abs(LAGS - (low + high) / 2) <= (high - low) / 2, usual, 0.0)
        if mine.any() and may.sum() > 0:
            lag[mine] = rng.choice(LAGS, int(mine.sum()), p=may / may.sum())
    beyond = np.where(lag == LAGS[-1], rng.uniform(1.0, BEYOND, len(lag)), 1.0)
    out: Floats = lag * beyond * rng.lognormal(0, GRID, len(lag))
    return out


def _turned(
    temp: Floats, lag: Floats, ahead: Floats, aim: Aim, rng: np.random.Generator
) -> SampledRamps:
    """Courses (m, n) whose heat is turned down at one moment, and coasting from there, each by
    its own lag (m,): where the middle one comes to the target, or sooner where too many would
    come too far past it."""
    rate = np.maximum(np.gradient(temp, ahead, axis=1), 0.0)
    ends = temp + lag[:, None] * rate
    middle = float(np.median(_first(ends >= aim.target, ahead)))
    most = aim.target + np.where(lag < SLOW_MIN, *aim.past_c)
    safe = float(np.quantile(_first(ends >= most[:, None], ahead), RISK, method="lower"))
    down = max(min(middle, safe) - HAND_MIN, aim.now)
    if not np.isfinite(down):
        level = aim.target - aim.near + STRAYS_C * rng.standard_normal(len(lag))
        near = _first(temp >= level[:, None], ahead)
        return SampledRamps(temp[:, 0], near, np.inf, np.nan, lag * rate[:, 0], False)
    turning = down  # said half a minute before, and done about half a minute after
    sure = float(np.median(ends[:, int(np.searchsorted(ahead, min(turning, ahead[-1])))]))
    half, most_lag = np.quantile(lag, [0.5, 0.9])
    early = sure < aim.target - EARLY_C and most_lag > VAGUE * half
    early |= float(np.mean(lag >= LAGS[-1])) > EDGE
    # Readings to come will bring the moment nearer to each draw's own.
    own = np.clip(
        _first(ends >= aim.target, ahead), turning, turning + LEARNS * (turning - aim.now)
    )
    arrives = _arrives(temp, rate, lag, ahead, own, aim, rng)
    index = int(np.searchsorted(ahead, min(turning, ahead[-1])))
    here, rise = temp[:, index], lag * rate[:, index]
    return SampledRamps(temp[:, 0], arrives, down, float(np.median(here)), rise, bool(early))


def _arrives(
    temp: Floats,
    rate: Floats,
    lag: Floats,
    ahead: Floats,
    down: Floats,
    aim: Aim,
    rng: np.random.Generator,
) -> Floats:
    """When each course (m, n) comes near its target, turned down at its own moment (m,): on its
    way, coasting, or by a second heating where it stops short."""
    index = np.minimum(np.searchsorted(ahead, down), len(ahead) - 1)
    row = np.arange(len(lag))
    here, climbs = temp[row, index], rate[row, index]
    level = aim.target - aim.near + STRAYS_C * rng.standard_normal(len(lag))
    near = _first((temp >= level[:, None]) & (ahead <= ahead[index][:, None]), ahead)
    coasts = rng.lognormal(np.log(COASTS), COASTS_SPREAD, len(lag))
    short, rise = level - here, coasts * lag * climbs
    with np.errstate(divide="ignore", invalid="ignore"):
        coasting = ahead[index] - lag * np.log1p(-short / rise)
    missed = np.maximum(short - rise, 0.0) / np.maximum(climbs, SLOWEST)
    rests = AGAIN_MIN + AGAIN_LAGS * lag + AGAIN_TIMES * missed
    again = ahead[index] + rests * rng.lognormal(0, AGAIN_SPREAD, len(lag))
    found = np.where(np.isfinite(near), near, np.where(rise > short, coasting, again))
    out: Floats = np.maximum(found + STRAYS_MIN * rng.standard_normal(len(lag)), aim.now)
    return out


def _first(there: npt.NDArray[np.bool_], ahead: Floats) -> Floats:
    """When each row is first true, inf for never."""
    return np.where(there.any(axis=1), ahead[there.argmax(axis=1)], np.inf)


def _instant(begin_ms: int, minutes: float) -> int | None:
    return begin_ms + round(minutes * 60_000) if np.isfinite(minutes) else None
