"""The planned day as a ribbon: filled where hands are needed, open where one may leave."""

from __future__ import annotations

from dataclasses import dataclass

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen

from journal.desk.theme import RADIUS, SMALL, Colours, font
from journal.records.plans import Plan

_HEIGHT_PX = 20


@dataclass(frozen=True)
class RibbonStage:
    """A stage on the ribbon, minutes from the start; `chosen` is the one at hand in the sheet."""

    from_min: float
    to_min: float
    label: str
    hands: bool
    chosen: bool = False


class PlanRibbon(pg.GraphicsObject):  # type: ignore[misc] # pyqtgraph brings no types
    """Draws pieces in screen pixels over a panel whose x is minutes and y is 0 to 1."""

    def __init__(self, pieces: list[RibbonStage], c: Colours) -> None:
        super().__init__()
        self._pieces = pieces
        self._colours = c

    def boundingRect(self) -> QRectF:
        return QRectF(0, 0, max((p.to_min for p in self._pieces), default=1.0), 1)

    def paint(self, painter: QPainter, *_args: object) -> None:
        to_screen = painter.transform()
        painter.resetTransform()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for piece in self._pieces:
            left = to_screen.map(QPointF(piece.from_min, 0.5))
            right = to_screen.map(QPointF(piece.to_min, 0.5))
            top = left.y() - _HEIGHT_PX / 2
            self._draw(painter, piece, QRectF(left.x() + 0.5, top, right.x() - left.x() - 1,
                                              _HEIGHT_PX))  # fmt: skip

    def _draw(self, painter: QPainter, piece: RibbonStage, box: QRectF) -> None:
        c = self._colours
        if box.width() < 1:
            return
        painter.setPen(QPen(c.ink if piece.hands else c.planned, 1))
        painter.setBrush(c.ink if piece.hands else c.paper)
        painter.drawRoundedRect(box, RADIUS, RADIUS)
        face = font(SMALL, bold=piece.chosen)
        if QFontMetricsF(face).horizontalAdvance(piece.label) + 8 <= box.width():
            painter.setFont(face)
            painter.setPen(c.paper if piece.hands else c.planned)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, piece.label)
        if piece.chosen:
            painter.fillRect(QRectF(box.x(), box.bottom() + 3, box.width(), 2), c.ink)


def pieces_of(plan: Plan, until_min: float, chosen: int) -> list[RibbonStage]:
    """The stages that begin before `until_min`, cut there."""
    return [
        RibbonStage(
            start, min(start + stage.minutes, until_min), stage.label, stage.hands, i == chosen
        )
        for i, (stage, start) in enumerate(zip(plan.stages, plan.starts(), strict=True))
        if start < until_min
    ]
