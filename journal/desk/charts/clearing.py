"""Words moved off what is drawn: off curves, points, boxes and each other, as little as need be."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QImage, QPainter, QPen
from PySide6.QtWidgets import QGraphicsItem, QGraphicsRectItem

from journal.curves.surface import Span
from journal.wording.scales import finite_runs

GROUND = -20  # what lies so deep is ruled on the paper, and words may stand on it
_GRAIN = 2.0  # px of the screen to one of the map
_EDGE = 2.0  # px about the letters that are free anyhow
_FAR, _NEAR = 66.0, 6.0  # px that words are moved at most, and by
_STEPS = np.append(0.0, np.arange(-_FAR, _FAR + 1, _NEAR))
_ASIDE = np.array([0.0, -0.5, 0.5, -1.0, 1.0, -1.5, 1.5])  # of their width


@dataclass(frozen=True)
class PlotGround:
    """What a plot shows of its axes, and how large it is, px."""

    x: Span
    y: Span
    wide: float
    high: float

    def px(self, x: np.ndarray | float, y: np.ndarray | float) -> tuple[np.ndarray, np.ndarray]:
        """Places of the axes in px from the upper left corner."""
        left = (np.asarray(x, float) - self.x[0]) / (self.x[1] - self.x[0]) * self.wide
        top = (self.y[1] - np.asarray(y, float)) / (self.y[1] - self.y[0]) * self.high
        return left, top

    def place(self, left: float, top: float) -> QPointF:
        """Px from the upper left corner in the units of the axes."""
        return QPointF(
            self.x[0] + left / self.wide * (self.x[1] - self.x[0]),
            self.y[1] - top / self.high * (self.y[1] - self.y[0]),
        )


def clear_labels(
    field: PlotGround,
    drawn: Sequence[QGraphicsItem],
    words: Sequence[pg.TextItem],
    anywhere: Collection[pg.TextItem] = (),
) -> None:
    """Move each of the words that lies on something to the nearest place that is free, near by
    unless they may stand anywhere; for which there is none is left out. What stands on paper may
    interrupt an upright line."""
    if not words or field.wide < 20 or field.high < 20:
        return
    lines = [one for one in drawn if isinstance(one, pg.InfiniteLine)]
    all_taken = _map_of(field, [one for one in drawn if one not in lines])
    maps = all_taken, all_taken | _map_of(field, lines)
    for item in words:
        box = item.textItem.boundingRect()
        wide, high = box.width(), box.height()
        x, y = field.px(item.pos().x(), item.pos().y())
        left, top = float(x) - item.anchor[0] * wide, float(y) - item.anchor[1] * high
        if left > field.wide or left + wide < 0 or top > field.high or top + high < 0:
            continue
        taken = maps[item.fill.style() == Qt.BrushStyle.NoBrush]
        free = _free(taken, field, QRectF(left, top, wide, high), _ASIDE * wide, _STEPS)
        if free is None and item in anywhere:
            across = np.linspace(-left, field.wide - wide - left, 24)
            down = np.arange(-top, field.high - high - top, _NEAR)
            free = _free(taken, field, QRectF(left, top, wide, high), across, down)
        if free is None:
            item.setVisible(False)
            continue
        if free != QPointF(left, top):
            item.setPos(
                field.place(free.x() + item.anchor[0] * wide, free.y() + item.anchor[1] * high)
            )
        for each in maps:
            _take(each, free.x(), free.y(), wide, high)


def _free(
    taken: np.ndarray, field: PlotGround, box: QRectF, aside: np.ndarray, down: np.ndarray
) -> QPointF | None:
    """Where words stand free, the nearest to where they were meant: there, or moved so far aside
    and down; moved in where they ran out at a side."""
    dx, dy = (np.append(0.0, a.ravel()) for a in np.meshgrid(aside, down))
    x = np.clip(box.left() + dx, 0, max(field.wide - box.width(), 0))
    y = box.top() + dy
    out = (y < 0) | (y + box.height() > field.high)
    out[0] = False  # where it was meant it may stand, also at the edge
    free = (_covered(taken, x, y, box.width(), box.height()) == 0) & ~out
    if not free.any():
        return None
    apart = np.hypot(x - box.left(), y - box.top())
    best = int(np.argmin(np.where(free, apart, np.inf)))
    return QPointF(float(x[best]), float(y[best]))


def _map_of(field: PlotGround, drawn: Sequence[QGraphicsItem]) -> np.ndarray:
    """Where something is drawn (rows, columns), a grain each."""
    image = QImage(
        int(field.wide / _GRAIN) + 1, int(field.high / _GRAIN) + 1, QImage.Format.Format_Grayscale8
    )
    image.fill(0)
    painter = QPainter(image)
    painter.scale(1 / _GRAIN, 1 / _GRAIN)
    for item in drawn:
        if item.zValue() > GROUND:
            _paint(painter, field, item)
    painter.end()
    bits = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    found: np.ndarray = (bits[:, : image.width()] > 0).astype(np.int32)
    return found


def _paint(painter: QPainter, field: PlotGround, item: QGraphicsItem) -> None:
    white = Qt.GlobalColor.white
    if isinstance(item, pg.PlotCurveItem):
        x, y = item.getData()
        painter.setPen(QPen(white, max(item.opts["pen"].widthF(), 1.0)))
        left, top = field.px(x, y)
        for run in finite_runs(top, 2):
            painter.drawPolyline(pg.functions.arrayToQPolygonF(left[run], top[run]))
    elif isinstance(item, pg.ScatterPlotItem):
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(white)
        left, top = field.px(*item.getData())
        sizes = np.where(item.data["size"] < 0, item.opts["size"], item.data["size"])
        for x, y, size in zip(left, top, sizes.tolist(), strict=True):
            painter.drawEllipse(QPointF(x, y), size / 2, size / 2)
    elif isinstance(item, QGraphicsRectItem):
        box = item.rect()
        (left, right), (top, foot) = field.px(
            np.array([box.left(), box.right()]), np.array([box.bottom(), box.top()])
        )
        painter.fillRect(QRectF(left, top, right - left, foot - top), white)
    elif isinstance(item, pg.InfiniteLine):
        painter.setPen(QPen(white, 1))
        left, _ = field.px(item.value(), 0.0)
        painter.drawLine(QPointF(float(left), 0), QPointF(float(left), field.high))


def _covered(
    taken: np.ndarray, x: np.ndarray, y: np.ndarray, wide: float, high: float
) -> np.ndarray:
    """How many grains of what is taken lie under words at those places (n,)."""
    total = np.zeros((taken.shape[0] + 1, taken.shape[1] + 1), np.int64)
    total[1:, 1:] = taken.cumsum(0).cumsum(1)
    rows, columns = taken.shape
    left = np.clip(np.floor((x + _EDGE) / _GRAIN), 0, columns).astype(int)
    right = np.clip(np.floor((x + wide - _EDGE) / _GRAIN) + 1, 0, columns).astype(int)
    top = np.clip(np.floor((y + _EDGE) / _GRAIN), 0, rows).astype(int)
    foot = np.clip(np.floor((y + high - _EDGE) / _GRAIN) + 1, 0, rows).astype(int)
    found: np.ndarray = (
        total[foot, right] - total[top, right] - total[foot, left] + total[top, left]
    )
    return found


def _take(taken: np.ndarray, left: float, top: float, wide: float, high: float) -> None:
    """Words stand there now."""
    first, last = (max(int(v / _GRAIN), 0) for v in (top + _EDGE, top + high - _EDGE))
    start, end = (max(int(v / _GRAIN), 0) for v in (left + _EDGE, left + wide - _EDGE))
    taken[first : last + 1, start : end + 1] = 1
