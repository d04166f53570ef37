"""Stages as strips, in pixels of the screen over a plot whose x is minutes."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QFontMetricsF, QTransform

from journal.curves.surface import Span, StageBar
from journal.desk.charts.item import SceneItem
from journal.desk.charts.marks import MIDDLE, BoxMark, Mark, Scene, TextMark
from journal.desk.theme import RADIUS, SMALL, Colours, font, scaled

STRIP_PX = 20


def strip_marks(
    x: Span, y: float, names: Sequence[str], *, edge: str, fill: str, ink: str,
    bold: bool = False, high: float = 0.0, seen: Span | None = None,
) -> list[Mark]:  # fmt: skip
    """A rounded box about a height with the first of the names that has room in it, or in what is
    `seen` of it; a name is the second mark."""
    half = (high or scaled(STRIP_PX)) / 2
    first, last = seen or x
    out: list[Mark] = [BoxMark(x, (y - half, y + half), fill, edge, rounded=RADIUS)]
    advance = QFontMetricsF(font(SMALL, bold=bold)).horizontalAdvance
    name = next((n for n in names if advance(n) + 6 <= last - first), None)
    if name is not None:
        out.append(TextMark((first + last) / 2, y, name, ink, MIDDLE, bold=bold))
    return out


class StageStrips(SceneItem):
    """Stages beside each other in the middle of a plot whose y is 0 to 1: filled where hands are
    needed, open where one may leave, the current one underlined."""

    def __init__(self, bars: Sequence[StageBar], c: Colours) -> None:
        super().__init__(c)
        self._bars = bars

    def boundingRect(self) -> QRectF:
        return QRectF(0, 0, max((bar.last for bar in self._bars), default=1.0), 1)

    def scene_on(self, to_screen: QTransform) -> Scene:
        marks: list[Mark] = []
        for bar in self._bars:
            left, right = (to_screen.map(QPointF(at, 0.5)) for at in (bar.first, bar.last))
            x, y = (left.x() + 0.5, right.x() - 0.5), left.y()
            if x[1] - x[0] < 1:
                continue
            fill, ink, edge = ("ink", "paper", "ink") if bar.hands else ("paper", *2 * ("planned",))
            marks += strip_marks(x, y, [bar.label], edge=edge, fill=fill, ink=ink, bold=bar.chosen)
            if bar.chosen:
                below = y + scaled(STRIP_PX) / 2 + 3
                marks.append(BoxMark(x, (below, below + 2), "ink"))
        return Scene(marks)
