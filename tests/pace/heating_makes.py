"""Cooks in the sample's vat that follow the journal's advice, for the proof of the heating."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from journal.curves.heating import NEAR, Heating, Vessel, heating
from journal.records.makes import Make, Milk, StageRun
from journal.records.plans import Plan
from journal.records.traces import Trace
from journal.records.whole import WholeMake
from journal.sample.design import Version
from journal.sample.hand import Hand
from journal.sample.plans import plan_of
from journal.sample.vat import Vat, full

START_MS = 1_760_000_000_000
BEGIN_MIN = 150.0  # when the cook begins, minutes from the make's start
COAST_MIN = 15.0  # after the heat was turned down: how high the milk rises
SOON_MIN = 1.5  # before the heat is to be turned down the thermometer is read once more
LOOK_MIN = 2.5  # how often the sample's hand looks


@dataclass(frozen=True)
class Kitchen:
    """A vat, the way its cooks are heated and read."""

    lag_min: float
    loss: float
    restless: bool  # the sample's own hand, which corrects the heat every few minutes
    heat_logged: bool
    every_min: float  # between two readings
    read_sd: float


@dataclass(frozen=True)
class Cook:
    """A cook that is over: what the journal held, what was said when, and what came."""

    whole: WholeMake
    output: tuple[tuple[float, Heating | None], ...]  # minutes from the start
    arrived_min: float
    halfway_min: float
    coasted_c: float  # highest °C after the heat was turned down, less the target


def kitchen(rng: np.random.Generator, *, restless: bool, logged: bool, by_hand: bool) -> Kitchen:
    """A vat whose heat lags by some minutes more or less than the sample's."""
    return Kitchen(
        3.5 * float(rng.lognormal(0, 0.3)),
        float(rng.lognormal(0, 0.2)),
        restless,
        logged,
        5.0 if by_hand else 1.0,
        0.1 if by_hand else 0.06,
    )


class _Running:
    """A cook under way: the vat, the hand at it and the thermometer."""

    def __init__(self, rng: np.random.Generator, place: Kitchen) -> None:
        self.rng, self.place = rng, place
        rate = 0.13 + 0.17 * rng.random()
        self.version = Version(False, 10.0, round(rate, 3), round(37.2 + 2.8 * rng.random(), 1), 15)
        self.plan = replace(plan_of(self.version, 1, "plan"), id=1)
        self.at = [s.kind for s in self.plan.stages].index("cook")
        self.target = float(self.plan.stages[self.at].target_c or 0.0)
        vessel = full(float(rng.normal(12, 0.35)), float(rng.normal(19.5, 1.6)))
        vessel = replace(
            vessel, lag_min=place.lag_min, loss_per_min=place.loss * vessel.loss_per_min
        )
        self.vat = Vat(vessel, 31.0 + float(rng.normal(0, 0.2)))
        self.hand = Hand(rng, self.vat)
        self.offset, self.phase = float(rng.normal(0, 0.08)), float(rng.random())
        self.noise = rng.normal(0, place.read_sd, 2000)
        self.looked: list[float] = []  # readings besides the regular ones
        self.vat.turn(self.holding(31.0))
        self.vat.run(BEGIN_MIN)

    def holding(self, temp_c: float) -> float:
        """The knob that holds a temperature."""
        vessel = self.vat.vessel
        return vessel.loss_per_min * (temp_c - vessel.room_c) / vessel.gain_c_per_min

    def shown(self, minutes: np.ndarray) -> np.ndarray:
        """What the kitchen's thermometer shows, but for its noise."""
        return self.vat.temperature_at(minutes) + self.offset

    def look(self) -> bool:
        """Read the thermometer now; False when that was done within a minute."""
        now, every = self.vat.at_min, self.place.every_min
        since = (now - (BEGIN_MIN - 20 + self.phase * every)) % every
        if min([since, *(now - at for at in self.looked)]) < 1.0:
            return False
        self.looked.append(now)
        return True

    def whole(self, *, over: bool = False) -> WholeMake:
        """The make as the journal holds it now."""
        now, every = self.vat.at_min, self.place.every_min
        at = np.arange(BEGIN_MIN - 20 + self.phase * every, now, every)
        looked = [minutes for minutes in self.looked if minutes <= now]
        noise = np.r_[self.noise[: len(at)], self.noise[-1 - np.arange(len(looked))]]
        at = np.r_[at, looked]
        read = np.round(self.shown(at) + noise, 1)
        order = np.argsort(at)
        at, read = at[order], read[order]
        traces = {"milk-temp": _trace("milk-temp", at, read)}
        if self.place.heat_logged:
            known = [(p.at_min, round(100 * p.knob)) for p in self.vat.pieces]
            traces["heat"] = _trace("heat", *np.array(known, float).T)
        room = np.arange(0, now, 5.0)
        traces["room-temp"] = _trace("room-temp", room, room * 0 + self.vat.vessel.room_c)
        make = Make("HL-0001", 1, Milk(12.0), START_MS)
        end = self.ended if over else None
        return WholeMake(make, self.plan, _runs(self.plan, self.at, end), traces=traces)

    def finish(self, knob: float) -> float:
        """Turn the heat to `knob` and let the milk coast; its highest °C."""
        begun = self.vat.at_min
        self.vat.turn(knob)
        self.vat.run(COAST_MIN)
        self.ended = begun + 3.0
        return float(self.shown(np.arange(begun, begun + COAST_MIN, 0.1)).max())

    def go_on(self, minutes: float, *, eases: bool = False) -> None:
        """Heat on for some minutes, in the kitchen's way; the sample's hand looks once, and
        eases off near the target by itself only where nobody tells it when."""
        if not self.place.restless:
            self.vat.run(minutes)
            return
        start, rate = self.vat.pieces[0].temp_c, self.rate
        most = self.target + 0.1 if eases else np.inf
        self.hand.hold(
            minutes,
            lambda at: min(start + rate * (at - BEGIN_MIN), most),
            every=60.0,
            ahead=4.5,
        )

    def light(self) -> None:
        """Begin the cook: about the plan's rate, by a knob of twenty notches."""
        self.step = LOOK_MIN if self.place.restless else 1.0
        self.rate = self.version.cook_rate * float(self.rng.lognormal(0.05, 0.07))
        if not self.place.restless:
            vessel = self.vat.vessel
            knob = self.holding(31.0) + self.rate / vessel.gain_c_per_min
            self.vat.turn(round(knob * 20) / 20)


def cook(rng: np.random.Generator, place: Kitchen, past: Sequence[Vessel]) -> Cook:
    """A cook that is asked for its advice every minute (the sample's hand: at each
    of its looks) from its eighth on, and follows it."""
    run = _Running(rng, place)
    run.light()
    change = BEGIN_MIN + float(rng.uniform(8, 16)) if rng.random() < 0.3 else np.inf
    output: list[tuple[float, Heating | None]] = []
    while run.vat.at_min < BEGIN_MIN + 8:
        run.go_on(run.step)
    while run.vat.at_min < BEGIN_MIN + 200 and run.vat.temp_c < run.target + 2:
        now = run.vat.at_min
        found = heating(run.whole(), START_MS + round(now * 60_000), past)
        if _wait(found, now) < max(run.step, SOON_MIN) and run.look():
            found = heating(run.whole(), START_MS + round(now * 60_000), past)
        output.append((now, found))
        wait = _wait(found, now)
        if wait < run.step:
            run.go_on(max(wait, 0.0))
            break
        if now >= change and not place.restless:
            run.vat.turn(run.vat.pieces[-1].knob * float(rng.uniform(0.85, 1.25)))
            change = np.inf
        run.go_on(run.step)
    highest = run.finish(run.holding(run.target) * (1 + 0.05 * float(rng.normal())))
    return _report(run, output, highest)


def earlier(rng: np.random.Generator, place: Kitchen) -> WholeMake:
    """A cook without advice: turned down where someone thought right, 0.2 to 1.2 °C early."""
    run = _Running(rng, place)
    run.light()
    early = float(rng.uniform(0.2, 1.2))
    while run.vat.temp_c < run.target - early and run.vat.at_min < BEGIN_MIN + 200:
        run.go_on(run.step, eases=True)
    run.finish(run.holding(run.target) * (1 + 0.1 * float(rng.normal())))
    return run.whole(over=True)


def _report(run: _Running, output: list[tuple[float, Heating | None]], highest: float) -> Cook:
    at = np.arange(BEGIN_MIN, run.vat.at_min, 0.05)
    there = np.flatnonzero(run.shown(at) >= run.target - NEAR)
    arrived = float(at[there[0]]) if len(there) else np.inf
    halfway = BEGIN_MIN + (arrived - BEGIN_MIN) / 2
    return Cook(run.whole(), tuple(output), arrived, halfway, highest - run.target)


def _wait(found: Heating | None, now: float) -> float:
    if found is None or found.turn_down_ms is None:
        return np.inf
    return (found.turn_down_ms - START_MS) / 60_000 - now


def _trace(kind: str, minutes: np.ndarray, value: np.ndarray) -> Trace:
    at = START_MS + np.round(np.asarray(minutes) * 60_000).astype(np.int64)
    return Trace(kind, at, np.asarray(value, float), np.zeros(len(at), np.uint8))


def _runs(plan: Plan, place: int, ended: float | None) -> tuple[StageRun, ...]:
    """The stages until the cook at even lengths; with `ended` the next has begun."""
    edges = [BEGIN_MIN * i / place for i in range(place + 1)]
    begins: list[float | None] = [*edges, ended]
    out, starts = [], plan.starts()
    at: Callable[[float | None], int | None] = lambda m: (  # noqa: E731
        None if m is None else START_MS + round(m * 60_000)
    )
    for i, stage in enumerate(plan.stages):
        began = begins[i] if i < len(begins) else None
        over = begins[i + 1] if i + 1 < len(begins) else None
        planned = START_MS + round(starts[i] * 60_000)
        out.append(
            StageRun(1, i, stage.kind, planned, planned + round(stage.minutes * 60_000),
                     at(began), at(over))
        )  # fmt: skip
    return tuple(out)
