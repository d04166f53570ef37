"""A year of sixty wheels, lived in a journal, its due lists checked each day.

What is due is calculated a second time, from the words of the schedules alone: a small machine for
each wheel and kind of care that is moved on by what is done, in days of the calendar. It shares no
code with the program. The year has both changes of the clocks, makes that begin either side of
midnight, the 29th of February, weeks in which nothing was done, care done early and entered late,
and days away.
"""

from __future__ import annotations

import copy
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from pathlib import Path
from random import Random
from zoneinfo import ZoneInfo

import pytest

from journal.keeping import Journal
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import OpenServing
from journal.records.care_ahead import ahead
from journal.records.due import cares_due, tastings_due
from journal.records.makes import Milk
from journal.records.plans import CareRule, Plan, Stage
from journal.records.wheels import Absence, Wheel

ZONE = ZoneInfo("Europe/London")
FIRST = date(2027, 8, 1)
DAYS = 400
MAKES, EACH = 20, 3
AWAY = [(date(2027, 10, 20), date(2027, 11, 3)), (date(2028, 2, 26), date(2028, 3, 1))]
MISSED = [(date(2027, 12, 20), date(2028, 1, 9)), (date(2028, 5, 1), date(2028, 5, 7))]
# kind, first day, last day, every so many days (None: once)
SCHEDULES: list[tuple[list[tuple[str, int, int, int | None]], list[int]]] = [
    ([("turn", 1, 30, 1), ("brush", 7, 200, 7), ("oil", 14, 180, 30)], [60, 120, 180]),
    ([("turn", 1, 14, 2), ("wax", 10, 10, None), ("weigh", 15, 240, 14)], [90]),
    ([("rub", 2, 60, 3), ("wrap", 60, 62, None)], [30, 45]),
]


@dataclass
class Wanted:
    """One kind of care of one wheel: the day it is next due by its schedule, as moved by what was
    done."""

    kind: str
    first: date
    last: date
    every: int | None
    due: date | None = None
    done: date | None = None

    def __post_init__(self) -> None:
        self.due = self.first

    def given(self, on: date, born: date) -> None:
        """Care was given on a day."""
        self.done = on if self.done is None else max(on, self.done)
        if self.every is None:
            if 2 * (on - born).days >= (self.first - born).days:
                self.due = None
            return
        early = min(self.every / 2, 2)
        if (self.first - on).days <= early:
            after = max(self.done + timedelta(days=self.every), self.first)
            self.due = after if after <= self.last else None

    def over(self, today: date) -> bool:
        """It is asked for no more: its last day is past, by two weeks where it is given once."""
        return today > self.last + timedelta(days=14 if self.every is None else 0)

    def shown(self, today: date) -> date | None:
        """The day it is asked for, off the days away."""
        if self.due is None or self.over(today):
            return None
        for begin, end in AWAY:
            if begin <= self.due <= end:
                back, leave = end + timedelta(days=1), begin - timedelta(days=1)
                free = leave >= today and (self.done is None or leave > self.done)
                sooner = (self.due - leave) <= (back - self.due)
                moved = leave if free and sooner else back
                return None if self.over(moved) else moved
        return self.due


@dataclass
class Lived:
    """A wheel, as the second reckoning has it."""

    code: str
    born: date
    cares: list[Wanted] = field(default_factory=list)


@dataclass
class Tasted:
    """A make's tastings: the ages wanted, and the age at which it was tasted last."""

    born: date
    ages: list[int]
    last: int = -1

    def shown(self, today: date) -> date | None:
        age = (today - self.born).days
        for wanted in reversed(self.ages):
            if 100 * self.last < 85 * wanted and wanted <= age <= wanted + wanted // 2:
                return self._off(self.born + timedelta(days=wanted), today)
        later = [a for a in self.ages if a > age and 100 * self.last < 85 * a]
        return self._off(self.born + timedelta(days=later[0]), today) if later else None

    def _off(self, on: date, today: date) -> date:
        for begin, end in AWAY:
            if begin <= on <= end:
                back, leave = end + timedelta(days=1), begin - timedelta(days=1)
                return leave if leave >= today and on - leave <= back - on else back
        return on


def ms(on: date, hour: int, minute: int = 0) -> int:
    at = datetime(on.year, on.month, on.day, hour, minute, tzinfo=ZONE)
    return round(at.timestamp() * 1000)


def plan_of(number: int) -> Plan:
    rules, ages = SCHEDULES[number]
    return Plan(
        f"schedule {number}",
        (Stage("warm", 30, target_c=31.0),),
        care=tuple(CareRule(k, a, b, every or 1.0) for k, a, b, every in rules),
        taste_at_days=tuple(float(age) for age in ages),
    )


def make_one(journal: Journal, number: int, on: date) -> tuple[list[Lived], Tasted]:
    """A make that begins late in the evening or just after midnight, and its wheels."""
    late = number % 2
    begin = ms(on, 23, 30) if late else ms(on, 0, 20)
    make = journal.makes.begin(plan_of(number % 3), Milk(20.0), begin)
    wheels = journal.makes.finish(make.id or 0, [0.7] * EACH, begin + 3_600_000)
    rules, ages = SCHEDULES[number % 3]
    found = []
    for wheel in wheels:
        wanted = [
            Wanted(k, on + timedelta(days=a), on + timedelta(days=b), every)
            for k, a, b, every in rules
        ]
        for one in wanted:
            if one.kind == "weigh":  # it was on the scale when the make was finished
                one.done = on + timedelta(days=1 if late else 0)
        found.append(Lived(wheel.code, on, wanted))
    return found, Tasted(on, ages)


def by_program(journal: Journal, now: int) -> dict[tuple[str, str], date]:
    lives = journal.care_tasks.lives()
    found = {(due.life.wheel.code, due.kind): due.on for x in lives for due in cares_due(x, now)}
    return found | {(d.life.wheel.code[:7], "taste"): d.on for d in tastings_due(lives, now)}


def by_hand(
    wheels: list[Lived], makes: dict[str, Tasted], today: date
) -> dict[tuple[str, str], date]:
    found = {
        (wheel.code, one.kind): on
        for wheel in wheels
        for one in wheel.cares
        if (on := one.shown(today)) is not None
    }
    there = {wheel.code[:7] for wheel in wheels}
    tastes = {(code, "taste"): one.shown(today) for code, one in makes.items() if code in there}
    return found | {key: on for key, on in tastes.items() if on is not None}


def coming_by_hand(wheels: list[Lived], today: date, until: date) -> set[tuple[date, str, str]]:
    """All care to come, each given on its day."""
    found, later = set(), copy.deepcopy(wheels)
    for number in range((until - today).days + 1):
        day = today + timedelta(days=number)
        for wheel in later:
            for one in wheel.cares:
                on = one.shown(day)
                if on is not None and on <= day:
                    found.add((day, wheel.code, one.kind))
                    one.given(day, wheel.born)
    return found


@pytest.mark.slow
def test_what_is_due_is_right_on_each_day_of_a_year(tmp_path: Path) -> None:
    rng = Random(12)
    wheels: list[Lived] = []
    makes: dict[str, Tasted] = {}
    with Journal.create(tmp_path / "year.vatside", zone="Europe/London") as journal:
        for first, last in AWAY:
            journal.shelves.be_away(Absence(first.isoformat(), last.isoformat()))
        for number in range(DAYS):
            today = FIRST + timedelta(days=number)
            if number % 12 == 0 and number // 12 < MAKES:
                born, tasted = make_one(journal, number // 12, today)
                wheels += born
                makes[born[0].code[:7]] = tasted
            now = ms(today, 23, 45) if number % 2 else ms(today, 1, 30)
            if today.day == 3 or (today.day, today.month) == (26, 3):
                now = ms(today, 12)
            if (number // 12) < MAKES and number % 12 == 0 and (number // 12) % 2:
                now = ms(today, 23, 50)
            assert by_program(journal, now) == by_hand(wheels, makes, today), today
            if today.day == 17:
                until = today + timedelta(days=45)
                lives = journal.care_tasks.lives()
                dues = {(d.on, d.life.wheel.code, d.kind) for d in ahead(lives, now, until)
                        if d.kind != "taste"}  # fmt: skip
                assert dues == coming_by_hand(wheels, today, until), today
            live_the_day(journal, rng, wheels, makes, today)
        assert len({wheel.code for wheel in journal.wheels.all()}) == MAKES * EACH
        assert journal.check() == []


def live_the_day(
    journal: Journal, rng: Random, wheels: list[Lived], makes: dict[str, Tasted], today: date
) -> None:
    """What the maker does: most of what is asked for, some early, nothing on some days."""
    if any(first <= today <= last for first, last in (*AWAY, *MISSED)):
        return
    keys = {wheel.code: wheel for wheel in journal.wheels.all()}
    doing: dict[str, list[Lived]] = {}
    for wheel in (one for one in wheels if one.born < today):
        for one in wheel.cares:
            on = one.shown(today)
            wait = 99 if on is None else (on - today).days
            if (wait <= 0 and rng.random() < 0.9) or (wait == 1 and rng.random() < 0.05):
                doing.setdefault(one.kind, []).append(wheel)
                at = today - timedelta(days=1) if wait < -2 and rng.random() < 0.2 else today
                if at < today:  # entered late: it was done yesterday
                    doing[one.kind].pop()
                    note(journal, one.kind, [keys[wheel.code]], ms(at, 18))
                one.given(at, wheel.born)
    for kind, some in doing.items():
        note(journal, kind, [keys[wheel.code] for wheel in some], ms(today, 9))
    for code, make in makes.items():
        on = make.shown(today)
        if on is not None and on <= today and rng.random() < 0.5:
            wheel = next(w for name, w in keys.items() if name.startswith(code))
            journal.sessions.give(
                OpenServing(wheel.id or 0, "Ann", ms(today, 20)), ScoredSample({"overall": 6.0})
            )
            make.last = (today - make.born).days


def note(journal: Journal, kind: str, wheels: list[Wheel], at_ms: int) -> None:
    if kind == "weigh":
        for wheel in wheels:
            journal.shelves.weigh(wheel, 0.69, at_ms)
    else:
        journal.shelves.care(wheels, kind, at_ms)
