"""When a wheel is ready: by its plan, by the law for raw milk, by what was liked here before."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from operator import itemgetter

import numpy as np

from journal.findings.ripeness import AgedScore, BestAges, best_ages
from journal.keeping import Journal
from journal.records.due import WheelLife
from journal.records.instants import local
from journal.records.plans import Plan
from journal.records.traces import AirTrace
from journal.records.wheels import Room, Wheel
from journal.reports.wheel_air import WheelAirs, recent_wheels, wanted_c
from journal.wording import worded

RAW_DAYS, RAW_C = 60, 1.7
# Of 21 CFR 133, of cheese from raw milk, as restated; what holds where it is eaten may differ.
GUEST_KG = 0.08  # of cheese for each guest (common practice, no source)
_USUAL_C = 12.0
_SOON = 30


@dataclass(frozen=True)
class Readiness:
    """When a wheel is ready, as days of the kitchen's calendar.

    `least` by its plan (and for raw milk the sixty days), `best` the window by the scores given
    here, from the least on (its end None: none known yet); `degree_days` it has had, `best_at` how
    many the best-liked had; `raw` what is to be said of raw milk, "" where nothing is.
    """

    life: WheelLife
    least: date | None
    best: tuple[date, date | None] | None
    degree_days: float
    best_at: tuple[float, float | None] | None
    raw: str = ""


class Ripening:
    """The ages of wheels against the scores of the newest makes, read once."""

    def __init__(self, journal: Journal, now_ms: int) -> None:
        self.now_ms, self.zone = now_ms, journal.zone
        self.lives = journal.care_tasks.lives()
        wheels = recent_wheels(journal)
        self._airs = WheelAirs(journal, wheels)
        self._plans: dict[str, list[AgedScore]] = {}
        self._read_scores(journal, {wheel.id: wheel for wheel in wheels})
        self._best: dict[str, BestAges | None] = {}

    def _read_scores(self, journal: Journal, wheels: Mapping[int | None, Wheel]) -> None:
        """The overall scores of revealed sessions, by plan, at days made equal at 12 °C."""
        of = {wheel.make_id for wheel in wheels.values()}
        makes = {make.id: make for make in journal.makes.of_any("id", of)}
        people = {one.id: one.name for one in journal.assessors.all()}
        sessions = {one.id: one for one in journal.tastings.all() if one.lifted_ms is not None}
        samples = {one.id: one for one in journal.samples.of_any("wheel_id", wheels)}
        plans: dict[int, str] = {}
        for score in journal.scores.of_any("sample_id", samples, attribute="overall"):
            sample = samples[score.sample_id]
            session, wheel = sessions.get(sample.tasting_id), wheels.get(sample.wheel_id)
            make = None if wheel is None else makes.get(wheel.make_id)
            if session is None or wheel is None or make is None:
                continue
            if make.plan_id not in plans:
                plans[make.plan_id] = journal.plans.get(make.plan_id).name
            spent = self._degree_days(wheel, make.started_ms, session.at_ms)
            person = people.get(score.assessor_id, "")
            one = AgedScore(make.code, person, spent / _USUAL_C, score.value)
            self._plans.setdefault(plans[make.plan_id], []).append(one)

    def best(self, plan: str) -> BestAges | None:
        """The ages liked best, days at 12 °C: of that plan, or of all where it says too little."""
        if plan not in self._best:
            every = [one for some in self._plans.values() for one in some]
            self._best[plan] = best_ages(self._plans.get(plan, ())) or best_ages(every)
        return self._best[plan]

    def of(self, life: WheelLife) -> Readiness:
        """When one wheel is ready."""
        now = self._degree_days(life.wheel, life.started_ms, self.now_ms)
        best, least, raw = self.best(life.plan), None, ""
        if life.eat_from_days is not None:
            least = life.begun + timedelta(days=int(life.eat_from_days))
        if life.treatment == "raw":
            air = self._airs.through(life.wheel, life.started_ms, self.now_ms)
            reached = sixty_days(life, air, self.now_ms)
            least = reached if least is None else max(least, reached)
            days = max(min(RAW_DAYS - (reached - self._today).days, RAW_DAYS), 0)
            raw = worded("reports.raw-milk-days", days=days, on=reached)
        if best is None or life.verdict:
            return Readiness(life, least, None, now, None, raw)
        edges = (best.low * _USUAL_C, None if best.high is None else best.high * _USUAL_C)
        first = self._when(life, edges[0], now)
        last = None if edges[1] is None else self._when(life, edges[1], now)
        if least is not None:
            first = max(first, least)
            last = None if last is None else max(last, least)
        return Readiness(life, least, (first, last), now, edges, raw)

    def score_on(self, life: WheelLife, on: date) -> float | None:
        """What an average make is given at the age a wheel has on a day."""
        best = self.best(life.plan)
        if best is None:
            return None
        dd = self._degree_days(life.wheel, life.started_ms, self.now_ms)
        dd += (on - self._today).days * self._wanted(life.wheel.room_id)
        return best.score_at(dd / _USUAL_C)

    @property
    def _today(self) -> date:
        return local(self.now_ms, self.zone).date()

    def _wanted(self, room_id: int | None) -> float:
        return wanted_c(self._airs.rooms.get(room_id), _USUAL_C)

    def _when(self, life: WheelLife, wanted: float, now: float) -> date:
        """The day on which it will have, or had, so many degree-days."""
        days = (wanted - now) / self._wanted(life.wheel.room_id)
        return self._today + timedelta(days=int(np.ceil(days)))

    def _degree_days(self, wheel: Wheel, first_ms: int, last_ms: int) -> float:
        return self._airs.degree_days(wheel, first_ms, max(last_ms, first_ms), _USUAL_C)


def sixty_days(life: WheelLife, air: AirTrace, now_ms: int) -> date:
    """The day with which a wheel has had sixty days at 1.7 °C or more; colder days do not count."""
    trace = air.between(life.started_ms, now_ms)
    low = trace.at_ms[trace.temp_c < RAW_C].tolist()  # NaN is not below
    cold = {local(at, life.zone).date() for at in low}
    return life.begun + timedelta(days=RAW_DAYS + len(cold))


@dataclass(frozen=True)
class Opening:
    """A wheel that could be opened on a day: its age then, its expected score (None: not known),
    whether it is within its best ages, its weight, and what speaks against it ("" nothing)."""

    life: WheelLife
    age_days: int
    score: float | None
    in_window: bool
    kg: float | None
    against: str


def openings(ripening: Ripening, on: date, guests: int = 0) -> list[Opening]:
    """The wheels that are there, the one to open first: none that is too young by its plan or the
    law, then within their best ages, enough for the guests, liked best."""
    found = []
    for life in ripening.lives:
        if life.verdict:
            continue
        ready = ripening.of(life)
        young = ready.least is not None and on < ready.least
        inside = ready.best is not None and ready.best[0] <= on <= (ready.best[1] or on)
        kg = life.weight.kg
        against = worded("reports.too-young") if young else ""
        if kg is not None and guests * GUEST_KG > kg and not against:
            against = worded("reports.too-small", guests=guests)
        age = (on - life.begun).days
        score = ripening.score_on(life, on)
        order = (young, not inside, bool(against), -(score or 0))
        found.append((order, Opening(life, age, score, inside, kg, against)))
    return [one for _, one in sorted(found, key=itemgetter(0))]


@dataclass(frozen=True)
class MakeDay:
    """A day to make for a wanted day: the age it then has; None where none will do, and why."""

    wanted: date
    on: date | None
    age_days: int
    why: str = ""


def make_days(
    ripening: Ripening,
    plan: Plan,
    wanted: Iterable[date],
    weekdays: Sequence[int],
    *,
    wheels: int = 1,
    room: Room | None = None,
    away: Sequence[tuple[date, date]] = (),
) -> list[MakeDay]:
    """When to make for wanted days: at the best age by the scores, else the plan's least, on a free
    vat day (`weekdays`, 0 is Monday) that is not past, not away and not taken, and while the room
    has places. Earlier days come first in the choice: nothing may be younger than the least age."""
    best = ripening.best(plan.name)
    least = max(plan.eat_from_days or 0.0, RAW_DAYS if plan.treatment == "raw" else 0.0)
    age = max(best.best if best is not None else least, least)
    taken: set[date] = set()
    held = [life for life in ripening.lives if room is not None and life.wheel.room_id == room.id]
    full = room is not None and room.holds is not None and len(held) + wheels > room.holds
    found = []
    today = local(ripening.now_ms, ripening.zone).date()
    for day in sorted(wanted):
        ideal = day - timedelta(days=round(age))
        latest = day - timedelta(days=int(np.ceil(least)))
        days = sorted(
            (ideal + timedelta(days=n) for n in range(-_SOON, _SOON + 1)),
            key=lambda one: (abs((one - ideal).days), one),
        )
        fits = [
            one for one in days
            if today <= one <= latest and one.weekday() in weekdays and one not in taken
            and not any(first <= one <= last for first, last in away)
        ]  # fmt: skip
        if full:
            found.append(
                MakeDay(day, None, 0, worded("reports.room-full", room=room.name) if room else "")
            )
        elif not fits:
            found.append(MakeDay(day, None, 0, worded("reports.no-vat-day")))
        else:
            taken.add(fits[0])
            found.append(MakeDay(day, fits[0], (day - fits[0]).days))
    return found
