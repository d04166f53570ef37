"""A keeper for each kind of record, on one connection; keepers of sessions and tests use them."""

from __future__ import annotations

import sqlite3
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any

from journal.keeping.airs import AirKeeper
from journal.keeping.baths import BathKeeper
from journal.keeping.changes import Changes, fault
from journal.keeping.comparisons import ComparisonKeeper
from journal.keeping.day import DayKeeper
from journal.keeping.errors import KeepingError
from journal.keeping.keepers import Keeper
from journal.keeping.make_corrections import MakeCorrections
from journal.keeping.makes import MakeKeeper
from journal.keeping.milk import MilkKeeper
from journal.keeping.origin import origin_of
from journal.keeping.outcomes import OutcomeKeeper
from journal.keeping.paper import PaperKeeper, PaperKeepers
from journal.keeping.photos import PhotoStore
from journal.keeping.plans import PlanKeeper
from journal.keeping.readings import ReadingKeeper
from journal.keeping.rows import NOUNS
from journal.keeping.schedules import ScheduleKeeper, keeper_of_own
from journal.keeping.shelves import ShelfKeeper
from journal.keeping.stock import StockKeeper
from journal.message import Message
from journal.records.brines import Brine, BrineEvent, BrineStay
from journal.records.calibrations import Calibration
from journal.records.cultures import Generation
from journal.records.instants import zone_of
from journal.records.makes import Addition, Entered, Ingredient, Note, StageRun
from journal.records.milk_lots import MilkLot, MilkUse
from journal.records.panel_tests import PanelItem, PanelSet, PanelTest
from journal.records.series import Series, SeriesMake
from journal.records.sources import Source
from journal.records.tastings import (
    Assessor,
    DefectMark,
    Sample,
    SampleNote,
    ScaleWord,
    Score,
    Serving,
    Tasting,
)
from journal.records.timers import TickedLine, Timer
from journal.records.wheels import (
    Absence,
    AirCheck,
    AirReading,
    Care,
    Removal,
    Room,
    Weighing,
    Wheel,
)


def two_letters(text: str) -> str:
    """Two letters as a code has them; KeepingError for anything else."""
    code = text.strip().upper()
    if not (len(code) == 2 and code.isalpha() and code.isascii()):
        raise KeepingError("keeping.two-letters", letters=text)
    return code


class Keepers:
    """The keepers of a journal's file, and its settings.

    Attributes
    ----------
    path : Path
    letters : str
        The two letters its makes' codes begin with.
    zone : str
        The IANA zone of the kitchen.
    origin : str
        The journal's UUID, which its copies share.
    """

    def __init__(self, path: Path, db: sqlite3.Connection, changes: Changes) -> None:
        self.path = path
        self._db = db
        self._changes = changes
        self.letters = self.setting("letters") or "HL"
        self.zone = self.setting("zone") or "UTC"
        self.origin = origin_of(db)
        self.readings = ReadingKeeper(db, changes)
        self.plans = PlanKeeper(db, changes)
        self.makes = MakeKeeper(db, changes, self.plans, self.letters, self.zone)
        self.runs: Keeper[StageRun] = Keeper(db, changes, NOUNS["stage_run"])
        self.additions: Keeper[Addition] = Keeper(db, changes, NOUNS["addition"])
        self.ingredients: Keeper[Ingredient] = Keeper(db, changes, NOUNS["ingredient"])
        self.generations: Keeper[Generation] = Keeper(db, changes, NOUNS["generation"])
        self.brines: Keeper[Brine] = Keeper(db, changes, NOUNS["brine"])
        self.brine_events: Keeper[BrineEvent] = Keeper(db, changes, NOUNS["brine_event"])
        self.brine_stays: Keeper[BrineStay] = Keeper(db, changes, NOUNS["brine_stay"])
        self.sources: Keeper[Source] = Keeper(db, changes, NOUNS["source"])
        self.notes: Keeper[Note] = Keeper(db, changes, NOUNS["note"])
        self.timers: Keeper[Timer] = Keeper(db, changes, NOUNS["timer"])
        self.calibrations: Keeper[Calibration] = Keeper(db, changes, NOUNS["calibration"])
        self.ticks: Keeper[TickedLine] = Keeper(db, changes, NOUNS["tick"])
        self.entered: Keeper[Entered] = Keeper(db, changes, NOUNS["entered"])
        self.comparisons = ComparisonKeeper(db, changes, NOUNS["comparison"])
        self._keep_wheels(db, changes)
        self.assessors: Keeper[Assessor] = Keeper(db, changes, NOUNS["assessor"])
        self.tastings: Keeper[Tasting] = Keeper(db, changes, NOUNS["tasting"])
        self.samples: Keeper[Sample] = Keeper(db, changes, NOUNS["sample"])
        self.scores: Keeper[Score] = Keeper(db, changes, NOUNS["score"])
        self.defects: Keeper[DefectMark] = Keeper(db, changes, NOUNS["defect_mark"])
        self.sample_notes: Keeper[SampleNote] = Keeper(db, changes, NOUNS["sample_note"])
        self.servings: Keeper[Serving] = Keeper(db, changes, NOUNS["serving"])
        self.scale_words: Keeper[ScaleWord] = Keeper(db, changes, NOUNS["scale_word"])
        self.panel_tests: Keeper[PanelTest] = Keeper(db, changes, NOUNS["panel_test"])
        self.panel_items: Keeper[PanelItem] = Keeper(db, changes, NOUNS["panel_item"])
        self.panel_sets: Keeper[PanelSet] = Keeper(db, changes, NOUNS["panel_set"])
        self.series: Keeper[Series] = Keeper(db, changes, NOUNS["series"])
        self.series_makes: Keeper[SeriesMake] = Keeper(db, changes, NOUNS["series_make"])
        self.own_cares = keeper_of_own(db, changes)
        self.schedules = ScheduleKeeper(db, changes, self.makes, self.own_cares)
        self.stock = StockKeeper(db, changes)
        self.baths = BathKeeper(db, changes)
        self.outcomes = OutcomeKeeper(db, changes, self.makes, self.notes)
        self.photos = PhotoStore(self.path, db, self.notes, self.sample_notes, self.set_setting)
        self.milk_lots: Keeper[MilkLot] = Keeper(db, changes, NOUNS["milk_lot"])
        self.milk_uses: Keeper[MilkUse] = Keeper(db, changes, NOUNS["milk_use"])
        self.milk = MilkKeeper(changes, self.makes, self.milk_lots, self.milk_uses)
        self.day = DayKeeper(changes, self.plans, self.makes, self.runs, self.timers)
        self.corrections = MakeCorrections(
            changes, self.makes, self.plans, self.runs, self.additions, self.milk
        )
        self.paper = PaperKeeper(
            changes, PaperKeepers(self.makes, self.day, self.runs, self.readings, self.notes)
        )

    def _keep_wheels(self, db: sqlite3.Connection, changes: Changes) -> None:
        """Rooms with their air, wheels with all that is done to them."""
        self.rooms: Keeper[Room] = Keeper(db, changes, NOUNS["room"])
        self.airs: Keeper[AirReading] = Keeper(db, changes, NOUNS["air_reading"])
        self.air_checks: Keeper[AirCheck] = Keeper(db, changes, NOUNS["air_check"])
        self.absences: Keeper[Absence] = Keeper(db, changes, NOUNS["away"])
        self.wheels: Keeper[Wheel] = Keeper(db, changes, NOUNS["wheel"])
        self.weighings: Keeper[Weighing] = Keeper(db, changes, NOUNS["weighing"])
        self.removals: Keeper[Removal] = Keeper(db, changes, NOUNS["taken"])
        self.cares: Keeper[Care] = Keeper(db, changes, NOUNS["care"])
        self.shelves = ShelfKeeper(
            db,
            changes,
            self.makes,
            self.wheels,
            self.weighings,
            self.removals,
            self.cares,
            self.rooms,
            self.absences,
        )
        self.air = AirKeeper(db, changes, self.rooms, self.airs, self.air_checks)

    def setting(self, key: str) -> str | None:
        """A setting kept in the journal itself (a logger's mapping, the zone); None when unset."""
        row = self._db.execute("select value from setting where key = ?", (key,)).fetchone()
        return str(row[0]) if row else None

    def set_setting(self, key: str, text: str) -> None:
        """Keep a setting; it is no record and not undone."""
        try:
            self._db.execute(
                "insert into setting (key, value) values (?, ?) "
                "on conflict (key) do update set value = excluded.value",
                (key, text),
            )
        except sqlite3.Error as error:
            raise KeepingError(fault(error)) from error

    def set_up(self, letters: str, zone: str) -> None:
        """Give makes begun from now on codes of these two letters, in this zone; no record, and
        not undone.

        Raises
        ------
        KeepingError
            For anything but two letters, or no zone.
        """
        code = two_letters(letters)
        zone_of(zone)
        if code != self.letters:
            self.set_setting("letters", code)
        if zone != self.zone:
            self.set_setting("zone", zone)
        self.letters, self.zone = code, zone
        self.makes.set_up(code, zone)

    def unit(
        self, name: str | Message, /, initiator: object | None = None, **values: Any
    ) -> AbstractContextManager[None]:
        """Group changes: one transaction, one undo step called `name`, one notice.

        The name is a message's id with its values, or a text as it is to be shown.
        """
        return self._changes.unit(name, initiator, **values)

    def appending(
        self, name: str | Message, /, initiator: object | None = None, **values: Any
    ) -> AbstractContextManager[None]:
        """Group readings that arrive by themselves: one transaction, one notice, no undo step."""
        return self._changes.appending(name, initiator, **values)

    def keepers(self) -> list[Keeper[Any]]:
        """The keepers of all simple nouns (for the check and the export)."""
        return [value for value in vars(self).values() if isinstance(value, Keeper)]
