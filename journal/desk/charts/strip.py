"""Stages as strips, drawn in pixels of the screen over a plot whose x is minutes."""

from __future__ import annotations

from collections.abc import Sequence

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen

from journal.desk.charts.surface import StageBar
from journal.desk.theme import RADIUS, SMALL, Colours, font, scaled

STRIP_PX = 20


def draw_strip(
    painter: QPainter,
    box: QRectF,
    names: Sequence[str],
    *,
    edge: QColor,
    fill: QColor,
    ink: QColor,
    bold: bool = False,
) -> bool:
    """A rounded box with the first of the names that has room in it; whether one had."""
    painter.setPen(QPen(edge, 1))
    painter.setBrush(fill)
    painter.drawRoundedRect(box, RADIUS, RADIUS)
    face = font(SMALL, bold=bold)
    metrics = QFontMetricsF(face)
    name = next((n for n in names if metrics.horizontalAdvance(n) + 6 <= box.width()), None)
    if name is None:
        return False
    painter.setFont(face)
    painter.setPen(ink)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, name)
    return True


class StageStrips(pg.GraphicsObject):  # type: ignore[misc] # pyqtgraph brings no types
    """Stages beside each other in the middle of a plot whose y is 0 to 1: filled where hands are
    needed, open where one may leave, the current one underlined."""

    def __init__(self, bars: Sequence[StageBar], c: Colours) -> None:
        super().__init__()
        self._bars, self._colours = bars, c

    def boundingRect(self) -> QRectF:
        return QRectF(0, 0, max((bar.last for bar in self._bars), default=1.0), 1)

    def paint(self, painter: QPainter, *_args: object) -> None:
        to_screen, c = painter.transform(), self._colours
        painter.resetTransform()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for bar in self._bars:
            left = to_screen.map(QPointF(bar.first, 0.5))
            wide = to_screen.map(QPointF(bar.last, 0.5)).x() - left.x() - 1
            box = QRectF(left.x() + 0.5, left.y() - scaled(STRIP_PX) / 2, wide, scaled(STRIP_PX))
            if wide < 1:
                continue
            fill, ink = (c.ink, c.paper) if bar.hands else (c.paper, c.planned)
            edge = c.ink if bar.hands else c.planned
            draw_strip(painter, box, [bar.label], edge=edge, fill=fill, ink=ink, bold=bar.chosen)
            if bar.chosen:
                painter.fillRect(QRectF(box.x(), box.bottom() + 3, box.width(), 2), c.ink)
