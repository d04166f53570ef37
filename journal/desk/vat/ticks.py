"""One line of the list before the start: its digit, its box, its words, and when it was ticked."""

from __future__ import annotations

from PySide6.QtCore import QSize, Signal
from PySide6.QtGui import QFontMetricsF, QMouseEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.charts.marks import RIGHT, BoxMark, LineMark, Mark, Scene, TextMark
from journal.desk.drawn import PaintedWidget
from journal.desk.labels import plain_tip
from journal.desk.theme import RADIUS, STEP, TEXT, font
from journal.wording import worded

_HIGH = 9 * STEP
_BOX = 18


class TickLine(PaintedWidget):
    """`pressed` carries its digit."""

    pressed = Signal(int)

    def __init__(self, digit: int, words: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.digit = digit
        self.words = words
        self.ticked = False
        self._when = ""
        self.setAccessibleName(words)
        self.setToolTip(plain_tip(words))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_ticked(self, when: str) -> None:
        """Show the tick, with the time of day it was made at."""
        self.ticked, self._when = True, when
        self.setAccessibleDescription(worded("desk.done-at", time=when))
        self.update()

    def sizeHint(self) -> QSize:
        wide = QFontMetricsF(font(TEXT)).horizontalAdvance(self.words)
        return QSize(round(wide) + 40 * STEP, _HIGH)

    def mousePressEvent(self, _event: QMouseEvent) -> None:
        self.pressed.emit(self.digit)

    def scene(self) -> Scene:
        y, half, left = self.height() / 2, _BOX / 2, 20 + _BOX + 3 * STEP
        role, room = "quiet" if self.ticked else "ink", self.width() - left - 12 * STEP
        across, down = (20, 20 + _BOX), (y - half, y + half)
        edge = "done" if self.ticked else "ink"
        marks: list[Mark] = [
            TextMark(0, y, str(self.digit), size=TEXT),
            BoxMark(across, down, "field", edge, 1.3, rounded=RADIUS),
            TextMark(left, y, self.words, role, size=TEXT, wide=room),
            TextMark(self.width(), y, self._when, align=RIGHT, size=TEXT),
        ]
        if self.ticked:
            corners = (24, 28, 34), (y - half + 9, y - half + 13, y - half + 4.5)
            marks.append(LineMark(*corners, "ink", 2.2))
        return Scene(marks)
