"""What is asked about a wheel or its room: a part that leaves, its record, the air, the range."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from journal.desk.commands import Command
from journal.desk.form.form import FormSpec
from journal.desk.form.spec import AS_TYPED, CHOICE, DAY, NUMBER, Field, FormValues
from journal.desk.messages import MessageBar
from journal.desk.place import Desk
from journal.desk.room.making import MakingDialog
from journal.desk.room.openings import OpeningsDialog
from journal.desk.room.parts import ask_part
from journal.desk.room.record import RecordDialog
from journal.desk.room.rooms import ask_air, ask_room
from journal.exchange import ExchangeError
from journal.exchange.air_file import bring_air
from journal.keeping import KeepingError
from journal.records import id_of
from journal.records.dates import read_date, read_weekdays
from journal.records.instants import local
from journal.records.wheels import Removal, Room, Wheel
from journal.reports.outlook import days_to_make, wheels_to_open
from journal.reports.readiness import MakeDay, Opening
from journal.reports.wheel_record import record_of, removals
from journal.wording import text_of, worded

_SUBJECT = "room"  # the name of what is said in the place


class WheelActs(QObject):
    """Opens what is asked in the place's form, or a dialog over it. `current_wheel` is the
    selected wheel; `wheel_chosen` carries the id of one to go to."""

    wheel_chosen = Signal(int)

    def __init__(
        self,
        desk: Desk,
        messages: MessageBar,
        current_wheel: Callable[[], Wheel | None],
        ask: Callable[[FormSpec], None],
        place: QWidget,
    ) -> None:
        super().__init__(place)
        self._desk, self._messages, self._place = desk, messages, place
        self._current_wheel, self._ask = current_wheel, ask

    def commands(self) -> tuple[Command, ...]:
        """What can be done."""
        return (
            Command("gone", "The wheel, or a part of it, is eaten, given, sold, thrown away…",
                    self.gone, (), self._has_wheel),
            Command("parts", "All that left the shelves…", self.show_parts),
            Command("record", "Record of the wheel, to correct it…", self.show_record,
                    (), self._has_wheel),
            Command("air", "Temperature and humidity of the room…", self.ask_air, (),
                    self._has_room),
            Command("opening", "Which wheel to open on a day…", self.ask_opening, (),
                    self._has_wheel),
            Command("making", "When to make for wanted days…", self.ask_making, (),
                    self._has_wheel),
            Command("room_range", "Air wanted in the room…", self.ask_room, (),
                    self._has_room),
        )  # fmt: skip

    def _has_wheel(self) -> bool:
        return self._current_wheel() is not None

    def _has_room(self) -> bool:
        return self._room() is not None

    def _room(self) -> Room | None:
        """The room of the current wheel, else the first there is."""
        wheel = self._current_wheel()
        if wheel is not None and wheel.room_id is not None:
            return self._desk.journal.rooms.get(wheel.room_id)
        return next(iter(self._desk.journal.rooms.all()), None)

    def gone(self) -> None:
        """Ask how the wheel, or a part of it, left."""
        wheel = self._current_wheel()
        if wheel is not None:
            taken = partial(self._on_taken, wheel)
            self._ask(ask_part(self._desk.journal, wheel, self._desk.clock(), taken))

    def _on_taken(self, wheel: Wheel, taken: Removal) -> None:
        now = self._desk.journal.shelves.course(wheel).now
        which = "desk.wheel-left" if now.is_gone else "desk.part-left"
        text = worded(which, code=wheel.code, what=taken.words, left=100 * now.left)
        self._messages.show_message(_SUBJECT, text, attention=False)

    def show_record(self) -> None:
        """All that was done to the wheel."""
        wheel, journal = self._current_wheel(), self._desk.journal
        if wheel is not None:
            read = partial(record_of, journal, id_of(wheel))
            title = worded("desk.record-of", code=wheel.code)
            RecordDialog(title, journal, self._desk.clock(), read, self._place).open()

    def show_parts(self) -> None:
        """All that left the shelves, also of wheels that are gone."""
        journal = self._desk.journal
        read = partial(removals, journal)
        RecordDialog("What left the shelves", journal, self._desk.clock(), read, self._place).open()

    def ask_air(self, room_id: object = None) -> None:
        """Ask for the air of the room of the current wheel, or of that one."""
        room = self._desk.journal.rooms.get(room_id) if type(room_id) is int else self._room()
        if room is not None:
            self._ask(ask_air(self._desk.journal, room, self._desk.clock()))

    def ask_room(self) -> None:
        """Ask what is wanted of the room."""
        room = self._room()
        if room is not None:
            self._ask(ask_room(self._desk.journal, room))

    def ask_opening(self) -> None:
        """Ask for which day, and how many guests, a wheel is wanted."""
        day = Field("day", "Day", DAY, hint="24 December", needed=True)
        guests = Field("guests", "Guests", NUMBER, hint="optional")
        zone, now = self._desk.journal.zone, self._desk.clock()
        self._ask(FormSpec("Which wheel to open", (day, guests), self._on_day, words="Find",
                           instants=(zone, now)))  # fmt: skip

    def _on_day(self, filled: FormValues) -> None:
        journal, now = self._desk.journal, self._desk.clock()
        on = local(filled.instant("day") or now, journal.zone).date()
        guests = round(filled.number("guests") or 0)
        task = self._desk.work.start_file(
            "openings", str(journal.path), wheels_to_open, now, on, guests
        )
        task.finished.connect(partial(self._on_openings, on, guests))

    def ask_making(self) -> None:
        """Ask for which days a plan is wanted, and on which the vat is free."""
        journal, wheel = self._desk.journal, self._current_wheel()
        names = journal.plans.names()
        own = None if wheel is None else journal.makes.get(wheel.make_id).plan_id
        plan = names[0] if own is None else journal.plans.get(own).name
        rooms = [("", "any room"), *((str(r.id), r.name) for r in journal.rooms.all())]
        fields = (
            Field("plan", "Plan", CHOICE, options=[(name, name) for name in names], text=plan),
            Field("days", "Wanted on", AS_TYPED, hint="24 December, 1 May", needed=True),
            Field("vat", "Vat days", AS_TYPED, hint="sat, sun; any"),
            Field("wheels", "Wheels", NUMBER, hint="1"),
            Field("room", "Room", CHOICE, options=rooms),
        )
        zone, now = journal.zone, self._desk.clock()
        self._ask(FormSpec("When to make", fields, self._on_wanted, words="Find", first="days",
                           instants=(zone, now)))  # fmt: skip

    def _on_wanted(self, filled: FormValues) -> None:
        journal, now = self._desk.journal, self._desk.clock()
        typed = [part.strip() for part in filled.text("days").split(",") if part.strip()]
        noons = [read_date(part, journal.zone, now) for part in typed]
        wanted = [local(noon, journal.zone).date() for noon in noons]
        weekdays, plan = read_weekdays(filled.text("vat")), filled.text("plan")
        key = filled.text("room")
        room = journal.rooms.get(int(key)) if key else None
        task = self._desk.work.start_file(
            "making", str(journal.path), days_to_make, now, plan, wanted, weekdays,
            round(filled.number("wheels") or 1), room,
        )  # fmt: skip
        task.finished.connect(partial(self._on_making, plan))

    def _on_making(self, plan: str, found: list[MakeDay]) -> None:
        MakingDialog(worded("desk.when-to-make", plan=plan), found, self._place).open()

    def _on_openings(self, on: date, guests: int, found: list[Opening]) -> None:
        which = "desk.a-wheel-for-guests" if guests else "desk.a-wheel-for"
        title = worded(which, on=on, guests=guests)
        dialog = OpeningsDialog(title, found, self._place)
        dialog.chosen.connect(self.wheel_chosen)
        dialog.open()

    def bring_air(self, path: Path) -> None:
        """Save the air of the room from a logger's file; what came of it is said."""
        room = self._room()
        if room is None:
            return
        try:
            report = bring_air(self._desk.journal, room, path)
        except (ExchangeError, KeepingError, OSError) as error:
            self._messages.show_message(_SUBJECT, f"{path.name}: {text_of(error)}")
            return
        which = "desk.air-saved-some-known" if report.known else "desk.air-saved"
        text = worded(which, room=room.name, readings=report.kept, known=report.known)
        self._messages.show_message(_SUBJECT, text, attention=False)
