"""Each assessor's level as a dot about the panel's, with how far repeats stray as a line."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QSizePolicy

from journal.desk.drawn import DrawnWidget
from journal.desk.theme import SMALL, STEP, TEXT, Colours, font
from journal.reports.panel import PersonRead
from journal.wording.numbers import minus

_NAME, _ROW = 112, 10 * STEP


class Levels(DrawnWidget):
    """Draws the panel."""

    def __init__(self) -> None:
        super().__init__()
        self._rows: list[PersonRead] = []
        self._most = 2
        self.setAccessibleName("Levels of the panel")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_people(self, rows: Sequence[PersonRead]) -> None:
        """Draw these."""
        self._rows = list(rows)
        widest = max((abs(r.member.level) + _stray(r) for r in rows), default=1.0)
        self._most = max(1, min(10, int(widest + 0.999)))
        self.setFixedHeight(len(self._rows) * _ROW + 7 * STEP)
        self.setAccessibleDescription(
            "; ".join(f"{r.name} {r.member.level:+.1f} points" for r in rows)
        )
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(480, self.minimumHeight())

    def draw(self, painter: QPainter, c: Colours) -> None:
        bottom = self.height() - 6 * STEP
        painter.setFont(font(SMALL))
        step = 1 if self._most <= 4 else 2
        for value in range(-self._most, self._most + 1, step):
            painter.setPen(QPen(c.quiet if value == 0 else c.hairline, 1))
            painter.drawLine(QPointF(self._x(value), 0), QPointF(self._x(value), bottom))
            painter.setPen(c.quiet)
            box = QRectF(self._x(value) - 20, bottom + 4, 40, 16)
            words = "0" if value == 0 else minus(f"{value:+d}")
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)
        for k, row in enumerate(self._rows):
            self._draw(painter, c, row, (k + 0.5) * _ROW)
        painter.end()

    def _draw(self, painter: QPainter, c: Colours, row: PersonRead, y: float) -> None:
        painter.setFont(font(TEXT))
        painter.setPen(c.ink)
        words = painter.fontMetrics().elidedText(
            row.name, Qt.TextElideMode.ElideRight, _NAME - 3 * STEP
        )
        painter.drawText(QRectF(0, y - 12, _NAME, 24), Qt.AlignmentFlag.AlignVCenter, words)
        level, stray = row.member.level, _stray(row)
        if stray:
            painter.setPen(QPen(c.ink, 1.6))
            painter.drawLine(QPointF(self._x(level - stray), y), QPointF(self._x(level + stray), y))
        painter.setPen(QPen(c.paper, 1.2))
        painter.setBrush(c.ink)
        painter.drawEllipse(QPointF(self._x(level), y), 6, 6)

    def _x(self, value: float) -> float:
        wide = self.width() - _NAME - 24
        return _NAME + (min(max(value, -self._most), self._most) / self._most + 1) / 2 * wide


def _stray(row: PersonRead) -> float:
    return row.member.repeat_sd if row.member.doubles else 0.0
