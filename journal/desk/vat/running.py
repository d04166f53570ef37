"""The clocks beside the stage: timers, the next turn, the flocculation test, the other makes."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.labels import draw_triangle
from journal.desk.theme import LEAD, SMALL, STEP, TEXT, font, scaled
from journal.wording.clocks import ClockRow

_ROW = 7 * STEP
_LEFT, _RIGHT = Qt.AlignmentFlag.AlignLeft, Qt.AlignmentFlag.AlignRight
_MIDDLE = Qt.AlignmentFlag.AlignVCenter


class ClockRows(QWidget):
    """Draws rows of clocks under each other; takes no room while there is none. `pressed` says
    that one was clicked, by its place."""

    pressed = Signal(int)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[ClockRow, ...] = ()
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.hide()

    @property
    def rows(self) -> tuple[ClockRow, ...]:
        """What is shown."""
        return self._rows

    def show_rows(self, rows: Sequence[ClockRow]) -> None:
        """Show these."""
        count = len(self._rows)
        self._rows = tuple(rows)
        self.setVisible(bool(rows))
        self.setAccessibleDescription("; ".join(row.words for row in rows))
        if len(rows) != count:
            self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(60 * STEP, scaled(_ROW) * len(self._rows))

    def minimumSizeHint(self) -> QSize:
        return QSize(40 * STEP, scaled(_ROW) * len(self._rows))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        index = int(event.position().y() // scaled(_ROW))
        if 0 <= index < len(self._rows):
            self.pressed.emit(index)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        wide = max((self._figures_wide(row) for row in self._rows), default=0.0)
        for i, row in enumerate(self._rows):
            self._draw(painter, row, QRectF(0, i * scaled(_ROW), self.width(), scaled(_ROW)), wide)
        painter.end()

    def _draw(self, painter: QPainter, row: ClockRow, box: QRectF, wide: float) -> None:
        palette = self.palette()
        ink, quiet = palette.windowText().color(), palette.placeholderText().color()
        attention = palette.linkVisited().color()
        left = 0.0
        if row.over:
            draw_triangle(painter, 0, box.center().y() - 5, 11, attention)
            left = 16.0
        painter.setPen(attention if row.over else ink)
        painter.setFont(font(LEAD, bold=True))
        painter.drawText(QRectF(left, box.y(), wide, box.height()), _LEFT | _MIDDLE, row.figures)
        left += wide + (3 * STEP if wide else 0)
        key_wide = QFontMetricsF(font(SMALL)).horizontalAdvance(row.key) + 2 if row.key else 0.0
        painter.setFont(font(SMALL))
        painter.setPen(quiet)
        painter.drawText(box, _RIGHT | _MIDDLE, row.key)
        painter.setFont(font(TEXT))
        metrics = QFontMetricsF(font(TEXT))
        room = box.width() - left - key_wide - 2 * STEP
        what = f"  {row.what}" if row.what else ""
        name = metrics.elidedText(row.name, Qt.TextElideMode.ElideRight, room)
        painter.setPen(attention if row.over else ink)
        painter.drawText(QRectF(left, box.y(), room, box.height()), _LEFT | _MIDDLE, name)
        after = metrics.horizontalAdvance(name)
        painter.setPen(quiet)
        rest = metrics.elidedText(what, Qt.TextElideMode.ElideRight, room - after)
        if room - after > 20:
            cell = QRectF(left + after, box.y(), room - after, box.height())
            painter.drawText(cell, _LEFT | _MIDDLE, rest)

    def _figures_wide(self, row: ClockRow) -> float:
        return QFontMetricsF(font(LEAD, bold=True)).horizontalAdvance(row.figures)
