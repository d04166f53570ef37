"""Kitchens of three nodes (bath or base, wall, milk) that follow the ramp's advice to its end.

What heats is a burner in steps or a bath with a thermostat, the lid is lifted now and then, the
thermometer lags, and the fill differs from make to make. Nothing here is calculated with the
journal's own curves: the vessel is a matrix, stepped exactly, and the advice alone is theirs.
Sizes, losses and delays are from memory, as the kitchens' spread is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from journal.curves.heating import Heating, Vessel, heating, vessel_of
from journal.records.makes import Make, Milk, StageRun
from journal.records.plans import Plan, Stage
from journal.records.traces import Trace
from journal.records.whole import WholeMake

START_MS = 1_760_000_000_000
BEGIN_MIN = 60.0  # when the cook begins, minutes from the start
TICK_MIN = 0.1  # of the vessel's own clock
PARTS = 1024  # of a tick, for its exponential
SOON_MIN = 0.5  # so long before its moment the vat's page says "now"
ASKED_FROM = 0.25  # of the rise: from here on the maker asks
AFTER_MIN = 75.0  # followed after the heat was turned down
DONE_MIN, DONE_C = 6.0, 0.05  # a rise so small over so long: the coasting is over
WARM_C = 0.1  # above the target the maker holds it by a little less
SHORT_C = 0.35  # below the target by more than this the maker warms a second time
AGAIN = 0.5  # of the time that the rate before would take: a second heating is a small one
BATH, WALL, MILK, SHOWN = range(4)


@dataclass(frozen=True)
class Kitchen:
    """A vessel, what heats it, and how it is read. Capacities are in parts of the milk's."""

    delay_min: float  # °C the milk coasts for each °C/min it climbs by
    bath: float
    wall: float
    wall_share: float  # of the resistance: between wall and milk
    loss: float  # of the milk, a minute
    bath_loss: float
    full_rate: float  # °C/min of milk, wall and bath at full heat
    steps: int  # of the burner
    thermostat: bool
    band_c: float  # either side of what the thermostat is set to
    shown_lag_min: float
    read_sd: float
    follows: bool  # the hand moves the burner a step when the milk strays from the plan
    lid: float  # what a lifted lid loses besides, a minute
    start_c: float
    rise_c: float
    rate: float  # the plan's
    every_min: float = 1.0
    logged: bool = False
    bath_read: bool = False  # by a thermometer of its own, each time that the milk is

    @cached_property
    def resistance(self) -> tuple[float, float]:
        """Bath to wall and wall to milk, for each part of the milk's capacity."""
        b, w, all_of = self.bath, self.wall, self.bath + self.wall + 1
        near, far = self.wall_share, 1 - self.wall_share
        unit = (b * far * (w + 1) + (b + w) * near) / all_of
        whole = self.delay_min / unit
        return whole * far, whole * near

    def steps_of(self, lid: float) -> tuple[np.ndarray, np.ndarray]:
        """What one tick does to the nodes, and what heat and room add in it."""
        to_wall, to_milk = (1 / r for r in self.resistance)
        b, w, loss = self.bath, self.wall, self.loss + lid
        a = np.zeros((6, 6))  # the nodes, then heat and room, which stay
        a[BATH, [BATH, WALL]] = -(to_wall / b + self.bath_loss), to_wall / b
        a[WALL, [BATH, WALL, MILK]] = to_wall / w, -(to_wall + to_milk) / w, to_milk / w
        a[MILK, [WALL, MILK]] = to_milk, -(to_milk + loss)
        a[SHOWN, [MILK, SHOWN]] = 1 / self.shown_lag_min, -1 / self.shown_lag_min
        a[BATH, 4] = self.full_rate * (b + w + 1) / b
        a[BATH, 5], a[MILK, 5] = self.bath_loss, loss
        part = a * TICK_MIN / PARTS
        gone = np.linalg.matrix_power(np.eye(6) + part + part @ part / 2, PARTS)
        return gone[:4, :4], gone[:4, 4:]


def kitchen_of(rng: np.random.Generator, low: float, high: float, **how: object) -> Kitchen:
    """A kitchen whose delay lies between `low` and `high`: a thin base lags little, a bath much."""
    delay = float(rng.uniform(low, high))
    bath = float(np.exp(rng.uniform(np.log(0.05 * delay), np.log(min(0.35 * delay, 2.5)))))
    place = Kitchen(
        delay_min=delay,
        bath=max(bath, 0.04),
        wall=float(rng.uniform(0.01, 0.08)),
        wall_share=float(rng.uniform(0.2, 0.8)),
        loss=float(rng.uniform(0.0015, 0.006)),
        bath_loss=float(rng.uniform(0.0005, 0.004)),
        full_rate=float(rng.uniform(0.5, 1.1)),
        steps=int(rng.integers(8, 21)),
        thermostat=False,
        band_c=float(rng.uniform(0.3, 1.0)),
        shown_lag_min=float(rng.uniform(10, 40)) / 60,
        read_sd=float(rng.uniform(0.03, 0.08)),
        follows=bool(rng.random() < 0.5),
        lid=float(rng.uniform(0.003, 0.012)),
        start_c=float(rng.uniform(30, 32)),
        rise_c=float(rng.uniform(5.5, 10)),
        rate=float(rng.uniform(0.14, 0.3)),
    )
    return replace(place, **how)


@dataclass
class Cook:
    """One cook: what the journal held, what was said, and what came. Minutes from the start."""

    output: list[tuple[float, Heating]] = field(default_factory=list)
    down_min: float = np.inf
    arrived_min: float = np.inf
    past_c: float = 0.0  # highest °C of the milk, less its target, until a second heating
    with_again_c: float = 0.0  # the same with what came of a second heating
    warmed_again: int = 0
    whole: WholeMake | None = None


class _Run:
    """A cook under way."""

    def __init__(self, rng: np.random.Generator, place: Kitchen) -> None:
        self.rng = rng
        fill = float(rng.lognormal(0, 0.08))
        self.place = place = replace(
            place,
            delay_min=place.delay_min * fill,
            full_rate=place.full_rate / fill,
            rate=place.rate * float(rng.uniform(0.95, 1.05)),
        )
        self.room = float(rng.normal(20, 2))
        self.target = round(place.start_c + place.rise_c, 1)
        self.plan = _plan(place, self.target)
        self.open, self.shut = place.steps_of(place.lid), place.steps_of(0.0)
        self.now = BEGIN_MIN - 30.0
        self.nodes = self._settled(place.start_c)
        self.heat, self.on = self.holding(place.start_c), False
        self.set_c = float(self.nodes[BATH])
        self.minutes: list[float] = []
        self.milk: list[float] = []
        self.shown: list[float] = []
        self.log: list[tuple[float, float]] = [(0.0, self._knob())]
        self.lifts = [
            (at, at + float(rng.uniform(1, 4)))
            for at in np.sort(rng.uniform(BEGIN_MIN, BEGIN_MIN + 60, rng.integers(1, 5)))
        ]
        self.phase = float(rng.uniform(0, place.every_min))
        self.noise = rng.normal(0, place.read_sd, 2000)
        own = np.random.default_rng(int(1e9 * abs(self.noise[0])))  # the rest stays as without it
        self.bath_noise = own.normal(0, place.read_sd, 2000)
        self.baths: list[float] = []

    def holding(self, milk_c: float) -> float:
        """The share of full heat that holds the milk, the vessel settled."""
        place, to_bath = self.place, sum(self.place.resistance)
        out = place.loss * (milk_c - self.room)
        bath_c = milk_c + out * to_bath
        lost = out + place.bath * place.bath_loss * (bath_c - self.room)
        return lost / (place.full_rate * (place.bath + place.wall + 1))

    def _settled(self, milk_c: float) -> np.ndarray:
        to_wall, to_milk = self.place.resistance
        out = self.place.loss * (milk_c - self.room)
        wall = milk_c + out * to_milk
        return np.array([wall + out * to_wall, wall, milk_c, milk_c])

    def _knob(self) -> float:
        """What a maker would log: percent of the burner, or of the thermostat's scale."""
        if self.place.thermostat:
            return round(100 * (self.set_c - 20) / 60, 1)
        return round(100 * self.heat, 1)

    def turn(self, heat: float) -> None:
        """Set the heat (share of full heat), or what the thermostat is set to (°C)."""
        if self.place.thermostat:
            self.set_c = heat
        else:
            self.heat = heat
        self.log.append((self.now, self._knob()))

    def go_on(self, until: float) -> None:
        """Let the vessel be until then."""
        while self.now < until - TICK_MIN / 2:
            lid = any(a <= self.now < b for a, b in self.lifts)
            save, give = self.open if lid else self.shut
            self.nodes = save @ self.nodes + give @ np.array([self._power(), self.room])
            self.now += TICK_MIN
            self.minutes.append(self.now)
            self.milk.append(float(self.nodes[MILK]))
            self.shown.append(float(self.nodes[SHOWN]))
            self.baths.append(float(self.nodes[BATH]))

    def _power(self) -> float:
        if not self.place.thermostat:
            return self.heat
        off = self.nodes[BATH] - self.set_c
        self.on = off < -self.place.band_c or (self.on and off < self.place.band_c)
        return float(self.on)

    def readings(self) -> tuple[np.ndarray, np.ndarray]:
        """What was read so far."""
        every = self.place.every_min
        at = np.arange(BEGIN_MIN - 29 + self.phase, self.now + 1e-6, every)
        value = np.interp(at, self.minutes, self.shown) + self.noise[: len(at)]
        return at, np.round(value, 1)

    def whole(self, ended: float | None = None) -> WholeMake:
        """The make as the journal holds it."""
        at, value = self.readings()
        traces = {"milk-temp": _trace("milk-temp", at, value)}
        if self.place.bath_read:
            read = np.interp(at, self.minutes, self.baths) + self.bath_noise[: len(at)]
            traces["bath-temp"] = _trace("bath-temp", at, np.round(read, 1))
        if self.place.logged:
            when, heat = np.array(self.log).T
            traces["heat"] = _trace("heat", when, heat)
        make = Make("HL-0001", 1, Milk(12.0), START_MS)
        return WholeMake(make, self.plan, _runs(self.plan, ended), traces=traces)

    def begin(self) -> None:
        """Turn the heat up, sometime about the begin of the stage."""
        self.go_on(BEGIN_MIN + float(self.rng.uniform(0, 1)))
        place = self.place
        if place.thermostat:
            self.turn(self._set_for_the_plan())
            return
        hold = self.holding(place.start_c)
        wanted = hold + place.rate * float(self.rng.lognormal(0.05, 0.12)) / place.full_rate
        self.turn(min(np.ceil(wanted * place.steps), place.steps) / place.steps)

    def _set_for_the_plan(self) -> float:
        """What brings the milk to its target in about the plan's time, if nobody turns it."""
        time = self.place.rise_c / self.place.rate
        slow = sum(self.place.resistance)  # minutes in which the milk comes to its bath
        share = 1 - np.exp(-max(time - 4.0, 5.0) / slow)
        above = self.place.rise_c / share * float(self.rng.lognormal(0.05, 0.08))
        return round(min(self.place.start_c + max(above, self.place.rise_c + 3.0), 80.0), 0)

    def less(self, hold: float) -> float:
        """What a maker holds it by who finds it a little too warm."""
        return hold - 0.3 if self.place.thermostat else 0.9 * hold

    def hold(self) -> float:
        """What a maker turns the heat down to: about what holds the target."""
        if self.place.thermostat:
            bath = self._settled(self.target)[BATH]
            return float(bath + self.rng.normal(0, 0.3))
        return self.holding(self.target) * float(1 + 0.1 * self.rng.normal())


def cook(rng: np.random.Generator, place: Kitchen, past: Sequence[Vessel] = ()) -> Cook:
    """A cook whose heat is turned down when the journal says so, a hand's time later."""
    run, out = _Run(rng, place), Cook()
    run.begin()
    moves = 0
    while run.now < BEGIN_MIN + 180 and not np.isfinite(out.down_min):
        at, value = run.readings()
        coming = at[-1] + place.every_min
        if value[-3:].mean() >= run.place.start_c + ASKED_FROM * run.place.rise_c:
            found = heating(run.whole(), START_MS + round(run.now * 60_000), past)
            if found is not None:
                out.output.append((run.now, found))
                due = _due(found)
                if due < coming:
                    run.go_on(max(due, run.now) + float(rng.uniform(0.05, 1.0)))
                    out.down_min = run.now
                    break
        if moves < 2 and run.place.follows and run.now > BEGIN_MIN + 9 * (moves + 1):
            moves += _follow(run, value)
        run.go_on(coming + TICK_MIN)
    _coast(run, out)
    return _report(run, out)


def _due(found: Heating) -> float:
    if found.turn_down_ms is None:
        return np.inf
    return (found.turn_down_ms - START_MS) / 60_000 - SOON_MIN


def _follow(run: _Run, value: np.ndarray) -> int:
    """Move the burner a step when the milk strays from the plan; whether it was moved."""
    if run.place.thermostat:
        return 0
    planned = run.place.start_c + run.place.rate * (run.now - BEGIN_MIN)
    off = planned - value[-3:].mean()
    if abs(off) < 0.6:
        return 0
    step = 1 / run.place.steps
    run.turn(float(np.clip(run.heat + np.sign(off) * step, 0, 1)))
    return 1


def _coast(run: _Run, out: Cook) -> None:
    """Turned down, it coasts; where that ends short of the target the maker warms a second time,
    for part of the time that the rate before would take."""
    if not np.isfinite(out.down_min):
        return
    climbing, begun = run.set_c if run.place.thermostat else run.heat, run.now
    at, value = run.readings()
    rate = max(np.polyfit(at[-8:], value[-8:], 1)[0], 0.05)
    hold = run.hold()
    run.turn(hold)
    looks = max(DONE_MIN, 3 * run.place.every_min)
    rests, coasted = run.now + looks, 0.0
    while run.now < begun + AFTER_MIN:
        run.go_on(run.now + run.place.every_min)
        at, value = run.readings()
        late, before = value[at > run.now - looks / 2], value[at <= run.now - looks / 2]
        recent = before[at[: len(before)] > run.now - looks]
        if run.now < rests or not len(late) or not len(recent):
            continue
        if late.mean() - recent.mean() > DONE_C:
            continue
        if late.mean() > run.target + WARM_C:
            hold = run.less(hold)
            run.turn(hold)
            rests = run.now + looks
        if run.target - late.mean() < SHORT_C:
            continue
        if not out.warmed_again:
            coasted = run.now - begun
            out.past_c = max(run.milk[_index(run, out.down_min) :]) - run.target
        out.warmed_again += 1
        run.turn(climbing)
        run.go_on(run.now + AGAIN * (run.target - late.mean()) / rate)
        run.turn(hold)
        rests = run.now + max(coasted, looks)


def _index(run: _Run, minute: float) -> int:
    return int(np.searchsorted(run.minutes, minute))


def _report(run: _Run, out: Cook) -> Cook:
    begin = _index(run, BEGIN_MIN)
    milk, shown = np.array(run.milk[begin:]), np.array(run.shown[begin:])
    minutes = np.array(run.minutes[begin:])
    there = np.flatnonzero(shown >= run.target - 0.5)
    if len(there):
        out.arrived_min = float(minutes[there[0]])
    out.with_again_c = float(milk.max() - run.target)
    if not out.warmed_again:
        out.past_c = out.with_again_c
    ended = min(out.arrived_min + 2.0, out.down_min + 30.0)
    out.whole = run.whole(ended if np.isfinite(ended) else run.now)
    return out


def _plan(place: Kitchen, target: float) -> Plan:
    long = round(place.rise_c / place.rate)
    stages = (
        Stage("ripen", BEGIN_MIN, target_c=round(place.start_c, 1), ramp_min=0),
        Stage("cook", long, target_c=target),
        Stage("pitch", 60, target_c=target, ramp_min=0),
    )
    return Plan("Cooked", stages, milk_c=round(place.start_c, 1))


def _trace(kind: str, minutes: np.ndarray, value: np.ndarray) -> Trace:
    at = START_MS + np.round(np.asarray(minutes) * 60_000).astype(np.int64)
    return Trace(kind, at, np.asarray(value, float), np.zeros(len(at), np.uint8))


def _runs(plan: Plan, ended: float | None) -> tuple[StageRun, ...]:
    began = (0.0, BEGIN_MIN, ended)
    over = (BEGIN_MIN, ended, None)
    out = []
    for i, (stage, start) in enumerate(zip(plan.stages, plan.starts(), strict=True)):
        edges = (start, start + stage.minutes, began[i], over[i])
        ms = [None if m is None else START_MS + round(m * 60_000) for m in edges]
        out.append(StageRun(1, i, stage.kind, *ms))
    return tuple(out)


def own_makes(rng: np.random.Generator, place: Kitchen, count: int) -> list[Cook]:
    """The first so many makes of a kitchen, each leaning on those before it."""
    past: list[Vessel] = []
    out = []
    for _ in range(count):
        out.append(cook(rng, place, past))
        past = [vessel_of(out[-1].whole), *past]
    return out
