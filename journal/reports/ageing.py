"""A wheel as it stands: what it weighs, what it lost, what is due, what speaks against it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from journal.keeping import Journal
from journal.records import id_of
from journal.records.due import Due, WheelLife, cares_due, tastings_due
from journal.records.instants import local
from journal.records.wheel_weight import WheelWeight
from journal.records.wheels import Wheel
from journal.reports.drying import DryingKitchen
from journal.wording import text_of


@dataclass(frozen=True)
class WheelStanding:
    """One wheel at an instant.

    `dues` is what it needs next of each kind, soonest first; `gone` why and when it went, None
    while it is there; `verdict` what speaks against eating it, or of how it dries, None for
    nothing.
    """

    wheel: Wheel
    room: str
    weight: WheelWeight
    age_days: int
    dues: tuple[Due, ...] = ()
    verdict: str | None = None

    @property
    def gone(self) -> str | None:
        """Why it is gone, None while it is there."""
        return None if self.wheel.gone_ms is None else self.wheel.gone_why or "gone"


def standings(
    journal: Journal, now_ms: int, *, wheels: Iterable[Wheel] | None = None, gone: bool = False
) -> list[WheelStanding]:
    """The wheels that are there, room by room and shelf by shelf, oldest first; those asked for
    alone, where some are; with `gone` those that went too."""
    asked = None if wheels is None else {id_of(wheel) for wheel in wheels}
    lives = {id_of(life.wheel): life for life in journal.care_tasks.lives()}
    kitchen = DryingKitchen(journal)
    tastings = {due.life.wheel.make_id: due for due in tastings_due(lives.values(), now_ms)}
    found = [
        _standing(life, tastings, now_ms, kitchen)
        for key, life in lives.items()
        if asked is None or key in asked
    ]
    rest = [
        wheel
        for wheel in journal.wheels.all()
        if id_of(wheel) not in lives and (id_of(wheel) in asked if asked is not None else gone)
    ]
    if rest:
        weights = journal.shelves.weights()
        rooms = {room.id: room.name for room in journal.rooms.all()}
        found += [_gone(journal, wheel, rooms.get(wheel.room_id, ""), weights) for wheel in rest]
    return sorted(found, key=_by_place)


def _standing(
    life: WheelLife, tastings: dict[int, Due], now_ms: int, kitchen: DryingKitchen
) -> WheelStanding:
    dues = cares_due(life, now_ms)
    if life.wheel.make_id in tastings:
        dues.append(tastings[life.wheel.make_id])
    if life.verdict is not None:
        verdict: str | None = text_of(life.verdict.message)
    else:
        verdict = kitchen.words(life.wheel)
    return WheelStanding(
        life.wheel, life.room, life.weight, life.age_days(now_ms),
        tuple(sorted(dues, key=lambda due: (due.on, due.kind))), verdict,
    )  # fmt: skip


def _gone(
    journal: Journal, wheel: Wheel, room: str, weights: dict[int, WheelWeight]
) -> WheelStanding:
    """One that went, or of a make that failed: its age is that at which it went."""
    make = journal.makes.binned(wheel.make_id)
    at_ms = wheel.gone_ms or make.finished_ms or make.started_ms
    days = local(at_ms, make.zone).date() - local(make.started_ms, make.zone).date()
    verdict = journal.outcomes.verdict(make)
    words = None if verdict is None else text_of(verdict.message)
    return WheelStanding(wheel, room, weights[id_of(wheel)], days.days, (), words)


def _by_place(one: WheelStanding) -> tuple[object, ...]:
    wheel = one.wheel
    return (
        wheel.gone_ms is not None, one.room == "", one.room, wheel.shelf, wheel.place or 0,
        -one.age_days, wheel.code,
    )  # fmt: skip
