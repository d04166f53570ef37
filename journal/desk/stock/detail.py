"""The right page of the stock: details of the current row."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QScrollArea, QVBoxLayout, QWidget

from journal.desk.labels import Hairline, Label, Marked
from journal.desk.layouts import empty, in_column
from journal.desk.scrollbars import scrolled
from journal.desk.stock.section import Detail, DetailTable
from journal.desk.theme import LEAD, SMALL, STEP
from journal.wording import worded
from journal.wording.languages import translated

if TYPE_CHECKING:
    from journal.desk.stock.strength_chart import StrengthChart  # loaded once there is a bath

_ROWS_SHOWN, _ROWS_BY_A_CHART = 8, 5


class DetailPage(QWidget):
    """Shows one Detail; a bath's chart is made when there is first a bath."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.head = Label("", LEAD, bold=True, wrap=True)
        self.about = Label("", role="quiet", wrap=True)
        self.note = Label("", wrap=True)
        self.caution = Marked(SMALL)
        self._doubts = QVBoxLayout()
        self._doubts.setSpacing(STEP)
        self._tables = in_column(margins=(0, 2 * STEP, 3 * STEP, 0), gap=5 * STEP)
        self._chart_room = QVBoxLayout()
        self.chart: StrengthChart | None = None
        in_column(
            self.head,
            self.about,
            self.note,
            self._doubts,
            self._chart_room,
            (self._scrolled(), 1),
            self.caution,
            of=self,
            margins=(7 * STEP, 5 * STEP, 8 * STEP, 5 * STEP),
            gap=2 * STEP,
        )

    def _scrolled(self) -> QScrollArea:
        """The tables, scrolled where the window is low."""
        inside = QWidget()
        in_column(self._tables, None, of=inside, margins=0)
        area = scrolled(inside, by_keys=True)
        area.viewport().setAutoFillBackground(False)
        inside.setAutoFillBackground(False)
        return area

    def show_detail(self, detail: Detail, now_ms: int, zone: str) -> None:
        """Show this."""
        self.head.setText(detail.head)
        self.about.setText(detail.about)
        self.note.setText(detail.note)
        self.caution.say(detail.caution)
        for label in (self.about, self.note):
            label.setVisible(bool(label.text()))
        empty(self._doubts)
        for message in detail.doubts:
            marked = Marked()
            self._doubts.addWidget(marked)
            marked.say(message)
        self._show_course(detail, now_ms, zone)
        empty(self._tables)
        for table in detail.tables:
            self._tables.addWidget(
                _Table(table, _ROWS_BY_A_CHART if detail.course else _ROWS_SHOWN)
            )

    def _show_course(self, detail: Detail, now_ms: int, zone: str) -> None:
        if self.chart is None and detail.course:
            from journal.desk.stock import strength_chart

            self.chart = strength_chart.StrengthChart()
            self._chart_room.addWidget(self.chart)
        if self.chart is not None:
            self.chart.setVisible(bool(detail.course))
            self.chart.show_course(detail, now_ms, zone)


class _Table(QWidget):
    """A small table that only tells."""

    def __init__(self, table: DetailTable, most: int) -> None:
        super().__init__()
        self.setAccessibleName(translated(table.title))
        self.setAccessibleDescription("; ".join(", ".join(row) for row in table.rows[:most]))
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(6 * STEP)
        grid.setVerticalSpacing(STEP)
        wide = max(len(table.columns), 1)
        grid.addWidget(Label(translated(table.title), bold=True), 0, 0, 1, wide)
        line = Hairline()
        if not table.rows:
            grid.addWidget(line, 1, 0, 1, wide)
            grid.addWidget(Label(translated(table.empty), role="quiet", wrap=True), 2, 0, 1, wide)
            return
        for index, title in enumerate(map(translated, table.columns)):
            grid.addWidget(Label(title, SMALL, role="quiet"), 1, index)
        grid.addWidget(line, 2, 0, 1, wide)
        for number, row in enumerate(table.rows[:most], start=3):
            for index, text in enumerate(row):
                label = Label(text, role="ink" if index == 0 else "quiet", wrap=wide == 1)
                grid.addWidget(label, number, index, Qt.AlignmentFlag.AlignTop)
        more = len(table.rows) - most
        if more > 0:
            words = Label(worded("desk.and-before", more=more), SMALL, role="quiet")
            grid.addWidget(words, most + 3, 0, 1, wide)
        grid.setColumnStretch(wide - 1, 1)
