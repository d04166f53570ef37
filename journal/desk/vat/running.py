"""The clocks beside the stage: timers, the next turn, the flocculation test, the other makes."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QMouseEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.charts.marks import RIGHT, Mark, Scene, TextMark, TriangleMark
from journal.desk.drawn import PaintedWidget
from journal.desk.theme import LEAD, SMALL, STEP, TEXT, font, scaled
from journal.wording.clocks import ClockRow
from journal.wording.languages import translated

_ROW = 7 * STEP


class ClockRows(PaintedWidget):
    """Draws rows of clocks under each other; takes no room while there is none. `pressed` says
    that one was clicked, by its place."""

    pressed = Signal(int)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[ClockRow, ...] = ()
        self.setAccessibleName(translated(name))
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

    def scene(self) -> Scene:
        wide = max((self._figures_wide(row) for row in self._rows), default=0.0)
        high = scaled(_ROW)
        marks: list[Mark] = []
        for i, row in enumerate(self._rows):
            marks += self._row_marks(row, (i + 0.5) * high, wide)
        return Scene(marks)

    def _row_marks(self, row: ClockRow, y: float, wide: float) -> list[Mark]:
        role, left = ("attention", 16.0) if row.over else ("ink", 0.0)
        marks: list[Mark] = [TriangleMark(0, y - 5, 11)] if row.over else []
        marks.append(TextMark(left, y, row.figures, role, bold=True, size=LEAD))
        left += wide + (3 * STEP if wide else 0)
        key_wide = QFontMetricsF(font(SMALL)).horizontalAdvance(row.key) + 2 if row.key else 0.0
        metrics = QFontMetricsF(font(TEXT))
        room = self.width() - left - key_wide - 2 * STEP
        name = metrics.elidedText(row.name, Qt.TextElideMode.ElideRight, room)
        marks.append(TextMark(self.width(), y, row.key, align=RIGHT))
        marks.append(TextMark(left, y, name, role, size=TEXT))
        after, what = metrics.horizontalAdvance(name), f"  {row.what}" if row.what else ""
        if room - after > 20:
            marks.append(TextMark(left + after, y, what, size=TEXT, wide=room - after))
        return marks

    def _figures_wide(self, row: ClockRow) -> float:
        return QFontMetricsF(font(LEAD, bold=True)).horizontalAdvance(row.figures)
