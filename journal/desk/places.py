"""The places of the window, in order: each is loaded when it is first gone to."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module

from journal.desk.place import Desk, Place


@dataclass(frozen=True)
class Entry:
    """A place: its key, its title, and where its class lives."""

    key: str
    title: str
    module: str
    name: str


PLACES: tuple[Entry, ...] = (
    Entry("today", "Today", "journal.desk.today.place", "TodayPlace"),
    Entry("plans", "Plans", "journal.desk.plans.place", "PlansPlace"),
    Entry("makes", "Makes", "journal.desk.makes.place", "MakesPlace"),
    Entry("vat", "Vat", "journal.desk.vat.place", "VatPlace"),
    Entry("side", "Compare", "journal.desk.side.place", "SidePlace"),
    Entry("room", "Ageing", "journal.desk.room.place", "RoomPlace"),
    Entry("tastings", "Tastings", "journal.desk.tastings.place", "TastingsPlace"),
    Entry("findings", "Findings", "journal.desk.findings.place", "FindingsPlace"),
)


def build(entry: Entry, desk: Desk) -> Place:
    """The place itself, laid out."""
    place: Place = getattr(import_module(entry.module), entry.name)(desk)
    return place
