"""What was different, drawn: each fact with its value, what is usual, and where it lies."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.drawn import DrawnWidget
from journal.desk.labels import draw_triangle
from journal.desk.theme import SMALL, STEP, TEXT, Colours, font, scaled
from journal.findings.different import Different
from journal.wording import text_of
from journal.wording.compare import different_text, fact_text, range_text

HIGH = 14 * STEP  # px of a fact
SCALE = 30 * STEP  # px of the picture of where it lies
_MOST_Z = 6.0  # spreads shown either side of usual
_EIGHT_IN_TEN = 1.2816


class FactsView(DrawnWidget):
    """Shows at most three facts."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rows: tuple[Different, ...] = ()
        self.setAccessibleName("What was different")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_rows(self, rows: Sequence[Different]) -> None:
        """Show these."""
        self.rows = tuple(rows)
        self.setAccessibleDescription(" ".join(different_text(row) for row in rows))
        self.setFixedHeight(scaled(HIGH) * len(self.rows))
        self.setVisible(bool(self.rows))
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(90 * STEP, scaled(HIGH) * len(self.rows))

    def draw(self, painter: QPainter, c: Colours) -> None:
        for number, row in enumerate(self.rows):
            top = number * scaled(HIGH)
            draw_triangle(painter, 0, top + scaled(7), scaled(12), c.attention)
            left = float(scaled(6 * STEP))
            value = fact_text(row.fact)
            scale = self.width() - SCALE - 2.0
            painter.setFont(font(TEXT))
            wide = QFontMetricsF(painter.font()).horizontalAdvance(value)
            painter.setPen(c.ink)
            at = scale - 3 * STEP - wide
            painter.drawText(QPointF(at, top + scaled(5 * STEP)), value)
            painter.setFont(font(TEXT, bold=True))
            metrics = QFontMetricsF(painter.font())
            name = metrics.elidedText(
                text_of(row.fact.what), Qt.TextElideMode.ElideRight, at - left - 2 * STEP
            )
            painter.drawText(QPointF(left, top + scaled(5 * STEP)), name)
            painter.setFont(font(SMALL))
            painter.setPen(c.quiet)
            painter.drawText(QPointF(left, top + scaled(10 * STEP)), range_text(row))
            if row.z is not None:
                box = QRect(round(scale), top + scaled(STEP), SCALE, scaled(6 * STEP))
                draw_place(painter, c, box, row.z, row.unusual)


def draw_place(painter: QPainter, c: Colours, box: QRect, z: float, far: bool) -> None:
    """Where a value lies: eight in ten others as a bar, this one as a ring, at the edge where it
    lies further out."""
    inner = QRectF(box).adjusted(2 * STEP, 0, -2 * STEP, 0)
    middle, unit = inner.center(), inner.width() / 2 / _MOST_Z
    half = _EIGHT_IN_TEN * unit
    painter.setPen(QPen(c.hairline, 1))
    painter.drawLine(QPointF(inner.left(), middle.y()), QPointF(inner.right(), middle.y()))
    painter.fillRect(QRectF(middle.x() - half, middle.y() - 4, 2 * half, 8), c.past)
    x = middle.x() + max(-_MOST_Z, min(_MOST_Z, z)) * unit
    painter.setPen(QPen(c.ink, 2.0 if far else 1.4))
    painter.setBrush(c.paper)
    painter.drawEllipse(QPointF(x, middle.y()), 5, 5)
