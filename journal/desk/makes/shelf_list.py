"""The left page of Makes: a line to type into and the list it narrows."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.fields import FieldFrame, TextLine
from journal.desk.labels import Label
from journal.desk.makes.small_curve import SmallCurves
from journal.desk.tables import Column, RowsView
from journal.desk.theme import STEP, TITLE, colours_of
from journal.keeping import MakeRow
from journal.reports.make_filter import MakeFilter, state_of
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
        self._filter = MakeFilter()
        self._total = 0
        self.count = Label("", role="quiet")
        self.line = TextLine(name="Filter the makes", hint="A code, a name, a plan, 2026, March")
        self.table = RowsView(
            "Makes",
            (
                Column("make", _code, bold=True),
                Column("plan", _plan, stretch=True, quiet=True),
                Column("began", _day, right=True, quiet=True, sort=_began),
                Column("milk, °C", _no_words, width=CURVE_WIDTH, draw=self._draw_curve),
                Column("best", _best, right=True),
            ),
            takes=str.isprintable,
        )
        self.next = Button("Compare", MAIN, "Ctrl ⏎")
        self.next.clicked.connect(self.go_on)
        self.line.textChanged.connect(self._on_text)
        self.line.returnPressed.connect(self._on_return)
        self.line.installEventFilter(self)
        self.table.picked.connect(self.picked)
        self.table.opened.connect(self.opened)
        self.table.typed_over.connect(self._on_typed)
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
        row.addWidget(FieldFrame(self.line))
        column.addLayout(row)
        column.addWidget(self.table, 1)
        column.addLayout(foot)

    # Fill

    def show_rows(self, rows: Sequence[MakeRow], make_id: int | None) -> None:
        """Show these makes, standing on the one of that id where it is among them."""
        self._filter = MakeFilter(rows)
        self._total = len(rows)
        self._narrow(make_id)

    def select(self, make_id: int) -> None:
        """Stand on a make; the filter gives way when it hides it."""
        if all(row.id != make_id for row in self.table.rows_model.rows):
            self.line.blockSignals(True)
            self.line.clear()
            self.line.blockSignals(False)
        self._narrow(make_id)

    def current(self) -> MakeRow | None:
        """The make one stands on."""
        return self.table.current()

    def _narrow(self, make_id: int | None) -> None:
        rows = self._filter.matching(self.line.text())
        self.table.blockSignals(True)
        self.table.show_rows(rows)
        index = next((i for i, row in enumerate(rows) if row.id == make_id), 0)
        if rows:
            self.table.select(index)
        self.table.blockSignals(False)
        found = len(rows)
        words = f"{found} of {self._total}" if found != self._total else f"{found}"
        self.count.setText(f"{words} make{'s' * (self._total != 1)}")
        self.picked.emit(self.current())

    # Handlers

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if not isinstance(event, QKeyEvent) or event.type() != QEvent.Type.KeyPress:
            return False
        if event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Up, Qt.Key.Key_PageDown, Qt.Key.Key_PageUp):
            self.table.setFocus()
            self.table.keyPressEvent(event)
            return True
        if event.key() == Qt.Key.Key_Escape and self.line.text():
            self.line.clear()
            return True
        return False

    def _on_text(self, _text: str) -> None:
        here = self.current()
        self._narrow(here.id if here else None)

    def _on_typed(self, words: str) -> None:
        self.line.setFocus()
        self.line.insert(words)

    def _on_return(self) -> None:
        if self.current() is not None:
            self.opened.emit(self.current())

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
