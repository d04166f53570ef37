"""The left page of Makes: a line to type into and the list it narrows."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.filter_line import FilterLine
from journal.desk.labels import Label
from journal.desk.makes.small_curve import SmallCurves
from journal.desk.tables import Column, RowsView
from journal.desk.theme import STEP, TITLE, colours_of
from journal.keeping import MakeRow
from journal.reports.make_filter import findable, state_of
from journal.wording.dates import short_day

CURVE_WIDTH = 56


class MakesList(QWidget):
    """All makes, newest first. `picked` carries the row one stands on, `opened` the one entered."""

    picked = Signal(object)
    opened = Signal(object)
    go_on = Signal()

    def __init__(self, curves: SmallCurves, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._curves = curves
        self.count = Label("", role="quiet")
        hint = "A code, a name, a plan, 2026, March"
        self._filter = FilterLine("Filter the makes", hint, "No make")
        self.line = self._filter.line
        self.table = RowsView(
            "Makes",
            (
                Column("make", _code, bold=True),
                Column("plan", _plan, stretch=True, quiet=True),
                Column("began", _day, right=True, quiet=True, sort=_began),
                Column("milk, °C", _no_words, width=CURVE_WIDTH, draw=self._draw_curve),
                Column("best", _best, right=True),
            ),
            findable=findable,
            filter_line=self._filter,
        )
        self.next = Button("Compare", MAIN, "Ctrl ⏎")
        self.next.clicked.connect(self.go_on)
        self.table.narrowed.connect(self._on_narrowed)
        self.table.picked.connect(self.picked)
        self.table.opened.connect(self.opened)
        self._build()

    def _build(self) -> None:
        head = QHBoxLayout()
        head.addWidget(Label("Makes", TITLE, bold=True))
        head.addStretch(1)
        head.addWidget(self.count, 0, Qt.AlignmentFlag.AlignBottom)
        foot = QHBoxLayout()
        foot.addWidget(self.next)
        foot.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(5 * STEP, 5 * STEP, 4 * STEP, 5 * STEP)
        column.setSpacing(3 * STEP)
        for part in (head, foot):
            part.setContentsMargins(3 * STEP, 0, 3 * STEP, 0)
        column.addLayout(head)
        row = QHBoxLayout()
        row.setContentsMargins(3 * STEP, 0, 3 * STEP, 0)
        row.addWidget(self._filter)
        column.addLayout(row)
        column.addWidget(self.table, 1)
        column.addLayout(foot)

    # Fill

    def show_rows(self, rows: Sequence[MakeRow], make_id: int | None) -> None:
        """Show these makes, standing on the one of that id where it is among them."""
        self.table.blockSignals(True)
        self.table.show_rows(rows)
        if not self.table.stand_on(lambda row: row.id == make_id):
            self.table.select(0)
        self.table.blockSignals(False)
        self._say_count()
        self.picked.emit(self.current())

    def select(self, make_id: int) -> None:
        """Stand on a make; the filter gives way when it hides it."""
        self.table.go_to(lambda row: row.id == make_id)

    def current(self) -> MakeRow | None:
        """The make one stands on."""
        return self.table.current()

    def _say_count(self) -> None:
        found, total = len(self.table.rows_model.rows), len(self.table.rows)
        words = f"{found} of {total}" if found != total else f"{found}"
        self.count.setText(f"{words} make{'s' * (total != 1)}")

    # Handlers

    def _on_narrowed(self) -> None:
        self._say_count()
        if self.current() is None:
            self.picked.emit(None)

    def _draw_curve(self, painter: QPainter, rect: QRect, row: MakeRow) -> None:
        c = colours_of(self)
        self._curves.draw(painter, rect, row.id, c.past_line if row.failed else c.temperature)


def _code(row: MakeRow) -> str:
    return row.code


def _plan(row: MakeRow) -> str:
    return row.plan if row.name in ("", row.plan) else f"{row.name}, {row.plan}"


def _day(row: MakeRow) -> str:
    return short_day(row.started_ms, row.zone)


def _began(row: MakeRow) -> int:
    return row.started_ms


def _best(row: MakeRow) -> str:
    if row.best_score is None or row.failed or row.verdict is not None:
        return state_of(row)
    return f"{row.best_score:.1f}"


def _no_words(_row: MakeRow) -> str:
    return ""
