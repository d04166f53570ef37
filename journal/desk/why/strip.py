"""The strip of a cause: the usual range, the published one, the plan's value, this make."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.drawn import DrawnWidget
from journal.desk.theme import STEP, Colours
from journal.findings.why import SuspectedCause

HIGH, INSET = 22, 8
_BAND, _BAR, _DOT = 8.0, 3.0, 4.5
_AROUND = 0.12  # of what is shown, either side


class CauseStrip(DrawnWidget):
    """Draws where a value lies among the kitchen's own and the published ones."""

    def __init__(self, suspect: SuspectedCause, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._suspect = suspect
        self.span = span_of(suspect)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFixedHeight(HIGH)

    def sizeHint(self) -> QSize:
        return QSize(60 * STEP, HIGH)

    def x_of(self, value: float) -> float:
        """Where a value lies, px from the left."""
        low, high = self.span
        share = (value - low) / (high - low) if high > low else 0.5
        return INSET + share * (self.width() - 2 * INSET)

    def draw(self, painter: QPainter, c: Colours) -> None:
        one, middle = self._suspect, HIGH / 2 - 2
        painter.fillRect(QRectF(0, middle, self.width(), 1), c.hairline)
        if one.usual is not None and math.isfinite(one.usual.low):
            x0, x1 = self.x_of(one.usual.low), self.x_of(one.usual.high)
            box = QRectF(x0, middle - _BAND / 2 + 0.5, max(x1 - x0, 2.0), _BAND)
            painter.fillRect(box, c.past)
        published = one.published
        if published is not None:
            x0 = 0.0 if published.low is None else self.x_of(published.low)
            x1 = self.width() if published.high is None else self.x_of(published.high)
            painter.fillRect(QRectF(x0, HIGH - _BAR - 1, max(x1 - x0, 2.0), _BAR), c.planned)
        if one.planned is not None:
            painter.setPen(QPen(c.planned, 1.4, Qt.PenStyle.DashLine))
            x = self.x_of(one.planned)
            painter.drawLine(QPointF(x, 1), QPointF(x, HIGH - _BAR - 3))
        self._draw_here(painter, c, middle)
        painter.end()

    def _draw_here(self, painter: QPainter, c: Colours, middle: float) -> None:
        """This make, with the range of an estimate."""
        here = self._suspect.here
        if here is None or not math.isfinite(here.value):
            return
        painter.setPen(QPen(c.ink, 1.4))
        if here.high > here.low:
            y = middle + 0.5
            painter.drawLine(QPointF(self.x_of(here.low), y), QPointF(self.x_of(here.high), y))
        painter.setBrush(c.ink)
        painter.setPen(QPen(c.paper, 1.5))
        painter.drawEllipse(QPointF(self.x_of(here.value), middle + 0.5), _DOT, _DOT)


def span_of(one: SuspectedCause) -> tuple[float, float]:
    """From where to where a strip goes."""
    values: list[float | None] = [one.planned]
    if one.here is not None:
        values += [one.here.value, one.here.low, one.here.high]
    if one.usual is not None:
        values += [one.usual.low, one.usual.high]
    if one.published is not None:
        values += [one.published.low, one.published.high]
    known = [v for v in values if v is not None and math.isfinite(v)]
    if not known:
        return 0.0, 1.0
    low, high = min(known), max(known)
    room = _AROUND * (high - low) or abs(high) * _AROUND or 1.0
    return low - room, high + room
