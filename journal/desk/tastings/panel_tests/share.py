"""Beside an answer: the share of people who can tell with its range, or rank sums, as dots."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from journal.desk.drawn import DrawnWidget
from journal.desk.labels import Hairline, Label
from journal.desk.tables import Column, RowsView
from journal.desk.theme import SMALL, STEP, TEXT, Colours, font
from journal.keeping.panel_sets import OpenedRow
from journal.reports.panel_test import Dot
from journal.wording.numbers import percent

_NAME, _ROW = 128, 12 * STEP


def _who(row: OpenedRow) -> str:
    return row.assessor


def _cups(row: OpenedRow) -> str:
    return " · ".join(row.cups)


def _named(row: OpenedRow) -> str:
    return ", ".join(row.named)


def _right(row: OpenedRow) -> str:
    return "" if row.right is None else ("right" if row.right else "not")


class BesideAnswer(QWidget):
    """Draws dots under a title; below them set by set what was in the cups."""

    def __init__(self) -> None:
        super().__init__()
        self.title = Label("", role="quiet")
        self.dots = Dots()
        self.under = Label("", role="quiet", wrap=True)
        self.sets = RowsView(
            "Every set",
            (Column("assessor", _who), Column("in the cups", _cups, quiet=True, stretch=True),
             Column("named", _named), Column("", _right, quiet=True)),
        )  # fmt: skip
        self.whole = Label("", role="quiet", wrap=True)  # many cups are cut in the table
        self.sets.picked.connect(self._on_picked)
        column = QVBoxLayout(self)
        column.setContentsMargins(8 * STEP, 9 * STEP, 8 * STEP, 4 * STEP)
        column.setSpacing(4 * STEP)
        column.addWidget(self.title)
        column.addWidget(self.dots)
        column.addWidget(self.under)
        column.addWidget(Hairline())
        column.addWidget(self.sets, 1)
        column.addWidget(self.whole)

    def show_sets(self, rows: Sequence[OpenedRow]) -> None:
        """List these sets."""
        self.sets.show_rows(rows)

    def show_dots(
        self, title: str, dots: Sequence[Dot], ends: tuple[float, float], percent: bool, under: str
    ) -> None:
        """Show these on a scale between two ends."""
        self.title.setText(title)
        self.under.setText(under)
        self.dots.show_dots(dots, ends, percent)

    def _on_picked(self, row: OpenedRow) -> None:
        self.whole.setText(f"{row.assessor} had {_cups(row)}")


class Dots(DrawnWidget):
    """Dots with ranges on a common scale, a name before each."""

    def __init__(self) -> None:
        super().__init__()
        self._dots: list[Dot] = []
        self._ends = (0.0, 1.0)
        self._percent = True
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_dots(self, dots: Sequence[Dot], ends: tuple[float, float], percent: bool) -> None:
        """Draw these."""
        self._dots, self._ends, self._percent = list(dots), ends, percent
        self.setFixedHeight(len(self._dots) * _ROW + 8 * STEP)
        self.setAccessibleDescription("; ".join(f"{d.name} {self._message(d.value)}" for d in dots))
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(480, self.minimumHeight())

    def draw(self, painter: QPainter, c: Colours) -> None:
        low, high = self._ends
        bottom = self.height() - 6 * STEP
        painter.setFont(font(SMALL))
        for value in ticks(low, high):
            x = self._x(value)
            painter.setPen(QPen(c.hairline, 1))
            painter.drawLine(QPointF(x, 0), QPointF(x, bottom))
            painter.setPen(c.quiet)
            box = QRectF(x - 30, bottom + 4, 60, 16)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, self._message(value))
        for k, dot in enumerate(self._dots):
            self._draw(painter, c, dot, (k + 0.5) * _ROW)
        painter.end()

    def _draw(self, painter: QPainter, c: Colours, dot: Dot, y: float) -> None:
        painter.setFont(font(TEXT))
        painter.setPen(c.ink)
        words = painter.fontMetrics().elidedText(
            dot.name, Qt.TextElideMode.ElideRight, _NAME - 3 * STEP
        )
        painter.drawText(
            QRectF(0, y - 12, _NAME - 3 * STEP, 24), Qt.AlignmentFlag.AlignVCenter, words
        )
        if dot.low is not None and dot.high is not None:
            painter.setPen(QPen(c.ink, 1.6))
            painter.drawLine(QPointF(self._x(dot.low), y), QPointF(self._x(dot.high), y))
        painter.setPen(QPen(c.paper, 1.2))
        painter.setBrush(c.ink)
        painter.drawEllipse(QPointF(self._x(dot.value), y), 6, 6)

    def _x(self, value: float) -> float:
        low, high = self._ends
        share = (min(max(value, low), high) - low) / (high - low)
        return _NAME + share * (self.width() - _NAME - 32)

    def _message(self, value: float) -> str:
        return percent(value) if self._percent else f"{value:g}"


def ticks(low: float, high: float) -> list[float]:
    """Quarters of a share; of rank sums both ends and whole numbers between, evenly apart."""
    if high - low <= 1:
        return [low + k * (high - low) / 4 for k in range(5)]
    whole = round(high - low)
    steps = next((n for n in (4, 5, 3, 6, 2) if whole % n == 0), 1)
    return [low + k * (high - low) / steps for k in range(steps + 1)]
