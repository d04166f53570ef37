"""Makes: every make with its small curve and best score; the selected one is open everywhere."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QTimer
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from journal.background import State
from journal.desk.asking import agreed
from journal.desk.buttons import MAIN, Button
from journal.desk.commands import Command
from journal.desk.empty import EmptyPage
from journal.desk.form.ask import AskRow
from journal.desk.form.form import FormSpec
from journal.desk.form.spec import AS_TYPED, Field, FormValues
from journal.desk.late import OnDemand
from journal.desk.makes.all_makes import AllMakesChart
from journal.desk.makes.corrections import CorrectionActs
from journal.desk.makes.makes_list import MakesList
from journal.desk.makes.page import MakePage
from journal.desk.makes.printing import print_record, save_page
from journal.desk.makes.small_curve import SmallCurves
from journal.desk.own_schedule import ScheduleAsk
from journal.desk.pages import PageWidths
from journal.desk.past import history_command
from journal.desk.place import CurrentRecord, Desk, Place
from journal.desk.theme import STEP
from journal.desk.timeline import Timeline, life_of
from journal.desk.vat.acts import why_failed
from journal.desk.why.command import show_why, why_command
from journal.keeping import Change, Journal, KeepingError, MakeRow
from journal.keeping.makes import Stamp
from journal.records import id_of
from journal.records.instants import DAY_MS
from journal.records.makes import Make, tags_of
from journal.records.whole import WholeMake
from journal.wording import text_of, worded

_UNDELETE, _READING = "_on_undelete", "makes"
FIRST = 100  # makes that are shown at once, where there are many
_SEASONS, _HALVES = "makes/seasons", ("", "north", "south")
PAUSE_MS = 60  # one rests so long on a make before it is read and drawn
_SHOWN = {"make", "plan", "reading", "wheel", "score", "tasting", "sample", "stage_run", "note",
          "weighing", "care", "entered", "assessor", "calibration"}  # fmt: skip


class MakesPlace(Place):
    """The list on the left, the make on the right, its life below."""

    key = "makes"
    title = "Makes"
    fold = PageWidths(0.5, 520, 1000, 420, 420)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._whole: WholeMake | None = None
        self._wanted: int | None = None
        self._failing = 0  # the make whose failing is asked about
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE_MS)
        self._pause.timeout.connect(self._on_rested)
        self.page = MakePage()
        self.page.chart.went.connect(self._on_instant)
        self.page.why.clicked.connect(partial(show_why, self, self.current_record))
        self.curves = SmallCurves(self.journal)
        self.list = MakesList(self.curves, desk.settings)
        self.list.shown_anew.connect(self._on_shown_anew)
        self.all_makes = OnDemand(self._made_all)  # all makes on a timeline
        self.right = QStackedWidget()
        self.right.addWidget(self.page)
        self.list.all.toggled.connect(self._on_all)
        self.list.picked.connect(self._on_picked)
        self.list.opened.connect(self._on_opened)
        self.list.go_on.connect(self.go_on)
        self.pages = QStackedWidget()
        self.pages.addWidget(self.list)
        self.pages.addWidget(self._empty())
        self.ask = AskRow()
        self.ask.closed.connect(self._on_asked)
        self._schedule = ScheduleAsk(self.ask)
        self._corrections = CorrectionActs(
            self.journal, desk.clock, self.current_record, self.open_used, self.window
        )
        self.timeline = Timeline()
        self.timeline.went.connect(self._on_instant)
        self.arrange(self._list_page(), self.right, self.timeline)

    # Build

    def _made_all(self) -> AllMakesChart:
        made = AllMakesChart()
        made.went.connect(self.show_make)
        made.turn_seasons(self._southern())
        self.right.addWidget(made)
        return made

    def _list_page(self) -> QWidget:
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        asks = QHBoxLayout()
        asks.setContentsMargins(8 * STEP, 4 * STEP, 7 * STEP, 0)
        asks.addWidget(self.ask)
        column.addLayout(asks)
        column.addWidget(self.pages, 1)
        return page

    def _empty(self) -> EmptyPage:
        begin = Button("Choose a plan", MAIN, "place_2")
        begin.clicked.connect(self._on_begin)
        bring = Button("Import past makes", key="bring_makes")
        bring.clicked.connect(self._on_bring)
        return EmptyPage(
            "No makes yet.",
            "Every make will appear here, the newest first, with its curve and the best "
            "score of its wheels. Start one from a plan, or import a table of past makes.",
            (begin, bring),
        )

    def commands(self) -> tuple[Command, ...]:
        return (
            Command("go_on", "Continue this make", self.go_on, ("main",),
                    self.has_make),
            Command("as_last_time", "Repeat this make with a change", self.as_last_time,
                    (), self.has_make),
            Command("print_record", "Print the record…", self.print_record, ("print",),
                    self.has_make),
            Command("save_page", "Save as a page to send…", self.save_page, ("to_send",),
                    self.has_make),
            Command("unfold", "Unfold the day on the timeline", self.timeline.turn, (),
                    self.has_make),
            Command("all_makes", "Timeline of all makes, or the make", self.turn_right,
                    ("next",), self.has_make),
            Command("seasons", "Seasons on the timeline: of the zone, north, south",
                    self.turn_seasons, enabled=self.shows_all),
            Command("list_layout", "Columns, order, groups…", self.list.show_menu,
                    ("order",)),
            Command("tags", "Tags…", self.ask_tags, (), self.has_make),
            Command("schedule", "Schedule of its wheels…", self.ask_schedule, (),
                    self.has_make),
            *self._corrections.commands(),
            Command("failed", "Mark as failed or abandoned…", self.ask_failed,
                    enabled=self.may_fail),
            Command("not_failed", "Mark as not failed", self.take_back_failure,
                    enabled=self.has_failed),
            Command("delete", "Delete the make", self.delete_make, (), self.has_make),
            Command("undelete", "Undelete a make…", self.ask_undelete,
                    enabled=self.has_deleted),
            why_command(self, self.current_record),
            history_command(self, self.desk, self.current_record, "make"),
        )  # fmt: skip

    # Fill

    def entered(self) -> None:
        self._load(self.desk.make_id)
        if self._pause.isActive():
            self._on_rested()  # the pause is for going down the list, not for coming here
        listed = self.pages.currentIndex() == 0
        (self.list.table if listed else self.pages.currentWidget()).setFocus()

    def show_make(self, make_id: int) -> None:
        self.list.select(make_id)

    def on_change(self, change: Change) -> None:
        if not change.kinds & _SHOWN:
            return
        # A check of an instrument holds for every make after it.
        makes = frozenset() if "calibration" in change.kinds else change.makes
        if change.kinds & {"reading", "calibration"}:
            self.curves.forget(makes)
        if self._whole is not None and (not makes or self._whole.make.id in makes):
            self._whole = None
        here = self.list.current()
        self._load(here.id if here else None)

    def hideEvent(self, event: QHideEvent) -> None:
        """What one was about to see is not read once the place, or the journal, is left."""
        super().hideEvent(event)
        self._pause.stop()

    def settled(self) -> bool:
        return not self._pause.isActive() and super().settled()

    def _load(self, make_id: int | None) -> None:
        """Show all makes; of many the newest at once, and the others as soon as they are read."""
        makes = self.journal.makes
        first = makes.newest_rows(FIRST, make_id)
        if first is None:
            self.desk.work.stop(_READING)
            rows = makes.rows()
            self.pages.setCurrentIndex(0 if rows else 1)
            self.list.show_rows(rows, make_id)
            return
        self.pages.setCurrentIndex(0)
        shown = self.list.table.rows
        known = {row.id: row for row in first}
        rows = [known.get(row.id, row) for row in shown] if shown else first
        self.list.show_rows(rows, make_id, makes.count())
        path = str(self.journal.path)
        task = self.desk.work.start_file(_READING, path, _all_rows)
        task.finished.connect(partial(self._on_all_rows, makes.rows_stamp()))

    def _on_all_rows(self, stamp: Stamp, rows: list[MakeRow]) -> None:
        here = self.list.current()
        if stamp == self.journal.makes.rows_stamp():
            self.journal.makes.take_rows(rows, stamp)
        self._load(here.id if here is not None else None)

    def _show(self, make_id: int | None) -> None:
        self._pause.stop()
        if make_id is None:
            self._whole = None
            self.page.show_make(None)
            self.timeline.show_life(None)
            return
        if self._whole is None or self._whole.make.id != make_id:
            try:
                self._whole = self.journal.whole(make_id)
            except KeepingError as error:
                self.say("makes", text_of(error))
                return
            self.clear("makes")
            self.desk.make_id = make_id
            self.page.show_make(self._whole)
        self.timeline.show_life(life_of(self._whole, self.desk.clock()))

    # Commands

    def has_make(self) -> bool:
        """A make is selected."""
        return self.list.current() is not None

    def go_on(self) -> None:
        """Take the make to the vat while it runs, else beside others."""
        row = self.list.current()
        if row is not None:
            self._show(row.id)
            self.goes.emit("vat" if _runs(row) else "compare", row.id)

    def as_last_time(self) -> None:
        """Take the make's plan, as it was, to Plans as a draft."""
        row = self.list.current()
        if row is not None:
            self.goes.emit("plans", row.id)

    def print_record(self) -> None:
        """Ask where, and write the record of the selected make."""
        row = self.list.current()
        if row is not None:
            print_record(self, row)

    def save_page(self) -> None:
        """Ask where, and write the selected make as a page to send."""
        row = self.list.current()
        if row is not None:
            save_page(self, row)

    def may_fail(self) -> bool:
        """The selected make has not failed."""
        row = self.list.current()
        return row is not None and not row.failed

    def has_failed(self) -> bool:
        """The selected make has failed."""
        row = self.list.current()
        return row is not None and row.failed

    def has_deleted(self) -> bool:
        """There is a make in the bin."""
        return bool(self.journal.outcomes.deleted())

    def ask_schedule(self) -> None:
        """Ask for a schedule of the make's own, for all its wheels."""
        row = self.list.current()
        if row is not None:
            make, keeper = self.journal.makes.get(row.id), self.journal.schedules
            day = keeper.plan_of(make).care_from_day
            give = partial(keeper.give_make, make)
            self._schedule.ask(make.code, keeper.of_make(make), day, give)

    def current_record(self) -> CurrentRecord | None:
        """The selected make."""
        row = self.list.current()
        return CurrentRecord("make", row.id, row.code) if row is not None else None

    def turn_right(self) -> None:
        """Show all makes on a timeline instead of the one, or that again."""
        self.list.all.toggle()

    def shows_all(self) -> bool:
        """The timeline of all makes is seen."""
        return self.right.currentIndex() == 1

    def turn_seasons(self) -> None:
        """Name the seasons of the zone, of the north, of the south, in turn."""
        here = str(self.desk.settings.value(_SEASONS, ""))
        now = _HALVES[(_HALVES.index(here) + 1) % len(_HALVES)] if here in _HALVES else _HALVES[1]
        self.desk.settings.setValue(_SEASONS, now)
        self.all_makes.made().turn_seasons(self._southern())
        words = worded("desk.seasons-of", half=now) if now else "Seasons of the makes' zone."
        self.say("makes", words, attention=False)

    def _southern(self) -> bool | None:
        """Whether the seasons are those of the south; None: of the zone."""
        half = str(self.desk.settings.value(_SEASONS, ""))
        return {"north": False, "south": True}.get(half)

    def _on_all(self, all_of_them: bool) -> None:
        self.right.setCurrentWidget(self.all_makes.made() if all_of_them else self.page)
        self._on_shown_anew()

    def _on_shown_anew(self) -> None:
        if self.right.currentIndex() == 1:
            here = self.list.current()
            self.all_makes.made().show_makes(self.list.shown, here.id if here else None)

    def ask_tags(self) -> None:
        """Ask for the tags of the make."""
        row = self.list.current()
        if row is not None:
            words = " ".join(tags_of(row.remark))
            field = Field(
                "tags", "Tags, a blank between two", AS_TYPED, text=words, hint="gift raw"
            )
            save = partial(self._on_tags, row.id)
            self.ask.ask(
                FormSpec(worded("desk.tags-of", code=row.code), (field,), save, f"tags {row.id}")
            )

    def _on_tags(self, make_id: int, values: FormValues) -> None:
        tags = tags_of(" ".join(f"#{tag.strip('#,')}" for tag in values.text("tags").split()))
        self.journal.makes.tag(make_id, tags)

    def ask_failed(self) -> None:
        """Ask why the make failed, or is abandoned."""
        row = self.list.current()
        if row is not None and not row.failed:
            self._failing = row.id
            self.ask.ask(why_failed(row.code, _runs(row), self._on_failed_why))

    def _on_failed_why(self, message: FormValues) -> None:
        self.journal.outcomes.fail(self._failing, message.text("why"), self.desk.clock())

    def take_back_failure(self) -> None:
        """The make did not fail; one that was abandoned runs on."""
        row = self.list.current()
        if row is not None and row.failed:
            self._do(self.journal.outcomes.take_back_failure, row.id)

    def delete_make(self) -> None:
        """Put the make into the bin."""
        row = self.list.current()
        if row is None:
            return
        if not agreed(self, self.desk.settings, worded("desk.delete-make-asked", code=row.code)):
            return
        if self._do(self.journal.outcomes.delete, row.id):
            self.say("makes", worded("desk.make-deleted", code=row.code), attention=False)

    def ask_undelete(self) -> None:
        """Ask which make to bring back from the bin."""
        codes = self.journal.outcomes.deleted()
        if codes:
            field = Field("code", "Which make", AS_TYPED, text=codes[0], hint=codes[0])
            title = worded("desk.in-the-bin", codes=codes)
            self.ask.ask(FormSpec(title, (field,), self._on_undelete, _UNDELETE))

    def _on_undelete(self, message: FormValues) -> None:
        make = self.journal.outcomes.undelete(message.text("code"))
        self.list.select(id_of(make))
        self.clear("makes")

    def _do(self, act: Callable[[int], Make], make_id: int) -> bool:
        """Do it; what is refused is said in the place."""
        try:
            act(make_id)
        except KeepingError as error:
            self.say("makes", text_of(error))
            return False
        self.clear("makes")
        return True

    # Handlers

    def _on_asked(self) -> None:
        self.list.table.setFocus()

    def _on_picked(self, row: MakeRow | None) -> None:
        self._wanted = row.id if row is not None else None
        self.list.next.setEnabled(row is not None)
        self._on_shown_anew()
        if row is None:
            self._show(None)
            return
        words = "Go to the vat" if _runs(row) else "Compare"
        self.list.next.set_label(words, "main")
        if self._whole is None and not self._pause.isActive():
            self._show(row.id)
        elif self._whole is None or self._whole.make.id != row.id:
            self._pause.start()
        else:
            self._show(row.id)

    def _on_rested(self) -> None:
        self._show(self._wanted)

    def _on_opened(self, row: MakeRow) -> None:
        self._show(row.id)
        self.list.table.setFocus()

    def _on_instant(self, at_ms: int) -> None:
        """Where that part of its life is written down."""
        if self._whole is None:
            return
        make = self._whole.make
        if make.finished_ms is None:
            self.goes.emit("vat", make.id)
        elif at_ms <= make.finished_ms:
            self.goes.emit("compare", make.id)
        else:
            near = any(abs(g.at_ms - at_ms) < 2 * DAY_MS for g in self._whole.scores)
            self.goes.emit("tastings" if near else "room", make.id)

    def _on_begin(self) -> None:
        self.goes.emit("plans", None)

    def _on_bring(self) -> None:
        self.desk.bring_makes()


def _runs(row: MakeRow) -> bool:
    return row.finished_ms is None and not row.failed


def _all_rows(journal: Journal, _state: State) -> list[MakeRow]:
    return journal.makes.rows()
