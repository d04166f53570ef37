"""Notes on the chart: a small leaf at its moment, or the photo itself as a thumbnail."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QImage, QPainter, QPen, QPolygonF

from journal.curves.snapshot import Noted
from journal.desk.photo_file import read_photo
from journal.desk.theme import Colours
from journal.records.makes import Note

HIGH_PX, WIDE_PX = 44, 66
_LEAF = QSize(10, 12)
NEAR_MIN = 4.0


class Thumbs:
    """Reads photos as thumbnails, each once; the whole photo never stays in memory."""

    def __init__(self) -> None:
        self._saved: dict[str, QImage | None] = {}

    def of(self, note: Note, path: Path | None) -> QImage | None:
        """The thumbnail of a note's photo; None without one, or where it cannot be read."""
        if path is None:
            return None
        if note.photo not in self._saved:
            self._saved[note.photo] = read_small(path, 2 * HIGH_PX)
        return self._saved[note.photo]


def read_small(path: Path, high_px: int) -> QImage | None:
    """A photo scaled to a height, turned as its camera says."""
    side = 4 * max(high_px, 1)
    image = read_photo(path, QSize(side, side))
    if image is None:
        return None
    return image.scaledToHeight(high_px, Qt.TransformationMode.SmoothTransformation)


def noted(
    notes: Sequence[Note], zero_ms: int, thumbs: Thumbs, path_of: Callable[[Note], Path | None]
) -> tuple[Noted, ...]:
    """The notes of a make where they fall on its day."""
    return tuple(
        Noted((note.at_ms - zero_ms) / 60_000, note.text, thumbs.of(note, path_of(note)))
        for note in sorted(notes, key=_instant)
    )


def words_near(some: Sequence[Noted], at_min: float) -> str:
    """What was noted about then, "" where nothing was."""
    near = [one for one in some if abs(one.at_min - at_min) <= NEAR_MIN]
    return "; ".join(one.text or "photo" for one in near)


class NoteMarks(pg.GraphicsObject):  # type: ignore[misc]  # it has no types
    """Draws notes in screen pixels, standing on the lower edge of a panel."""

    def __init__(self, some: Sequence[Noted], view: tuple[float, float, float, float], c: Colours):
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


def _instant(note: Note) -> int:
    return note.at_ms
