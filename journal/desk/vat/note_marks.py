"""Notes on the chart: a small leaf at its moment, or the photo itself as a thumbnail."""

from __future__ import annotations

from collections.abc import Sequence

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QImage, QPainter, QPen, QPolygonF

from journal.curves.snapshot import TimedNote
from journal.desk.theme import Colours
from journal.desk.vat.noted import HIGH_PX

WIDE_PX = 66
_LEAF = QSize(10, 12)


class NoteMarks(pg.GraphicsObject):  # type: ignore[misc]  # it has no types
    """Draws notes in screen pixels, standing on the lower edge of a panel."""

    def __init__(
        self, some: Sequence[TimedNote], view: tuple[float, float, float, float], c: Colours
    ):
        super().__init__()
        self._some = [one for one in some if view[0] <= one.at_min <= view[1]]
        self._view = view
        self._colours = c

    def boundingRect(self) -> QRectF:
        left, right, low, high = self._view
        return QRectF(left, low, right - left, high - low)

    def paint(self, painter: QPainter, *_args: object) -> None:
        to_screen = painter.transform()
        painter.resetTransform()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        edge = to_screen.map(QPointF(self._view[1], self._view[2])).x()
        for one in self._some:
            foot = to_screen.map(QPointF(one.at_min, self._view[2]))
            if one.picture is None:
                self._draw_leaf(painter, foot)
            else:
                self._draw_photo(painter, one.picture, foot, edge)

    def _draw_leaf(self, painter: QPainter, foot: QPointF) -> None:
        c, w, h = self._colours, _LEAF.width(), _LEAF.height()
        x, y = foot.x() - w / 2, foot.y() - h - 3
        fold = 3.5
        painter.setPen(QPen(c.ink))
        painter.setBrush(c.field)
        corners = ((0, 0), (w - fold, 0), (w, fold), (w, h), (0, h))
        painter.drawPolygon(QPolygonF([QPointF(x + a, y + b) for a, b in corners]))
        for row in (0.45, 0.7):
            painter.drawLine(QPointF(x + 0.22 * w, y + row * h), QPointF(x + 0.78 * w, y + row * h))

    def _draw_photo(self, painter: QPainter, picture: QImage, foot: QPointF, edge: float) -> None:
        c = self._colours
        high = HIGH_PX
        wide = min(high * picture.width() / max(1, picture.height()), WIDE_PX)
        left = min(foot.x() + 4, edge - wide)
        box = QRectF(left, foot.y() - high - 6, wide, high)
        share = wide / high * picture.height()
        cut = QRectF((picture.width() - share) / 2, 0, share, picture.height())
        painter.setPen(QPen(c.ink))
        painter.drawLine(QPointF(foot.x(), foot.y()), QPointF(foot.x(), box.top()))
        painter.drawImage(box, picture, cut)
        painter.setPen(QPen(c.hairline))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(box)
