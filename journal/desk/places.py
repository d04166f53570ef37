"""The places of the window, in order: each is loaded when it is first shown."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module

from PySide6.QtCore import QSettings

from journal.desk import settings as remembered
from journal.desk.place import Desk, Place
from journal.keeping import Journal


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


def first_place(journal: Journal | None, saved: QSettings) -> str:
    """The place to begin in: the vat while a make runs, else where the window was left; of a
    journal that was never open, Today."""
    known = journal is not None and str(journal.path.resolve()) in remembered.recent(saved)
    if journal is None or not known:
        return PLACES[0].key
    if journal.makes.running():
        return "vat"
    left = str(saved.value("window/place", PLACES[0].key))
    return left if left in {entry.key for entry in PLACES} else PLACES[0].key
