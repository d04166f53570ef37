"""The places of the window, in order: each is loaded when it is first shown."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module

from journal.desk.place import Desk, Place


@dataclass(frozen=True)
class PlaceEntry:
    """A place: its key, its title, and where its class lives."""

    key: str
    title: str
    module: str
    name: str


PLACES: tuple[PlaceEntry, ...] = (
    PlaceEntry("today", "Today", "journal.desk.today.place", "TodayPlace"),
    PlaceEntry("plans", "Plans", "journal.desk.plans.place", "PlansPlace"),
    PlaceEntry("makes", "Makes", "journal.desk.makes.place", "MakesPlace"),
    PlaceEntry("vat", "Vat", "journal.desk.vat.place", "VatPlace"),
    PlaceEntry("compare", "Compare", "journal.desk.compare.place", "ComparePlace"),
    PlaceEntry("room", "Ageing", "journal.desk.room.place", "RoomPlace"),
    PlaceEntry("tastings", "Tastings", "journal.desk.tastings.place", "TastingsPlace"),
    PlaceEntry("findings", "Findings", "journal.desk.findings.place", "FindingsPlace"),
)


def build(entry: PlaceEntry, desk: Desk) -> Place:
    """The place itself, laid out; what is in it is drawn once it was entered."""
    place: Place = getattr(import_module(entry.module), entry.name)(desk)
    place.setUpdatesEnabled(False)
    return place
