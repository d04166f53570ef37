"""Notes on the chart: a small leaf at its moment, or the photo itself as a thumbnail."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize
from PySide6.QtGui import QImage, QTransform

from journal.curves.snapshot import TimedNote
from journal.desk.charts.item import SceneItem
from journal.desk.charts.marks import AreaMark, BoxMark, LineMark, Mark, PhotoMark, Scene
from journal.desk.theme import Colours
from journal.desk.vat.noted import HIGH_PX

WIDE_PX = 66
_LEAF = QSize(10, 12)


class NoteMarks(SceneItem):
    """Draws notes in screen pixels, standing on the lower edge of a panel."""

    def __init__(
        self, some: Sequence[TimedNote], view: tuple[float, float, float, float], c: Colours
    ):
        super().__init__(c)
        self._some = [one for one in some if view[0] <= one.at_min <= view[1]]
        self._view = view

    def boundingRect(self) -> QRectF:
        left, right, low, high = self._view
        return QRectF(left, low, right - left, high - low)

    def scene_on(self, to_screen: QTransform) -> Scene:
        marks: list[Mark] = []
        edge = to_screen.map(QPointF(self._view[1], self._view[2])).x()
        for one in self._some:
            foot = to_screen.map(QPointF(one.at_min, self._view[2]))
            if one.picture is None:
                marks += _leaf(foot.x(), foot.y())
            else:
                marks += _photo(one.picture, foot.x(), foot.y(), edge)
        return Scene(marks)


def _leaf(x: float, y: float) -> list[Mark]:
    wide, high, fold = _LEAF.width(), _LEAF.height(), 3.5
    left, top = x - wide / 2, y - high - 3
    across = [left + a for a in (0, wide - fold, wide, wide, 0, 0)]
    down = [top + a for a in (0, 0, fold, high, high, 0)]
    lines = [top + row * high for row in (0.45, 0.7)]
    ends = left + 0.22 * wide, left + 0.78 * wide
    return [
        AreaMark(across, down, "field"),
        LineMark(across, down, "ink"),
        *(LineMark(ends, (at, at), "ink") for at in lines),
    ]


def _photo(picture: QImage, x: float, y: float, edge: float) -> list[Mark]:
    wide = min(HIGH_PX * picture.width() / max(1, picture.height()), WIDE_PX)
    left, top = min(x + 4, edge - wide), y - HIGH_PX - 6
    across, down = (left, left + wide), (top, top + HIGH_PX)
    return [
        LineMark((x, x), (y, top), "ink"),
        PhotoMark(across, down, picture),
        BoxMark(across, down, edge="hairline"),
    ]
