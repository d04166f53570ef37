"""What is expected of one wheel: its weight, how it dries, when it is ready, what it is made of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from journal.background import State
from journal.keeping import Journal
from journal.records import id_of
from journal.records.instants import DAY_MS, from_datetime, local
from journal.records.wheels import Room
from journal.reports.drying import DryingKitchen, ExpectedWeight
from journal.reports.make_up import make_up_of
from journal.reports.readiness import MakeDay, Opening, Readiness, Ripening, make_days, openings
from journal.wording.letters import capital
from journal.wording.wheels import make_up_words, ready_words

_OPEN_ENDED_DAYS = 90  # a window whose end is not known is drawn so far
_NOON = 12


@dataclass(frozen=True)
class Outlook:
    """All of it for the wheel of that id: `weight` by days since its make, `drying` says that it
    dries too fast, `ready` when it is best, `raw` what is to be said of raw milk, `make_up` its
    moisture and the like with their ranges, each "" where nothing is known; `window_ms` is
    when it is best, None where nobody can say."""

    wheel_id: int
    weight: ExpectedWeight | None
    drying: str
    ready: str
    raw: str
    make_up: str
    window_ms: tuple[int, int] | None


def outlook_of(journal: Journal, wheel_id: int, now_ms: int, _state: State) -> Outlook:
    """Read the kitchen's wheels, and say what is expected of one."""
    wheel = journal.wheels.get(wheel_id)
    make = journal.makes.get(wheel.make_id)
    kitchen, ripening = DryingKitchen(journal, [wheel]), Ripening(journal, now_ms)
    expected = kitchen.expected_weight(wheel, now_ms)
    band = None
    if expected is not None:
        pressed = ((make.finished_ms or make.started_ms) - make.started_ms) / DAY_MS
        band = replace(expected, days=expected.days + pressed)
    life = next((one for one in ripening.lives if id_of(one.wheel) == wheel_id), None)
    ready = None if life is None else ripening.of(life)
    today = local(now_ms, journal.zone).date()
    return Outlook(
        wheel_id,
        band,
        capital(kitchen.words(wheel) or ""),
        "" if ready is None else ready_words(ready.best, ready.least, today),
        "" if ready is None else capital(ready.raw),
        make_up_words(make_up_of(journal, wheel)),
        None if ready is None else _window(ready, journal.zone),
    )


def wheels_to_open(
    journal: Journal, now_ms: int, on: date, guests: int, _state: State
) -> list[Opening]:
    """The wheels that could be opened on a day, the one to open first."""
    return openings(Ripening(journal, now_ms), on, guests)


def days_to_make(
    journal: Journal,
    now_ms: int,
    plan: str,
    wanted: Sequence[date],
    weekdays: Sequence[int],
    wheels: int,
    room: Room | None,
    _state: State,
) -> list[MakeDay]:
    """When to make a plan for wanted days, on these weekdays, while the room has places."""
    away = [one.days for one in journal.absences.all()]
    ripening, made = Ripening(journal, now_ms), journal.plans.by_name(plan)
    return make_days(ripening, made, wanted, weekdays, wheels=wheels, room=room, away=away)


def _window(ready: Readiness, zone: str) -> tuple[int, int] | None:
    if ready.best is None:
        return None
    first, last = ready.best
    begin = from_datetime(_noon(first), zone)
    return begin, begin + _OPEN_ENDED_DAYS * DAY_MS if last is None else from_datetime(
        _noon(last), zone
    )


def _noon(on: date) -> datetime:
    return datetime(on.year, on.month, on.day, _NOON)
