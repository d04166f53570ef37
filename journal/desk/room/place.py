"""Ageing: shelves and wheels, what each needs and when, its weight, and the air it stands in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import Any, TypeVar

from PySide6.QtCore import QTimer
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QHideEvent
from PySide6.QtWidgets import QStackedWidget, QWidget

from journal.desk import dialogs
from journal.desk.buttons import MAIN, Button
from journal.desk.commands import Command
from journal.desk.drops import TABLES, files_in
from journal.desk.empty import EmptyPage
from journal.desk.form.form import FormSpec
from journal.desk.form.spec import AS_TYPED, Field, FormValues
from journal.desk.own_schedule import ScheduleAsk
from journal.desk.pages import PageWidths
from journal.desk.past import history_command
from journal.desk.place import CurrentRecord, Desk, Place
from journal.desk.room.acts import WheelActs
from journal.desk.room.air_map import no_hours
from journal.desk.room.chart import WheelView
from journal.desk.room.outgoing import OutgoingController
from journal.desk.room.profiles import ProfileController
from journal.desk.room.shelf_page import ShelfPage
from journal.desk.room.visits import VisitController
from journal.desk.room.wall import PhotosDialog
from journal.desk.room.wheel_page import WheelPage
from journal.desk.scrollbars import scrolled
from journal.desk.sensors.watch import SensorWatch
from journal.desk.tables import RowsView
from journal.desk.timeline import Life, Timeline, life_of
from journal.desk.why.command import show_why, why_command
from journal.keeping import Change, KeepingError
from journal.quantities.typed import Typed
from journal.records import RecordError
from journal.records.due import TASTE
from journal.records.instants import DAY_MS, MINUTE_MS, local
from journal.records.makes import Note
from journal.records.wheels import Care, Room, Weighing, Wheel, weight_doubt
from journal.reports.air import days_of
from journal.reports.outlook import Outlook, outlook_of
from journal.reports.rinds import WheelPhoto, last_rinds, photos_of, visits_of, wall_of
from journal.reports.shelves import Shelf, hours_of, shelves_of, week_of
from journal.reports.wheels import ShelfRow, lost_pct, shelf_rows
from journal.wording import text_of, worded
from journal.wording.key_uses import CARE_LETTERS
from journal.wording.wheels import weighed_words

Kept = TypeVar("Kept")

PAUSE_MS = 60
_YEAR_MS = 371 * DAY_MS  # 53 weeks
_LISTED = "ageing/list"  # of the settings: the wheels are shown as a list
_SHOWN = {"wheel", "weighing", "care", "room", "air_reading", "make", "plan", "score", "tasting",
          "sample", "stage_run", "note", "sample_note", "taken", "away", "air_check"}  # fmt: skip


class RoomPlace(Place):
    """The shelves on the left, the chosen wheel on the right, its make's life below."""

    key = "room"
    title = "Ageing"
    fold = PageWidths(0.5, 560, 1000, 560, 520)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._shown: int | None = None  # the wheel drawn
        self._life: Life | None = None
        self._wanted: ShelfRow | None = None
        self._asked: int | None = None  # the make the frame came with
        self._doubted: tuple[int, float] | None = None  # the wheel and weight that were asked about
        self._loading = False
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE_MS)
        self._pause.timeout.connect(self._on_rested)
        self.sensors = SensorWatch(desk, self.messages, self, rooms=True)
        self.page = ShelfPage(self.sensors)
        self.wheel = WheelPage(self.page.rack.thumbs)
        self.head, self.about, self.needs = self.wheel.head, self.wheel.about, self.wheel.needs
        self.chart, self.air = self.wheel.chart, self.wheel.air
        self.visits = VisitController(desk, self.messages, self._current_wheel, self.page.ask, self)
        self.acts = WheelActs(desk, self.messages, self._current_wheel, self.page.ask, self)
        self.profiles = ProfileController(desk, self.wheel, self)
        self.outgoing = OutgoingController(
            desk, self.messages, self._current_shelf, self.page.ask, self
        )
        self.wheel.rind.path_of = self.journal.photos.file
        self.wheel.rind.went.connect(self.show_photos)
        self.wheel.note_opened.connect(self._on_note)
        self.wheel.why.clicked.connect(partial(show_why, self, self.current_record))
        self.setAcceptDrops(True)
        self._schedule = ScheduleAsk(self.page.mover)
        self.page.picked.connect(self._on_picked)
        self.page.opened.connect(self._on_opened)
        self.page.weighed.connect(self._on_weighed)
        self.page.cared.connect(self._care)
        self.page.act_asked.connect(self.act)
        self.page.shelf_act_asked.connect(self.act_shelf)
        self.page.list_asked.connect(self.turn_list)
        self.page.rack.moved.connect(self._on_dragged)
        self.page.move_asked.connect(self.move_wheel)
        self.page.gone_asked.connect(self.acts.gone)
        self.acts.wheel_chosen.connect(self.page.select)
        self.page.record_asked.connect(self.acts.show_record)
        self.page.air_asked.connect(self.acts.ask_air)
        self.page.rack.head_picked.connect(self.acts.ask_air)
        self.pages = QStackedWidget()
        self.pages.addWidget(self.page)
        self.pages.addWidget(self._empty())
        self.timeline = Timeline()
        self.timeline.went.connect(self._on_instant)
        self.arrange(self.pages, scrolled(self.wheel), self.timeline)
        self.page.show_list(self.desk.settings.value(_LISTED, False, type=bool) is True)

    # Build

    def _empty(self) -> EmptyPage:
        begin = Button("Go to the vat", MAIN, "place_4")
        begin.clicked.connect(self._on_begin)
        return EmptyPage(
            "No wheels yet.",
            "The wheels of each finished make will appear here, room by room, with what they "
            "need and when, their weight and the air of the room. To add wheels, finish a "
            "make with their weights.",
            (begin,),
        )

    def commands(self) -> tuple[Command, ...]:
        cares = tuple(
            Command(kind, worded("desk.care-of-the-wheel", care=kind), partial(self._care, kind),
                    (f"care_{kind}",), self.has_wheel)
            for kind in CARE_LETTERS
        )  # fmt: skip
        shelf = tuple(
            Command(f"shelf_{kind}", worded("desk.care-of-the-shelf", care=kind),
                    partial(self._care_shelf, kind), (f"shelf_{kind}",), self.has_wheel)
            for kind in CARE_LETTERS
        )  # fmt: skip
        has = self.has_wheel
        return (
            Command("act", "Do what the wheel needs", self.act, ("main",), self.has_wheel),
            Command("act_shelf", "Do what the shelf needs", self.act_shelf, ("larger_act",), has),
            Command("weigh", "Weigh the wheel", self.weigh, ("amount",), self.has_wheel),
            *cares, *shelf,
            Command("list", "Show the wheels as a list, or on their shelves", self.turn_list),
            Command("unfold", "Unfold the day on the timeline", self.timeline.turn, (), has),
            Command("move", "Move the wheel to a room", self.move_wheel, (), self.has_wheel),
            Command("schedule", "Schedule of the wheel…", self.ask_schedule,
                    ("wheel_schedule", "schedule"), has),
            Command("make_schedule", "Schedule of all wheels of the make…",
                    self.ask_make_schedule, (), has),
            *self.visits.commands(),
            Command("photos", "Photos of all wheels…", self.show_photos),
            *self.acts.commands(), why_command(self, self.current_record),
            *self.outgoing.commands(),
            history_command(self, self.desk, self.current_record, "wheel"),
        )  # fmt: skip

    def current_record(self) -> CurrentRecord | None:
        """The selected wheel."""
        row = self.page.current()
        return CurrentRecord("wheel", row.wheel_id, row.code) if row is not None else None

    def _current_wheel(self) -> Wheel | None:
        row = self.page.current()
        return row.life.wheel if row is not None else None

    def _current_shelf(self) -> list[Wheel]:
        shelf = self.page.current_shelf()
        return [] if shelf is None else [row.life.wheel for row in shelf.rows]

    # Fill

    def entered(self) -> None:
        here = self.page.current()
        rows = shelf_rows(self.journal, self.desk.clock())
        if here is not None and here.life.wheel.make_id == self.desk.make_id:
            self._load(here.wheel_id, rows)
        else:
            wheel_id = _wheel_of(rows, self.desk.make_id)
            self._load(wheel_id, rows)
            if wheel_id is not None:
                self.page.select(wheel_id)  # also where a filter hid it
        self._say_what_is_missing()
        self.visits.look()
        self.page.focus_wheels()

    def list_to_filter(self) -> RowsView[Any] | None:
        """What is typed narrows the list, which is shown then."""
        self.page.show_list(True)
        return super().list_to_filter()

    def show_make(self, make_id: int) -> None:
        self._asked = make_id

    def on_change(self, change: Change) -> None:
        if change.kinds & _SHOWN:
            here = self.page.current()
            self._shown = None
            rows = shelf_rows(self.journal, self.desk.clock())
            self._load(here.wheel_id if here else None, rows)

    def hideEvent(self, event: QHideEvent) -> None:
        """What one was about to see is not read once the place, or the journal, is left."""
        super().hideEvent(event)
        self._pause.stop()

    def settled(self) -> bool:
        reading = self.page.rack.thumbs.pending
        return not reading and not self._pause.isActive() and super().settled()

    def _load(self, wheel_id: int | None, rows: list[ShelfRow]) -> None:
        now = self.desk.clock()
        self.pages.setCurrentIndex(0 if rows else 1)
        rinds = last_rinds(self.journal, [row.wheel_id for row in rows])
        file = self.journal.photos.file
        self.page.rack.photo_of = lambda wheel: file(rinds.get(wheel, ""))
        self._loading = True
        self.page.show_rows(rows, wheel_id, shelves_of(self.journal, rows, now), now)
        self._loading = False
        self.page.week.show_week(week_of(rows, local(now, self.journal.zone).date()))

    def _say_what_is_missing(self) -> None:
        """The frame came with a make that has no wheel on the shelf: say so."""
        asked, self._asked = self._asked, None
        rows = self.page.table.rows
        if asked is None or not rows or any(r.life.wheel.make_id == asked for r in rows):
            self.clear("missing")
            return
        code = self.journal.makes.get(asked).code
        self.say("missing", worded("desk.no-wheels-in-a-room", code=code), attention=False)

    def _show(self, row: ShelfRow | None) -> None:
        self._pause.stop()
        if row is None:
            self._shown = None
            self.profiles.stop()
            self.wheel.clear()
            self.timeline.show_life(None)
            return
        wheel = row.life.wheel
        if self._shown == wheel.id:
            return
        self._shown = wheel.id
        room = None if wheel.room_id is None else self.journal.rooms.get(wheel.room_id)
        photos = photos_of(self.journal, row.wheel_id)
        notes = visits_of(self.journal, row.wheel_id)
        self.wheel.show_wheel(row, room, photos, notes, self.journal.zone)
        self.profiles.show(row.wheel_id)
        now = self.desk.clock()
        self._show_weight(row, None)
        self._show_air(room, now)
        try:
            life = life_of(self.journal.whole(wheel.make_id), now, wheel.id)
        except KeepingError as error:
            self.say("life", text_of(error))
            life = None
        else:
            self.clear("life")
        self._life = life
        self.timeline.show_life(life)
        self._look_ahead(row)

    def _show_weight(self, row: ShelfRow, outlook: Outlook | None) -> None:
        """The wheel's weight, and what is expected of it once that is known."""
        wheel, begun = row.life.wheel, row.life.started_ms
        weighings = sorted(self.journal.weighings.where(wheel_id=wheel.id), key=_at)
        band = None if outlook is None else outlook.weight
        age = (self.desk.clock() - begun) / DAY_MS
        green, zone = wheel.green_weight_kg, row.life.zone
        self.chart.show_wheel(WheelView(row.code, begun, age, green, weighings, band, zone))
        self.wheel.show_outlook(outlook)

    def _look_ahead(self, row: ShelfRow) -> None:
        """Ask what is expected of the wheel, away from the screen."""
        task = self.desk.work.start_file(
            "outlook", str(self.journal.path), outlook_of, row.wheel_id, self.desk.clock()
        )
        task.finished.connect(self._on_outlook)

    def _on_outlook(self, outlook: Outlook) -> None:
        row = self.page.current()
        if row is None or row.wheel_id != outlook.wheel_id:
            return
        self._show_weight(row, outlook)
        if self._life is not None and outlook.window_ms is not None:
            zero = self._life.zero_ms
            first, last = ((at - zero) / MINUTE_MS for at in outlook.window_ms)
            self.timeline.show_life(replace(self._life, ready=(first, last)))

    def _show_air(self, room: Room | None, now_ms: int) -> None:
        """The year of the room's air."""
        days = [] if room is None else days_of(self.journal, room, now_ms - _YEAR_MS)
        hours = partial(hours_of, self.journal, room) if room is not None else no_hours
        self.air.show_air(room, days, hours, local(now_ms, self.journal.zone).date())

    # Commands

    def has_wheel(self) -> bool:
        """A wheel is selected."""
        return self.page.current() is not None

    def act(self) -> None:
        """Do what the wheel needs next, and go on to the next wheel that wants something; what
        stands in the form is saved first."""
        if self.page.form.open:
            self.page.form.submit()
            return
        row = self.page.current()
        if row is None or row.next is None:
            return
        if row.next.kind == "weigh":
            self.weigh()
        elif row.next.kind == TASTE:
            self.goes.emit("tastings", row.life.wheel.make_id)
        elif row.next.kind == "move":
            self.move_wheel()
        else:
            self._care(row.next.kind)
            self._go_to_wanting(row.wheel_id)

    def act_shelf(self) -> None:
        """Give the whole shelf the care it wants, and go on to the next wheel that wants some."""
        shelf, row = self.page.current_shelf(), self.page.current()
        kind = "" if shelf is None else shelf.errand(row)
        if shelf is None or row is None or not kind:
            return
        if self._give(kind, shelf.wanting(kind), shelf):
            self._go_to_wanting(row.wheel_id)

    def _care_shelf(self, kind: str) -> None:
        """Give every wheel of the shelf that care, asked for or not."""
        shelf = self.page.current_shelf()
        if shelf is not None:
            self._give(kind, shelf.rows, shelf)

    def _give(self, kind: str, rows: Sequence[ShelfRow], shelf: Shelf) -> bool:
        """The same care for several wheels, as one act."""
        wheels = [row.life.wheel for row in rows]
        try:
            self.journal.shelves.care(wheels, kind, self.desk.clock())
        except KeepingError as error:
            self.say("room", text_of(error))
            return False
        self.clear("room")
        self.page.field.note(
            worded("desk.shelf-cared", care=kind, wheels=len(rows), shelf=shelf.name)
        )
        return True

    def turn_list(self) -> None:
        """Show the wheels as a list, or on their shelves again."""
        listed = not self.page.listed
        self.desk.settings.setValue(_LISTED, listed)
        self.page.show_list(listed)

    def weigh(self) -> None:
        """Put the cursor into the weight."""
        if self.has_wheel():
            self.page.field.line.setFocus()

    def move_wheel(self) -> None:
        """Ask for the room the wheel is moved to."""
        row = self.page.current()
        if row is not None:
            known = ", ".join(room.name for room in self.journal.rooms.all())
            hint = worded("desk.where-to-hint", rooms=known or worded("desk.a-room"))
            field = Field("room", "To room", AS_TYPED, hint=hint, needed=True, name="Move to")
            save = partial(self._move, row)
            title = worded("desk.move", code=row.code)
            self.page.mover.ask(FormSpec(title, (field,), save, "move"))

    def ask_schedule(self) -> None:
        """Ask for a schedule of the wheel's own."""
        row = self.page.current()
        if row is not None:
            wheel, keeper = row.life.wheel, self.journal.schedules
            give = partial(keeper.give_wheel, wheel)
            day = keeper.plan_of(self.journal.makes.get(wheel.make_id)).care_from_day
            self._schedule.ask(wheel.code, keeper.of_wheel(wheel), day, give)

    def ask_make_schedule(self) -> None:
        """Ask for a schedule of all wheels of the make."""
        row = self.page.current()
        if row is not None:
            make, keeper = self.journal.makes.get(row.life.wheel.make_id), self.journal.schedules
            day = keeper.plan_of(make).care_from_day
            give = partial(keeper.give_make, make)
            self._schedule.ask(make.code, keeper.of_make(make), day, give)

    def show_photos(self, first: WheelPhoto | None = None) -> None:
        """The photos of all wheels, from one of them on."""
        journal, save = self.journal, self.visits.save_rim
        PhotosDialog(
            wall_of(journal), journal.photos.file, journal.zone, self, first or None, save
        ).open()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """A photo may be dropped on a wheel, or beside them for the current one; a logger's file
        is of the room."""
        data = event.mimeData()
        if files_in(data, (*dialogs.PHOTO_ENDS, *TABLES)) and self.has_wheel():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        rack = self.page.rack
        over = rack.wheel_at(rack.mapFrom(self, event.position())) if rack.isVisible() else None
        if over is not None:
            self.page.select(over)
        wheel, photos = self._current_wheel(), files_in(event.mimeData(), dialogs.PHOTO_ENDS)
        if wheel is not None and photos:
            event.acceptProposedAction()
            self.visits.save(photos, wheel)
        for path in files_in(event.mimeData(), TABLES):
            event.acceptProposedAction()
            self.acts.bring_air(path)

    def _care(self, kind: str) -> None:
        row = self.page.current()
        if row is None:
            return
        care = Care(row.wheel_id, kind, self.desk.clock())
        if self._save(f"{kind} {row.code}", self.journal.cares.save, care):
            self.clear("room")
            self.page.field.note(worded("desk.care-saved", code=row.code, care=kind))

    def _save(self, name: str, save: Callable[[Kept], Kept], record: Kept) -> bool:
        """Keep one record as a step of that name; a sentence when it cannot be."""
        try:
            with self.journal.unit(name, initiator=self):
                save(record)
        except KeepingError as error:
            self.say("room", text_of(error))
            return False
        return True

    def _go_to_wanting(self, after_id: int) -> None:
        rows = self.page.rows()
        here = next((i for i, r in enumerate(rows) if r.wheel_id == after_id), -1)
        for row in [*rows[here + 1 :], *rows[: here + 1]]:
            if row.wants:
                self.page.select(row.wheel_id)
                return

    # Handlers

    def _on_picked(self, row: ShelfRow | None) -> None:
        self._wanted = row
        if row is not None and not self._loading:
            self.desk.make_id = row.life.wheel.make_id
        if row is None or self._shown is None:
            self._show(row)
        else:
            self._pause.start()

    def _on_rested(self) -> None:
        self._show(self._wanted)

    def _on_note(self, note: Note) -> None:
        row = self.page.current()
        if row is not None:
            self.visits.edit(note, row.code)

    def _on_opened(self, row: ShelfRow) -> None:
        self.goes.emit("makes", row.life.wheel.make_id)

    def _on_weighed(self, typed: Typed) -> None:
        row = self.page.current()
        if row is None:
            return
        field, last = self.page.field, row.life.weight_kg
        try:
            weighing = Weighing(row.wheel_id, self.desk.clock(), typed.stored)
        except RecordError as error:
            field.refuse(text_of(error))
            return
        now = row.life.weight
        doubt = weight_doubt(now.green_kg, typed.stored / now.left)
        if doubt and self._doubted != (weighing.wheel_id, typed.stored):
            self._doubted = (weighing.wheel_id, typed.stored)
            field.refuse(worded("desk.weight-doubted", doubt=doubt))
            return
        self._doubted = None
        name = worded("desk.step-weigh", code=row.code)
        if self._save(name, self.journal.weighings.save, weighing):
            field.clear_text()
            lost = lost_pct(row.life.wheel.green_weight_kg, typed.stored)
            field.note(weighed_words(row.code, typed.stored, last, lost))

    def _move(self, row: ShelfRow, filled: FormValues) -> None:
        self._put(row, filled.text("room"))

    def _on_dragged(self, wheel_id: int, shelf: Shelf, before: int) -> None:
        """Put a wheel down on a shelf, before the wheel of that number there."""
        row = self.page.current()
        if row is None or row.wheel_id != wheel_id or shelf.room_id is None:
            return
        order = [one.life.wheel for one in shelf.rows if one.wheel_id != wheel_id]
        same = row in shelf.rows
        order.insert(before, row.life.wheel)
        try:
            room = self.journal.rooms.get(shelf.room_id)
            wheels, place = (order, 1) if same else ([row.life.wheel], None)
            self.journal.shelves.move(wheels, room, self.desk.clock(), shelf.shelf, place)
        except KeepingError as error:
            self.say("room", text_of(error))
        else:
            text = worded("desk.moved-to", code=row.code, shelf=shelf.name)
            self.say("room", text, attention=False)

    def _put(self, row: ShelfRow, name: str) -> None:
        """Move a wheel to "room", "room/shelf" or "room/shelf/place"."""
        room_name, *rest = (part.strip() for part in name.split("/"))
        shelf = rest[0] if rest else ""
        place = int(rest[1]) if len(rest) > 1 and rest[1].isdecimal() else None
        with self.journal.unit(worded("desk.step-move", code=row.code), initiator=self):
            room = self.journal.shelves.room_named(room_name, new=True)
            now = self.desk.clock()
            self.journal.shelves.move([row.life.wheel], room, now, shelf, place)

    def _on_instant(self, _at_ms: int) -> None:
        row = self.page.current()
        if row is not None:
            self.goes.emit("makes", row.life.wheel.make_id)

    def _on_begin(self) -> None:
        self.goes.emit("vat", None)


def _at(weighing: Weighing) -> int:
    return weighing.at_ms


def _wheel_of(shelf: list[ShelfRow], make_id: int | None) -> int | None:
    """The wheel of a make that wants something, else its first; where it has none on the shelf, the
    first of all that wants something."""
    rows = [row for row in shelf if row.life.wheel.make_id == make_id] or shelf
    wanting = [row for row in rows if row.wants]
    return (wanting or rows)[0].wheel_id if rows else None
