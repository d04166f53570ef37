"""Draws scenes: the one place that puts marks on a screen, on paper or into a cell of a list."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFontMetricsF,
    QImage,
    QPaintDevice,
    QPainter,
    QPainterPath,
    QPen,
    QPixmap,
    QPolygonF,
)

from journal.curves.surface import Span
from journal.desk.charts.marks import (
    DASHES,
    PIXELS,
    RIGHT,
    AreaMark,
    BoxMark,
    DotMark,
    Ink,
    LineMark,
    Mark,
    PhotoMark,
    Scene,
    TextMark,
    TriangleMark,
)
from journal.desk.theme import Colours, font

_WIDE, _HIGH = 4000.0, 400.0  # px about words, more than any take


def paint_scene(device: QPaintDevice, scene: Scene, c: Colours) -> None:
    """Draw a scene on a widget or a picture."""
    painter = QPainter(device)
    try:
        draw_scene(painter, scene, c)
    finally:
        painter.end()  # one left open on a widget ends the program


def draw_scene(painter: QPainter, scene: Scene, c: Colours, corner: QPointF | None = None) -> None:
    """Draw a scene with its upper left corner there."""
    painter.save()
    painter.setRenderHints(
        QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform
    )
    if corner is not None:
        painter.translate(corner)
    _SceneDrawing(painter, scene, c).draw()
    painter.restore()


def painter_of(scene: Scene, c: Colours) -> Callable[[QPainter, QRectF], None]:
    """What draws a scene from the corner of a box, for a picture that is saved."""

    def paint(painter: QPainter, box: QRectF) -> None:
        draw_scene(painter, scene, c, box.topLeft())

    return paint


class _SceneDrawing:
    """One scene on its way through a painter."""

    def __init__(self, painter: QPainter, scene: Scene, c: Colours) -> None:
        self._painter, self._scene, self._c = painter, scene, c
        self._taken: dict[float, list[Span]] = {}  # by height, where words stand

    def draw(self) -> None:
        painter = self._painter
        if self._scene.clip is not None:
            painter.save()
            painter.setClipRect(self._scene.clip, Qt.ClipOperation.IntersectClip)
        for mark in self._scene.marks:
            self._draw(mark)
        if self._scene.clip is not None:
            painter.restore()

    def _draw(self, mark: Mark) -> None:
        painter = self._painter
        if isinstance(mark, TextMark):
            self._draw_text(mark)
        elif isinstance(mark, LineMark):
            pen = self._pen(mark.role, mark.width, mark.dash)
            if mark.flat:
                pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            painter.setPen(pen)
            painter.drawPolyline(self._points(mark))
        elif isinstance(mark, BoxMark):
            self._draw_box(mark)
        elif isinstance(mark, DotMark):
            painter.setPen(self._pen(mark.edge, mark.width, mark.dash))
            painter.setBrush(self._brush(mark.fill))
            at, half = QPointF(self._x(mark.x), self._y(mark.y)), mark.size / 2
            box = QRectF(at.x() - half, at.y() - half, mark.size, mark.size)
            (painter.drawRect if mark.square else painter.drawEllipse)(box)
        elif isinstance(mark, AreaMark):
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(self._brush(mark.fill))
            painter.drawPolygon(self._points(mark))
        elif isinstance(mark, TriangleMark):
            x, y, wide, high = self._x(mark.x), self._y(mark.y), mark.wide, mark.wide * 0.86
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(self._brush(mark.role))
            corners = (x, y + high), (x + wide, y + high), (x + wide / 2, y)
            painter.drawPolygon(QPolygonF([QPointF(*corner) for corner in corners]))
        elif isinstance(mark, PhotoMark):
            self._draw_photo(mark.photo, self._box(mark.x, mark.y), round_off=mark.round_off)
        else:
            _SceneDrawing(painter, mark, self._c).draw()

    def _draw_text(self, mark: TextMark) -> None:
        face = mark.face or font(mark.size, bold=mark.bold)
        text, x, y = mark.text, self._x(mark.x), self._y(mark.y)
        metrics = QFontMetricsF(face)
        if mark.wide and not mark.wrapped:
            side = Qt.TextElideMode.ElideLeft if mark.cut_left else Qt.TextElideMode.ElideRight
            text = metrics.elidedText(text, side, mark.wide)
        painter, align = self._painter, mark.align
        if mark.gap:
            x, align = self._room(mark, x, y, metrics.horizontalAdvance(text)), 0.0
            if x != x:  # there is none
                return
            if mark.tick is not None:
                self._draw(mark.tick)
        painter.setFont(face)
        painter.setPen(self._ink(mark.role))
        if mark.base:
            wide = metrics.horizontalAdvance(text) if align else 0.0
            painter.drawText(QPointF(x - align * wide, y), text)
            return
        flag = (Qt.AlignmentFlag.AlignLeft if not align else Qt.AlignmentFlag.AlignRight
                if align == RIGHT else Qt.AlignmentFlag.AlignHCenter)  # fmt: skip
        wide, wrap = (mark.wide, Qt.TextFlag.TextWordWrap) if mark.wrapped else (_WIDE, 0)
        box = QRectF(x - align * wide, y - _HIGH / 2, wide, _HIGH)
        painter.drawText(box, int(flag | Qt.AlignmentFlag.AlignVCenter) | int(wrap), text)

    def _room(self, mark: TextMark, x: float, y: float, wide: float) -> float:
        """Where words begin, NaN where there is no room beside those that are there."""
        left = x - mark.align * wide
        if self._scene.within is not None:
            first, last = self._scene.within
            left = min(max(left, first), last - wide)
        taken = self._taken.setdefault(y, [])
        if any(left < b + mark.gap and left + wide > a - mark.gap for a, b in taken):
            return float("nan")
        taken.append((left, left + wide))
        return left

    def _draw_box(self, mark: BoxMark) -> None:
        painter, box = self._painter, self._box(mark.x, mark.y)
        box.setWidth(max(box.width(), mark.least))
        if not mark.edge and not mark.rounded:
            painter.fillRect(box, self._brush(mark.fill))
            return
        painter.setPen(self._pen(mark.edge, mark.width, mark.dash))
        painter.setBrush(self._brush(mark.fill))
        if mark.rounded:
            painter.drawRoundedRect(box, mark.rounded, mark.rounded)
        else:
            painter.drawRect(box)

    def _draw_photo(self, photo: QPixmap | QImage, box: QRectF, *, round_off: bool) -> None:
        """Its middle, where the box has another shape; nothing in a box without room."""
        if box.width() <= 0 or box.height() <= 0:
            return
        painter = self._painter
        painter.save()
        if round_off:
            circle = QPainterPath()
            circle.addEllipse(box)
            painter.setClipPath(circle, Qt.ClipOperation.IntersectClip)
        share = min(photo.width() / box.width(), photo.height() / box.height())
        wide, high = box.width() * share, box.height() * share
        part = QRectF((photo.width() - wide) / 2, (photo.height() - high) / 2, wide, high)
        if isinstance(photo, QImage):
            painter.drawImage(box, photo, part)
        else:
            painter.drawPixmap(box, photo, part)
        painter.restore()

    # Places and colours

    def _x(self, value: float) -> float:
        return value if self._scene.x is PIXELS else self._scene.x.at(value)

    def _y(self, value: float) -> float:
        return value if self._scene.y is PIXELS else self._scene.y.at(value)

    def _points(self, mark: LineMark | AreaMark) -> QPolygonF:
        pairs = zip(self._scene.x.all_at(mark.x), self._scene.y.all_at(mark.y), strict=True)
        return QPolygonF([QPointF(x, y) for x, y in pairs])

    def _box(self, x: Span, y: Span) -> QRectF:
        corner = QPointF(self._x(x[0]), self._y(y[0]))
        return QRectF(corner, QPointF(self._x(x[1]), self._y(y[1])))

    def _ink(self, ink: Ink) -> QColor:
        if isinstance(ink, tuple):
            return self._c.mixed(*ink)
        colour: QColor = getattr(self._c, ink)
        return colour

    def _brush(self, ink: Ink) -> QColor | Qt.BrushStyle:
        return self._ink(ink) if ink else Qt.BrushStyle.NoBrush

    def _pen(self, ink: Ink, width: float, dash: str = "") -> QPen:
        if not ink:
            return QPen(Qt.PenStyle.NoPen)
        pen = QPen(self._ink(ink), width)
        if dash:
            pen.setStyle(DASHES[dash])
        if dash == "fine":
            pen.setDashPattern([1, 3])
        return pen
