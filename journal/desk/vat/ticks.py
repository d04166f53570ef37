"""One line of the list before the start: its digit, its box, its words, and when it was ticked."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.labels import plain_tip
from journal.desk.theme import RADIUS, STEP, TEXT, colours_of, font
from journal.wording import worded

_HIGH = 9 * STEP
_BOX = 18


class TickLine(QWidget):
    """`pressed` carries its digit."""

    pressed = Signal(int)

    def __init__(self, digit: int, words: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.digit = digit
        self.words = words
        self.ticked = False
        self._when = ""
        self.setAccessibleName(words)
        self.setToolTip(plain_tip(words))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_ticked(self, when: str) -> None:
        """Show the tick, with the time of day it was made at."""
        self.ticked, self._when = True, when
        self.setAccessibleDescription(worded("desk.done-at", time=when))
        self.update()

    def sizeHint(self) -> QSize:
        wide = QFontMetricsF(font(TEXT)).horizontalAdvance(self.words)
        return QSize(round(wide) + 40 * STEP, _HIGH)

    def mousePressEvent(self, _event: QMouseEvent) -> None:
        self.pressed.emit(self.digit)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        c, middle = colours_of(self), self.height() / 2
        painter.setFont(font(TEXT))
        painter.setPen(c.quiet)
        line = Qt.AlignmentFlag.AlignVCenter
        painter.drawText(QRectF(0, 0, 16, self.height()), line, str(self.digit))
        box = QRectF(20, middle - _BOX / 2, _BOX, _BOX)
        painter.setPen(QPen(c.ink if not self.ticked else c.done, 1.3))
        painter.setBrush(c.field)
        painter.drawRoundedRect(box, RADIUS, RADIUS)
        if self.ticked:
            painter.setPen(QPen(c.ink, 2.2))
            painter.drawPolyline(
                QPolygonF([box.topLeft() + QPointF(*p) for p in ((4, 9), (8, 13), (14, 4.5))])
            )
        painter.setPen(c.quiet if self.ticked else c.ink)
        left = 20 + _BOX + 3 * STEP
        rest = QRectF(left, 0, self.width() - left - 12 * STEP, self.height())
        words = painter.fontMetrics().elidedText(
            self.words, Qt.TextElideMode.ElideRight, round(rest.width())
        )
        painter.drawText(rest, line, words)
        painter.setPen(c.quiet)
        painter.drawText(QRectF(self.rect()), line | Qt.AlignmentFlag.AlignRight, self._when)
        painter.end()
