"""Today: what to do now in order, and beside it what is to come. Nothing heavy loads here."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QTimer
from PySide6.QtGui import QFocusEvent, QHideEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.cells import EDGE, cell_text, line_high
from journal.desk.charts.marks import Mark, TriangleMark
from journal.desk.commands import Command
from journal.desk.empty import EmptyPage
from journal.desk.labels import Label
from journal.desk.late import LatePart
from journal.desk.layouts import in_column, in_row
from journal.desk.pages import PageWidths
from journal.desk.place import Desk, Place
from journal.desk.series_change import series_change
from journal.desk.tables import Column, RowsView
from journal.desk.theme import LEAD, SMALL, STEP, TEXT, TITLE, scaled
from journal.desk.week import WeekStrip
from journal.keeping import Change, DamageError, KeepingError
from journal.records import id_of
from journal.reports.agenda import STOCK, Agenda, AgendaItem, AgendaLine, agenda_of
from journal.wording import text_of, worded
from journal.wording.ages import ago
from journal.wording.dates import format_day
from journal.wording.sentences import word_of
from journal.wording.today import next_due_words, today_headline

if TYPE_CHECKING:
    from journal.desk.makes.chart import MakeChart  # loaded once the page was seen

TICK_MS = 20_000
ROW_HEIGHT = 13 * STEP
_LIVE_PX = 70 * STEP
_SHOWN = {"make", "stage_run", "wheel", "care", "weighing", "ingredient", "addition", "plan",
         "score", "tasting", "sample", "room", "generation", "series",
         "series_make"}  # fmt: skip
_GO = {
    "vat": "Go to the vat",
    "wheels": "Go to Ageing",
    "tastings": "Go to the tastings",
    "stock": "Go to the stock",
}


class ComingRows(RowsView[AgendaItem]):
    """A list with a selected line only while it has the focus."""

    def show_rows(self, rows: Sequence[AgendaItem]) -> None:
        super().show_rows(rows)
        if not self.hasFocus():
            self.setCurrentIndex(QModelIndex())

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if self.current() is None and self.rows_model.rows:
            self.select(0)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.setCurrentIndex(QModelIndex())


class TodayPlace(Place):
    """Two lists: Enter on a line goes where it is done."""

    key = "today"
    title = "Today"
    fold = PageWidths(0.62, 520, 1000, 380, 420)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.date = Label("", role="quiet")
        self.head = Label("", TITLE, bold=True)
        self.next = Label("", LEAD, wrap=True)
        self.list = RowsView(
            "To do now",
            (
                Column("", _group, quiet=True, marks=_group_marks),
                Column("to do", _whole, stretch=True, marks=self._item_marks),
                Column("when", _when, right=True, marks=_when_marks),
            ),
            row_height=ROW_HEIGHT,
            in_order=True,
        )
        self.list.horizontalHeader().hide()
        self.list.opened.connect(self._on_opened)
        self.list.picked.connect(self._on_picked)
        self._rest = QWidget()
        self.backup = Label("", role="quiet")
        self.go_there = Button("Go there", MAIN, "main")
        self.go_there.clicked.connect(self.go_on)
        self.coming = ComingRows(
            "Coming up",
            (
                Column("day", _when, quiet=True),
                Column("what", _title, stretch=True),
            ),
        )
        self.coming.horizontalHeader().hide()
        self.coming.opened.connect(self._on_opened)
        self._coming_head = Label("Coming up", LEAD, bold=True)
        self.week = WeekStrip(lines=3, nothing="nothing is due this week", leads=True)
        self.week.went.connect(self._on_day)
        self.live: MakeChart | None = None  # once a make runs and the page was seen
        self._late: LatePart | None = None
        self._live_head = Label("", LEAD, bold=True)
        self._live_head.hide()
        self._timer = QTimer(self)
        self._timer.setInterval(TICK_MS)
        self._timer.timeout.connect(self._load)
        self.pages = QStackedWidget()
        self.pages.addWidget(self._page())
        self.pages.addWidget(self._empty())
        self.arrange(self.pages, self._coming_page())

    # Build

    def _page(self) -> QWidget:
        page = QWidget()
        column = in_column(of=page, margins=(5 * STEP, 5 * STEP, 4 * STEP, 5 * STEP), gap=STEP)
        for label in (self.date, self.head, self.next):
            column.addLayout(_inset(label))
        column.addSpacing(3 * STEP)
        column.addWidget(self.list, 1)
        column.addWidget(self._rest, 1)
        column.addWidget(self.week)
        column.addSpacing(2 * STEP)
        foot = _inset(self.go_there)
        foot.addStretch(1)
        foot.addWidget(self.backup)
        column.addLayout(foot)
        return page

    def _coming_page(self) -> QWidget:
        page = QWidget()
        column = in_column(of=page, margins=(5 * STEP, 6 * STEP, 6 * STEP, 5 * STEP), gap=3 * STEP)
        self._live_at = column
        column.addLayout(_inset(self._live_head))
        column.addLayout(_inset(self._coming_head))
        column.addWidget(self.coming, 1)
        return page

    def _empty(self) -> EmptyPage:
        begin = Button("Choose a plan", MAIN, "place_2")
        begin.clicked.connect(self._on_begin)
        return EmptyPage(
            "Nothing to do yet.",
            "Your tasks will appear here: the next step of the running make, wheels to turn "
            "or weigh, tastings that are due, and stock that is low or past its date. To "
            "begin, choose a plan and start a make.",
            (begin,),
        )

    def commands(self) -> tuple[Command, ...]:
        return (
            Command("go_on", "Go to the task", self.go_on,
                    ("main",), self.has_item),
        )  # fmt: skip

    # Fill

    def entered(self) -> None:
        agenda = self._load()
        self._timer.start()
        if agenda.anything:
            (self.list if agenda.now else self.coming).setFocus()
        else:
            self.pages.currentWidget().setFocus()

    def on_change(self, change: Change) -> None:
        if change.kinds & _SHOWN:
            self._load()
        elif change.kinds & {"reading", "calibration"}:
            self._show_live()

    def show_make(self, make_id: int) -> None:
        """Today shows all makes."""

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self._timer.stop()

    def _load(self) -> Agenda:
        agenda = agenda_of(self.journal, self.desk.clock())
        self.pages.setCurrentIndex(0 if agenda.anything else 1)
        self.date.setText(format_day(agenda.today, year=False, weekday=True))
        self.head.setText(today_headline(len(agenda.now)))
        backed = next(iter(self.journal.backups()), None)
        self.backup.setText("No backup yet" if backed is None else worded(
            "desk.last-backup", ago=ago(backed.at_ms, self.desk.clock(), self.journal.zone)
        ))  # fmt: skip
        first = next(iter(agenda.coming), None)
        coming = ("", "") if first is None else (first.title, first.when)
        self.next.setText("" if agenda.now else next_due_words(*coming))
        self.next.setVisible(bool(self.next.text()))
        self.week.show_week(agenda.week)
        self._show_live()
        self.list.show_rows(agenda.now)
        self.list.setVisible(bool(agenda.now))
        self._rest.setVisible(not agenda.now)
        self.go_there.setVisible(bool(agenda.now))
        self.coming.show_rows(agenda.coming)
        self._coming_head.setText("Coming up" if agenda.coming else "")
        self.coming.setVisible(bool(agenda.coming))
        return agenda

    def _show_live(self) -> None:
        """The running make as a small curve; what draws it is loaded once the page was seen."""
        running = next(iter(self.journal.makes.running()), None)
        self._live_head.setVisible(running is not None)
        if self.live is not None:
            self.live.setVisible(running is not None)
        if running is None:
            return
        self._live_head.setText(worded("desk.in-the-vat", code=running.code))
        if self.live is not None:
            try:
                self.live.show_make(self.journal.whole(id_of(running)), running.name)
            except DamageError as error:
                self.live.setVisible(False)
                self.say("damage", text_of(error))
        elif self._late is None:
            self._late = LatePart(self.week, "journal.desk.makes.chart")
            self._late.loaded.connect(self._on_late)
            self.week.update()

    def _on_late(self) -> None:
        from journal.desk.makes.chart import MakeChart

        self.live = MakeChart()
        self.live.setFixedHeight(scaled(_LIVE_PX))
        self.live.went.connect(self._on_live)
        self._live_at.insertWidget(1, self.live)
        self._show_live()

    def settled(self) -> bool:
        return super().settled() and (self._late is None or self._late.settled())

    # Commands

    def has_item(self) -> bool:
        """There is a line to go from."""
        return self.list.current() is not None

    def go_on(self) -> None:
        """Go where the chosen thing is done."""
        here = self.coming.current() if self.coming.hasFocus() else None
        item = self.list.current() if here is None else here
        if item is not None:
            self._on_opened(item)

    # Handlers

    def _on_picked(self, item: AgendaLine) -> None:
        self.go_there.set_label(_GO[item.group], "main")

    def _on_opened(self, item: AgendaLine | AgendaItem) -> None:
        self.desk.wants = STOCK if item.group == STOCK else ""
        series_id = item.series_id if isinstance(item, AgendaItem) else None
        if series_id is None or self._bring_change(series_id):
            self.goes.emit(item.place, item.make_id)

    def _bring_change(self, series_id: int) -> bool:
        """Bring the plan of a series' next make along; False once it was said why not."""
        try:
            design = self.journal.designs.get(series_id)
            if design.next is not None:
                self.desk.change = series_change(self.journal, design, design.next)
        except KeepingError as error:
            self.say("series", text_of(error))
            return False
        return True

    def _on_day(self, on: date) -> None:
        """A day of the week was clicked: select what falls due on it."""
        for place, item in enumerate(self.coming.rows_model.rows):
            if item.on == on:
                self.coming.setFocus()
                self.coming.select(place)
                return
        self.list.setFocus()

    def _on_live(self, _at_ms: int) -> None:
        running = self.journal.makes.running()
        if running:
            self.goes.emit("vat", running[0].id)

    def _on_begin(self) -> None:
        self.goes.emit("plans", None)

    def _item_marks(self, item: AgendaLine, wide: float, high: float) -> list[Mark]:
        """What to do, and under it more about it."""
        left = EDGE + (scaled(5 * STEP) if item.late else 0)
        bold = item is self.list.current() or item.group == "vat"
        out: list[Mark] = [
            cell_text(item.title, wide, _top(), bold=bold, left=left),
            cell_text(item.detail, wide, 2 * (high - 2 * STEP) - line_high(SMALL), "quiet",
                      size=SMALL, left=left),
        ]  # fmt: skip
        if item.late:
            out.append(TriangleMark(EDGE, 2 * STEP + scaled(3), scaled(12)))
        return out


def _group_marks(item: AgendaLine, wide: float, _high: float) -> list[Mark]:
    return [cell_text(_group(item), wide, _top(), "quiet", edge=0)]


def _when_marks(item: AgendaLine, wide: float, _high: float) -> list[Mark]:
    return [cell_text(item.when, wide, _top(), "attention" if item.late else "ink", right=True)]


def _top() -> float:
    """How high a cell is that has its first line alone, px."""
    return 4 * STEP + line_high(TEXT)


def _inset(widget: QWidget) -> QHBoxLayout:
    return in_row(widget, margins=(3 * STEP, 0, 3 * STEP, 0))


def _group(item: AgendaLine) -> str:
    if not item.first:
        return ""
    return word_of("desk.group-", item.group)


def _whole(item: AgendaLine) -> str:
    which = "desk.late-line" if item.late else "desk.line-of-day"
    return worded(which, title=item.title, detail=item.detail)


def _when(item: AgendaLine | AgendaItem) -> str:
    return item.when


def _title(item: AgendaItem) -> str:
    return item.title
