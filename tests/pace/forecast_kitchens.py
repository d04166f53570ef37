"""Kitchens for the forecast's proof whose world is not the model's: no code and no prior of it.

A culture grows by Ratkowsky's square root in temperature after Baranyi's lag, makes lactic acid
as it grows and while it lives, until its sugar is used up or its own acid stops it; pH follows from
how milk buffers, most strongly near 5.2 (Mistry & Kosikowski 1985). Curd cools by two rates of its
own, the vat swings about what the plan wants, stages run late, meters drift, nights have no
reading. The constants are from memory. Only one is set by the model, because the promise is made in
its terms: a kitchen of pace 1 has half of its fall behind it when the prior's middle says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from journal.curves.acidity import AcidFit, forecast
from journal.curves.until import whole_until
from journal.records.makes import Make, Milk, StageRun
from journal.records.plan_text import builtin_plan
from journal.records.plans import Plan
from journal.records.traces import Trace
from journal.records.whole import WholeMake

START_MS = 1_760_000_000_000
HOURS = 60  # how long a make is followed
PACES = (0.6, 2.0)  # of the prior's
GRID = np.arange(0.0, HOURS * 60.0)


@dataclass(frozen=True)
class Kind:
    """A kind of cheese: its plan, its culture in this world, and where its acid ends.

    `coldest`, `hottest` °C and `steep` are Ratkowsky's; `half_min` minutes at the best temperature
    to half of the fall at pace 1; `ends` where the pH of its kitchens ends, by sugar that is used
    up (pressed curd) or, where it `sours_itself`, by acid that stops the culture, ever more slowly
    (milk with sugar enough: University of Guelph, Fig. 3.1).
    """

    plan: str
    coldest: float
    hottest: float
    steep: float
    half_min: float
    ends: tuple[float, float]
    sours_itself: bool = False


MESOPHILIC = (3.0, 41.5, 0.35)
THERMOPHILIC = (14.0, 53.0, 0.30)
# Ends: cheddar 4.9 to 5.1 at 14 days, gouda 5.15 to 5.25 into the brine, camembert 4.6 to 4.9 and
# falling, feta 4.4 (University of Guelph), swiss 5.0 to 5.15 (J. Dairy Sci., abstract), each a
# little wider; lactic about 4.4, common practice.
KINDS = {
    "hard": Kind("cheddar type", *MESOPHILIC, 230.0, (4.85, 5.15)),
    "washed": Kind("washed-curd type", *MESOPHILIC, 230.0, (5.0, 5.22)),
    "soft": Kind("camembert type", *MESOPHILIC, 230.0, (4.4, 4.7), sours_itself=True),
    "brined": Kind("brined white", *MESOPHILIC, 230.0, (4.3, 4.55), sours_itself=True),
    "lactic": Kind("lactic", *MESOPHILIC, 230.0, (4.2, 4.45), sours_itself=True),
    "alpine": Kind("alpine type", *THERMOPHILIC, 180.0, (4.98, 5.14)),
}


@dataclass(frozen=True)
class Lived:
    """A make with its truth: `whole` has all that was read, `ph` the curd's pH minute by minute."""

    kind: str
    pace: float
    whole: WholeMake
    ph: np.ndarray
    culture_min: float

    def passes(self, level: float) -> float:
        """Minutes from the start at which the curd truly passes a level, inf for never."""
        below = np.flatnonzero((self.ph <= level) & (self.culture_min < GRID))
        return float(GRID[below[0]]) if len(below) else np.inf

    def ph_minutes(self) -> np.ndarray:
        """When pH was read, minutes from the start, ascending."""
        kinds = ("milk-ph", "curd-ph", "whey-ph")
        return np.sort(np.concatenate([self.whole.trace(k).minutes_from(START_MS) for k in kinds]))


def kitchen(seed: int, kind: str, makes: int, pace: float | None = None) -> list[Lived]:
    """Makes of one kitchen, whose pace is its own and differs by some 8 % from make to make."""
    rng = np.random.default_rng([seed, 4001])
    own = float(np.exp(rng.uniform(*np.log(PACES)))) if pace is None else pace
    habits = _Habits(rng, KINDS[kind])
    return [_lived(rng, kind, habits, own * np.exp(rng.normal(0, 0.08))) for _ in range(makes)]


class _Habits:
    """What stays the same in a kitchen: milk, buffering, lag, meter, room, how it reads."""

    def __init__(self, rng: np.random.Generator, kind: Kind) -> None:
        self.fresh_ph = rng.normal(6.62, 0.04)
        self.buffer = np.exp(rng.normal(0.0, 0.10))
        self.lag_min = rng.uniform(15, 70)
        self.end_ph = rng.uniform(*kind.ends)
        self.alive = rng.uniform(0.25, 0.6)  # share of the acid made without growth, at full growth
        self.room_c = rng.normal(19.5, 2.0)
        self.off_c = rng.normal(0.0, 0.5)
        self.every_min = rng.uniform(15, 40)
        self.reads_whey = rng.random() < 0.35
        self.whey_above = rng.uniform(0.1, 0.2)
        self.noise = rng.uniform(0.01, 0.03)
        self.drift = rng.uniform(0.0, 0.02)


def _lived(rng: np.random.Generator, kind: str, habits: _Habits, pace: float) -> Lived:
    one = KINDS[kind]
    plan = builtin_plan(one.plan)
    begins = _begins(rng, plan)
    dosed = next(i for i, s in enumerate(plan.stages) if any(d.kind == "culture" for d in s.doses))
    warmth = _warmth(rng, plan, begins, habits)
    culture_min = begins[dosed]
    ph = _course(one, habits, pace, warmth, culture_min, rng)
    whole = _whole(rng, plan, begins, warmth, ph, culture_min, habits)
    return Lived(kind, pace, whole, ph, culture_min)


def _begins(rng: np.random.Generator, plan: Plan) -> list[float]:
    out = [0.0]
    for stage in plan.stages:
        longer = np.exp(rng.normal(0.06, 0.12)) if stage.minutes < 600 else 1.0
        out.append(out[-1] + round(stage.minutes * longer))
    return out


def _warmth(
    rng: np.random.Generator, plan: Plan, begins: list[float], habits: _Habits
) -> np.ndarray:
    """°C of milk or curd, minute by minute."""
    out, now, deep = np.empty(len(GRID)), plan.milk_c, plan.milk_c
    swing, period, phase = rng.uniform(0.1, 0.7), rng.uniform(25, 90), rng.uniform(0, 6)
    mould = next(i for i, s in enumerate(plan.stages) if s.kind in ("mould", "drain", "press"))
    kg = plan.milk_l * plan.yield_pct / 100
    skin = 40 * kg ** (2 / 3) * rng.uniform(0.8, 1.3)  # minutes; the heart follows the skin slower
    for i, minute in enumerate(GRID):
        place = int(np.searchsorted(begins, minute, side="right")) - 1
        stage = plan.stages[place] if place < len(plan.stages) else None
        if stage is not None and stage.target_c is not None:
            wants = _wanted(plan, place, minute - begins[place], now)
            now += (wants + habits.off_c - now) / (4 if place < mould else 60)
            deep += (now - deep) / (4 if place < mould else 90)
        else:
            slow = 6 * skin if place < mould else skin
            now += (habits.room_c - now) / (3 * slow) + (deep - now) / slow
            deep += (now - deep) / (2 * slow)
        out[i] = (now + deep) / 2
    return out + swing * np.sin(GRID / period * 6.28 + phase)


def _wanted(plan: Plan, place: int, minutes: float, now: float) -> float:
    """What the plan wants so far into a stage; a ramp goes from where the stage before ended."""
    stage, before = plan.stages[place], None
    for earlier in plan.stages[:place]:
        before = earlier.target_c if earlier.target_c is not None else before
    begins_c = plan.milk_c if before is None else before
    gone = min(minutes / max(stage.ramp_length_min, 1e-9), 1.0)
    target = now if stage.target_c is None else stage.target_c
    return float(begins_c + (target - begins_c) * gone)


def _rate(kind: Kind, warmth: np.ndarray) -> np.ndarray:
    """Growth by Ratkowsky's square root, 1 at its best."""

    def root(c: np.ndarray) -> np.ndarray:
        low, high = np.maximum(c - kind.coldest, 0), np.minimum(c - kind.hottest, 0)
        return np.asarray(low * (1 - np.exp(kind.steep * high)))

    best = root(np.linspace(kind.coldest, kind.hottest, 400)).max()
    return np.asarray((root(warmth) / best) ** 2)


def _acid_to_ph(habits_buffer: float, fresh: float) -> tuple[np.ndarray, np.ndarray]:
    """Lactic acid, %, that brings milk down to a pH: its buffering added up."""
    ph = np.linspace(fresh, 3.9, 600)
    strength = 0.17 + 0.13 * np.exp(-(((ph - 5.2) / 0.45) ** 2)) + 0.10 * (ph < 4.3) * (4.3 - ph)
    acid = np.r_[0.0, np.cumsum((strength[1:] + strength[:-1]) / 2 * -np.diff(ph))]
    return acid * habits_buffer, ph


def _grown(
    habits: _Habits, speed: float, rate: np.ndarray, sugar: float, stops: float, lag_min: float
) -> np.ndarray:
    """Lactic acid, %, minute by minute from the culture on."""
    mass, ready, acid, out = 0.01, 1 / (np.exp(speed * lag_min) - 1 + 1e-9), 0.0, []
    for pace in rate:
        out.append(acid)
        room, left = max(1 - acid / stops, 0.0), max(sugar - acid, 0.0)
        left /= left + 0.03
        grows = speed * pace * ready / (1 + ready) * mass * max(1 - mass, 0.0) * room * left
        ready += speed * pace * ready if ready < 1e6 else 0.0
        lives = habits.alive * speed * pace * mass * 0.25 * room
        mass += grows
        acid += (0.45 * (1 - habits.alive) * grows + lives) * left
    return np.array(out)


def _speed(kind: Kind, habits: _Habits, pace: float) -> float:
    """The growth at its best, a minute, that has half of the fall done in the promised time."""
    low, high, due = 0.002, 0.2, kind.half_min / pace
    acids, phs = _acid_to_ph(habits.buffer, habits.fresh_ph)
    level = (habits.fresh_ph + habits.end_ph) / 2
    for _ in range(18):
        speed = float(np.sqrt(low * high))
        acid = _grown(habits, speed, np.ones(int(due) + 2), *_limits(kind, habits), habits.lag_min)
        reached = np.interp(acid[-1], acids, phs) < level
        low, high = (low, speed) if reached else (speed, high)
    return speed


def _limits(kind: Kind, habits: _Habits) -> tuple[float, float]:
    """The acid, %, that the sugar makes, and that stops the culture."""
    acids, phs = _acid_to_ph(habits.buffer, habits.fresh_ph)
    end = float(np.interp(-habits.end_ph, -phs, acids))
    return (2 * end, end) if kind.sours_itself else (end, 0.7)


def _course(
    kind: Kind,
    habits: _Habits,
    pace: float,
    warmth: np.ndarray,
    culture_min: float,
    rng: np.random.Generator,
) -> np.ndarray:
    speed = _speed(kind, habits, pace)
    first = int(culture_min)
    rate, (sugar, stops) = _rate(kind, warmth[first:]), _limits(kind, habits)
    lag_min = habits.lag_min * np.exp(rng.normal(0, 0.2))
    acid = _grown(habits, speed, rate, sugar * np.exp(rng.normal(0, 0.03)), stops, lag_min)
    acids, phs = _acid_to_ph(habits.buffer, habits.fresh_ph + rng.normal(0, 0.015))
    return np.r_[np.full(first, phs[0]), np.interp(acid, acids, phs)]


def _whole(
    rng: np.random.Generator,
    plan: Plan,
    begins: list[float],
    warmth: np.ndarray,
    ph: np.ndarray,
    culture_min: float,
    habits: _Habits,
) -> WholeMake:
    stages = plan.stages
    cut = begins[next(i for i, s in enumerate(stages) if s.kind in ("cut", "mould"))]
    away = begins[next(i for i, s in enumerate(stages) if s.kind in ("mould", "press"))]
    at, minute = [], culture_min
    while minute < HOURS * 60 - 60:
        if rng.random() > 0.08:
            at.append(minute)
        vat = minute < away and plan.minutes - away < 3000 and away < 720
        minute += habits.every_min * rng.uniform(0.7, 1.6) * (1 if vat else 4)
    at = np.array([m for m in at if (m / 60) % 24 < 14])  # no reading at night
    wander = np.cumsum(rng.normal(0, habits.drift, len(at)) * np.sqrt(np.diff(at, prepend=0) / 60))
    read = np.interp(at, GRID, ph) + wander + rng.normal(0, habits.noise, len(at))
    kinds = np.where(at < cut, "milk-ph", "curd-ph").astype(object)
    if habits.reads_whey:
        kinds[(at >= cut) & (at < away)] = "whey-ph"
        apart = habits.whey_above * np.clip((ph[0] - np.interp(at, GRID, ph)) / 0.25, 0, 1)
        read += apart * (kinds == "whey-ph")
    traces = {
        kind: _trace(kind, at[kinds == kind], np.round(read[kinds == kind], 2))
        for kind in ("milk-ph", "curd-ph", "whey-ph")
    }
    warm = np.arange(2.0, min(away, 720), rng.uniform(4, 12))
    shown = np.interp(warm, GRID, warmth) + rng.normal(0, 0.15, len(warm))
    traces["milk-temp"] = _trace("milk-temp", warm, np.round(shown, 1))
    runs = tuple(
        StageRun(1, i + 1, s.kind, _ms(begins[i]), _ms(begins[i + 1]), _ms(begins[i]),
                 _ms(begins[i + 1]))
        for i, s in enumerate(stages)
    )  # fmt: skip
    make = Make("HL-0001", 1, Milk(plan.milk_l), START_MS)
    return WholeMake(make, replace(plan, id=1), runs, traces=traces)


def _trace(kind: str, minutes: np.ndarray, value: np.ndarray) -> Trace:
    at = START_MS + np.round(minutes * 60_000).astype(np.int64)
    return Trace(kind, at, np.asarray(value, float), np.zeros(len(at), np.uint8))


def _ms(minutes: float) -> int:
    return START_MS + round(minutes * 60_000)


FALLEN_PH = 0.2  # from the first reading: from there on the ranges are held to their promise


@dataclass(frozen=True)
class Asked:
    """One forecast of one level: whether the range held what came, and how far the middle was off
    (minutes, inf where one of the two is never)."""

    kind: str
    pace: float
    ph: float
    first: bool  # at the first reading that has fallen
    held: bool
    early: bool  # before the middle
    off_min: float
    wide_min: float
    chance: float
    comes: bool


def levels(plan: Plan) -> list[float]:
    """The middles of the plan's acid targets of curd."""
    acid_targets = [
        s.acid_target
        for s in plan.stages
        if s.acid_target is not None and s.acid_target.kind == "curd-ph"
    ]
    return [(g.low + g.high) / 2 for g in acid_targets]


def asked_of(made: Lived, past: Sequence[AcidFit] = ()) -> list[Asked]:
    """Each acid target's level still to come, at the first reading that has fallen and midway to
    it."""
    kinds = ("milk-ph", "curd-ph", "whey-ph")
    traces = [made.whole.trace(kind) for kind in kinds]
    at = np.concatenate([t.minutes_from(START_MS) for t in traces])
    read = np.concatenate([t.value for t in traces])[np.argsort(at)]
    at = np.sort(at)
    fallen = at[read <= read[0] - FALLEN_PH]
    out: list[Asked] = []
    for level in levels(made.whole.plan):
        comes = made.passes(level)
        before = [m for m in fallen if m < min(comes, HOURS * 60 / 2)]
        for minute in {before[0], before[len(before) // 2]} if len(before) else ():
            whole = whole_until(made.whole, _ms(float(minute)))
            found = forecast(whole, level, past=past)
            low, mid, high = (
                np.inf if ms is None else (ms - START_MS) / 60_000
                for ms in (found.low_at_ms, found.reached_at_ms, found.high_at_ms)
            )
            off = 0.0 if mid == comes else abs(mid - comes)
            out.append(
                Asked(
                    made.kind,
                    made.pace,
                    level,
                    minute == before[0],
                    low <= comes <= high,
                    comes < mid,
                    off,
                    high - low if np.isfinite(high) else np.inf,
                    found.chance,
                    bool(np.isfinite(comes)),
                )
            )
    return out
