"""The wheels on their shelves: a row for each wheel, with what it needs next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from journal.keeping import Journal
from journal.records import id_of
from journal.records.due import Due, WheelLife, cares_due, tastings_due
from journal.records.instants import local
from journal.wording import worded


@dataclass(frozen=True)
class ShelfRow:
    """A wheel: its life, what it needs (soonest first), the day it is; `first` of its room."""

    life: WheelLife
    dues: tuple[Due, ...]
    today: date
    age_days: int
    first: bool = False

    @property
    def code(self) -> str:
        """The wheel's code."""
        return self.life.wheel.code

    @property
    def wheel_id(self) -> int:
        """The wheel's key in the file."""
        return id_of(self.life.wheel)

    @property
    def room(self) -> str:
        """The room's name, or that there is none."""
        return self.life.room or worded("reports.no-room-yet")

    @property
    def next(self) -> Due | None:
        """What it needs next."""
        return self.dues[0] if self.dues else None

    @property
    def due(self) -> tuple[Due, ...]:
        """What is due today or was before."""
        return tuple(due for due in self.dues if due.on <= self.today)

    @property
    def late_days(self) -> int:
        """Days since the next thing fell due; below zero while it is to come."""
        return (self.today - self.dues[0].on).days if self.dues else -1

    @property
    def wants(self) -> bool:
        """Something is due today or was before."""
        return bool(self.dues) and self.dues[0].on <= self.today


def shelf_rows(journal: Journal, now_ms: int) -> list[ShelfRow]:
    """Every wheel that is there, room by room, oldest first; those without a room come last."""
    today = local(now_ms, journal.zone).date()
    lives = sorted(journal.care_tasks.lives(), key=_shelf_order)
    tastings = {due.life.wheel.make_id: due for due in tastings_due(lives, now_ms)}
    rows: list[ShelfRow] = []
    for life in lives:
        dues = cares_due(life, now_ms)
        if life.wheel.make_id in tastings:
            dues = sorted([*dues, tastings[life.wheel.make_id]], key=_by_day)
        first = not rows or rows[-1].life.room != life.room
        rows.append(ShelfRow(life, tuple(dues), today, life.age_days(now_ms), first))
    return rows


def lost_pct(green_kg: float | None, now_kg: float | None) -> float | None:
    """How much lighter a wheel is than when it left the press, %."""
    if not green_kg or now_kg is None:
        return None
    return 100 * (1 - now_kg / green_kg)


def _shelf_order(life: WheelLife) -> tuple[bool, str, str, int, int, str]:
    wheel = life.wheel
    at = (wheel.shelf, wheel.place or 0)
    return life.room == "", life.room, *at, life.started_ms, wheel.code


def _by_day(due: Due) -> tuple[date, str]:
    return due.on, due.kind
