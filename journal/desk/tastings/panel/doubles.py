"""Blind doubles: two cups of one cheese as two dots joined, a row an assessor."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QSizePolicy

from journal.desk.drawn import DrawnWidget
from journal.desk.theme import SMALL, STEP, TEXT, Colours, font
from journal.records.tastings import SCORE_TOP
from journal.reports.panel import Cups

_NAME, _LINE, _GAP, _FOOT = 112, 4 * STEP, 2 * STEP, 6 * STEP
_MOST = 3  # doubles of an assessor that are drawn: the last ones


class Doubles(DrawnWidget):
    """Draws them on the scale from 0 to 10."""

    def __init__(self) -> None:
        super().__init__()
        self._rows: list[tuple[str, list[Cups]]] = []
        self.setAccessibleName("Two cups of one cheese")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_cups(self, people: Sequence[str], cups: Sequence[Cups]) -> None:
        """Draw the last doubles of each of these people."""
        self._rows = []
        for name in people:
            mine = sorted((c for c in cups if c.assessor == name), key=_when)[-_MOST:]
            if mine:
                self._rows.append((name, mine))
        high = sum(len(mine) * _LINE + _GAP for _, mine in self._rows)
        self.setFixedHeight(high + _FOOT)
        self.setAccessibleDescription(
            "; ".join(
                f"{name} gave {one.cheese} {' and '.join(f'{v:g}' for v in one.given)}"
                for name, mine in self._rows
                for one in mine
            )
        )
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(480, self.minimumHeight())

    def draw(self, painter: QPainter, c: Colours) -> None:
        bottom = self.height() - _FOOT
        painter.setFont(font(SMALL))
        for value in (0, 2, 4, 6, 8, 10):
            painter.setPen(QPen(c.hairline, 1))
            painter.drawLine(QPointF(self._x(value), 0), QPointF(self._x(value), bottom))
            painter.setPen(c.quiet)
            box = QRectF(self._x(value) - 20, bottom + 4, 40, 16)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, str(value))
        y = _GAP / 2
        for name, mine in self._rows:
            self._draw(painter, c, name, mine, y)
            y += len(mine) * _LINE + _GAP
        painter.end()

    def _draw(
        self, painter: QPainter, c: Colours, name: str, mine: Sequence[Cups], top: float
    ) -> None:
        painter.setFont(font(TEXT))
        painter.setPen(c.ink)
        words = painter.fontMetrics().elidedText(
            name, Qt.TextElideMode.ElideRight, _NAME - 3 * STEP
        )
        box = QRectF(0, top, _NAME, len(mine) * _LINE)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, words)
        for k, one in enumerate(mine):
            y = top + (k + 0.5) * _LINE
            low, high = self._x(min(one.given)), self._x(max(one.given))
            painter.setPen(QPen(c.ink, 1.6))
            painter.drawLine(QPointF(low, y), QPointF(high, y))
            for x in {low, high}:
                painter.setPen(QPen(c.ink, 1.4))
                painter.setBrush(c.paper if low < high else c.ink)
                painter.drawEllipse(QPointF(x, y), 4, 4)

    def _x(self, value: float) -> float:
        return _NAME + value / SCORE_TOP * (self.width() - _NAME - 24)


def _when(one: Cups) -> int:
    return one.at_ms
