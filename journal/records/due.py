"""What is due: a running make's step, the care and tastings of wheels, what is low in stock."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from journal.records.coming import stage_ends_ms
from journal.records.instants import local
from journal.records.makes import Ingredient, Make, StageRun, running_run
from journal.records.plans import CareRule, Plan, Stage
from journal.records.stock import in_unit, passed_on, plain_name
from journal.records.verdicts import Verdict
from journal.records.wheel_weight import WheelWeight
from journal.records.wheels import Wheel

TASTE = "taste"
_ONCE_WAITS_DAYS = 14  # so long after its last day care given once is still asked for
_EARLY_DAYS = 2.0  # care given so long before a rule begins, or half its pace, counts for it
_TASTED_EARLY = 0.85  # a tasting from this share of the wanted age on counts for it
_TASTING_WAITS = 0.5  # a tasting missed by more than this share of its age is let go
_LOW_MAKES = 2.0  # an ingredient that is not enough for so many makes is low


@dataclass(frozen=True)
class WheelLife:
    """A wheel that is still there, with what its plan wants for it and what was done.

    `done` has the last instant of each kind of care, weighings as "weigh"; `tasted_ms` is the
    last session at which any wheel of its make was scored; `room` is the room's name or "";
    `verdict` says that it is not to be eaten, None where nothing says so. `weight` is what it
    weighs and what is left of it, `eat_from_days` the plan's least age, `treatment` the milk's;
    `away` are spans of days (first, last) when nobody is there for care.
    """

    wheel: Wheel
    plan: str
    started_ms: int
    zone: str
    rules: tuple[CareRule, ...] = ()
    taste_at_days: tuple[float, ...] = ()
    done: Mapping[str, int] = field(default_factory=dict)
    tasted_ms: int | None = None
    weight_kg: float | None = None
    weighed_ms: int | None = None
    room: str = ""
    verdict: Verdict | None = None
    weight: WheelWeight = field(default_factory=WheelWeight)
    eat_from_days: float | None = None
    treatment: str = ""
    away: tuple[tuple[date, date], ...] = ()
    taste_notes: tuple[str, ...] = ()  # of each of those ages; empty where none has one

    def taste_note(self, day: float) -> str:
        """What is to be minded at the tasting of an age."""
        notes = dict(zip(self.taste_at_days, self.taste_notes, strict=False))
        return notes.get(day, "")

    @property
    def begun(self) -> date:
        """The day of the make on the kitchen's calendar."""
        return local(self.started_ms, self.zone).date()

    def age_days(self, at_ms: int) -> int:
        """Days on the kitchen's calendar since the day of the make."""
        return (local(at_ms, self.zone).date() - self.begun).days


@dataclass(frozen=True)
class Due:
    """What a wheel wants next: a kind of care or TASTE, and the day it falls due.

    `note` is what the plan says of that care, `at_days` the age a tasting is wanted at.
    """

    kind: str
    life: WheelLife
    on: date
    note: str = ""
    at_days: float | None = None


@dataclass(frozen=True)
class GroupedDue:
    """The same thing wanted by one or several wheels; `on` is the earliest of their days."""

    kind: str
    dues: tuple[Due, ...]
    on: date


@dataclass(frozen=True)
class Shortage:
    """What is low or past its date: `left` of `unit`, and what the last make took (None: never
    used). `past` is the day its date passed, None when it is only low."""

    ingredient: Ingredient
    left: float | None
    took: float | None
    past: date | None


@dataclass(frozen=True)
class DueStage:
    """A running make's step: `ends_ms` when the stage should end, None when no stage runs."""

    make: Make
    stage: Stage | None
    ends_ms: int | None
    next_stage: Stage | None


def cares_due(life: WheelLife, now_ms: int) -> list[Due]:
    """The next time each kind of care falls due, overdue and future ones alike, by day; none for
    a wheel that is not to be eaten."""
    if life.verdict:
        return []
    age = life.age_days(now_ms)
    kinds = dict.fromkeys(rule.kind for rule in life.rules)
    found = [next_care(life, kind, age) for kind in kinds]
    return sorted((due for due in found if due is not None), key=_by_day)


def next_care(life: WheelLife, kind: str, age: int, done: float | None = None) -> Due | None:
    """The next time one kind of care falls due at an age in days, None when it never will again;
    `done` is the age at which it was given last, None: as the journal has it."""
    soonest: Due | None = None
    for rule in life.rules:
        if rule.kind != kind:
            continue
        last = _age_done(life, rule) if done is None else done
        day = _next_day(rule, last, age)
        if day is None:
            continue
        on = when_there(life, day, age, -1.0 if last is None else last)
        if (on - life.begun).days > _last_asked(rule):  # moved off days away, past its end
            continue
        if soonest is None or on < soonest.on:
            soonest = Due(kind, life, on, rule.note)
    return soonest


def tastings_due(lives: Iterable[WheelLife], now_ms: int) -> list[Due]:
    """The next tasting of each make that still has a wheel, one Due a make, by day.

    A wanted age counts as tasted from 85 % of it on; one missed by more than half of it is let
    go, and the next one counts. What is not to be eaten is not to be tasted either.
    """
    found: dict[int, Due] = {}
    for life in lives:
        if life.verdict or life.wheel.make_id in found:
            continue
        age = life.age_days(now_ms)
        day = _next_tasting(life, age)
        if day is not None:
            on = when_there(life, day, age, -1.0)
            found[life.wheel.make_id] = Due(TASTE, life, on, life.taste_note(day), day)
    return sorted(found.values(), key=_by_day)


def tastings_after(first: Due, age: int) -> Iterator[Due]:
    """A make's next tasting and those after it, each as if the one before it was held."""
    yield first
    at = first.at_days or 0.0
    for day in sorted(first.life.taste_at_days):
        if at < _TASTED_EARLY * day and day > at:
            at = day
            on = when_there(first.life, day, age, -1.0)
            yield Due(TASTE, first.life, on, first.life.taste_note(day), day)


def when_there(life: WheelLife, day: float, age: int, done: float) -> date:
    """The day on which something due at an age is done: that day, or where nobody is there then
    the last day before or the first after, whichever is nearer and not past or done already.

    Parameters
    ----------
    day, age, done : days since the make: when it falls due, today, and when it was done last
    """
    on = life.begun + timedelta(days=int(day))
    today, last = life.begun + timedelta(days=age), life.begun + timedelta(days=int(done))
    for first, over in life.away:
        if first <= on <= over:
            before, after = first - timedelta(days=1), over + timedelta(days=1)
            nearer = on - before <= after - on
            on = before if nearer and before >= today and before > last else after
    return on


def errands(dues: Iterable[Due]) -> list[GroupedDue]:
    """The same kind for several wheels as one errand, the one that waits longest first."""
    kinds: dict[str, list[Due]] = {}
    for due in dues:
        kinds.setdefault(due.kind, []).append(due)
    made = [
        GroupedDue(kind, tuple(sorted(some, key=_by_day)), min(d.on for d in some))
        for kind, some in kinds.items()
    ]
    return sorted(made, key=_by_day)


def shortages(
    ingredients: Sequence[Ingredient],
    last_used: Mapping[tuple[str, str], float],
    today: date,
    zone: str,
) -> list[Shortage]:
    """What is past its date or not enough for two makes, past its date first.

    `last_used` maps an ingredient's kind and name, as `plain_name` has it, to the amount the last
    make took, in the unit of its first lot. Lots of the same name count together; a lot used up
    counts for nothing.
    """
    out: list[Shortage] = []
    shelves: dict[tuple[str, str], list[Ingredient]] = {}
    units: dict[tuple[str, str], str] = {}
    for item in ingredients:
        key = item.kind, plain_name(item.name)
        units.setdefault(key, item.unit)
        past = passed_on(item, today, zone)
        if past is None:
            shelves.setdefault(key, []).append(item)
        elif item.amount_left is None or item.amount_left > 0:
            took = _in(last_used.get(key), units[key], item.unit)
            out.append(Shortage(item, item.amount_left, took, past))
    for key, lots in shelves.items():
        took, left = _in(last_used.get(key), units[key], lots[0].unit), _left(lots)
        if took is not None and left is not None and left < _LOW_MAKES * took:
            out.append(Shortage(lots[0], left, took, None))
    return out


def step_of(make: Make, plan: Plan, runs: Sequence[StageRun]) -> DueStage:
    """Where a running make stands; `runs` in the order of the plan."""
    left_out = {run.position for run in runs if run.skipped}
    run = running_run(make, runs)
    if run is None or run.position >= len(plan.stages):
        return DueStage(make, None, None, None)
    stage = plan.stages[run.position]
    later = [s for i, s in enumerate(plan.stages) if i > run.position and i not in left_out]
    return DueStage(make, stage, stage_ends_ms(run, stage), later[0] if later else None)


def _last_asked(rule: CareRule) -> float:
    """The last age at which care is asked for; what is given once is for two weeks more."""
    return rule.to_day + (_ONCE_WAITS_DAYS if rule.once else 0)


def _next_day(rule: CareRule, done: float | None, age: int) -> float | None:
    """The age at which a rule next falls due, None when it never will again."""
    if rule.once:
        over = age > _last_asked(rule)
        return None if over or (done is not None and done >= rule.from_day / 2) else rule.from_day
    if age > rule.to_day:
        return None
    if done is None or done < rule.from_day - min(rule.every_days / 2, _EARLY_DAYS):
        return rule.from_day
    day = max(done + rule.every_days, rule.from_day)
    return day if day <= rule.to_day else None


def _next_tasting(life: WheelLife, age: int) -> float | None:
    tasted = -1 if life.tasted_ms is None else life.age_days(life.tasted_ms)
    wanted = [d for d in sorted(life.taste_at_days) if tasted < _TASTED_EARLY * d]
    passed = [d for d in wanted if d <= age]
    if passed and age - passed[-1] <= _TASTING_WAITS * passed[-1]:
        return passed[-1]
    return next((d for d in wanted if d > age), None)


def _age_done(life: WheelLife, rule: CareRule) -> float | None:
    """The age at which care was given last: its day, and the hour of the day where it is wanted
    more often than daily."""
    at_ms = life.done.get(rule.kind)
    if at_ms is None:
        return None
    at = local(at_ms, life.zone)
    part = (at.hour + at.minute / 60) / 24 if rule.every_days < 1 else 0.0
    return life.age_days(at_ms) + part


def _in(amount: float | None, unit: str, to: str) -> float | None:
    return None if amount is None else in_unit(amount, unit, to)


def _left(lots: Sequence[Ingredient]) -> float | None:
    """What is left of all lots in the unit of the first, None when nobody said."""
    parts = [
        in_unit(lot.amount_left, lot.unit, lots[0].unit)
        for lot in lots
        if lot.amount_left is not None
    ]
    known = [part for part in parts if part is not None]
    return sum(known) if known else None


def _by_day(one: Due | GroupedDue) -> tuple[date, str]:
    return one.on, one.kind
