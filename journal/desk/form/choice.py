"""One of several, from a list that opens."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QWheelEvent
from PySide6.QtWidgets import QComboBox, QWidget

from journal.desk.theme import RADIUS, STEP, TEXT, colours_of, font


@dataclass(frozen=True)
class ChoiceOption:
    """One choice: its key in the program and its words."""

    key: str
    words: str


class ComboBox(QComboBox):
    """A small choice; the wheel changes it only while it has the focus."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFont(font(TEXT))
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.setMinimumHeight(7 * STEP)

    def offer(self, options: Sequence[ChoiceOption], key: str) -> None:
        """Offer these, standing on `key`; nobody is told of it."""
        self.blockSignals(True)
        self.clear()
        for option in options:
            self.addItem(option.words, option.key)
        self.setCurrentIndex(max(0, self.findData(key)))
        self.blockSignals(False)

    def key(self) -> str:
        """The key of the choice made."""
        return str(self.currentData() or "")

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        c = colours_of(self)
        box = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        focused = self.hasFocus()
        painter.setPen(QPen(c.ink if focused else c.hairline, 1.4 if focused else 1.0))
        painter.setBrush(c.field if self.isEnabled() else c.paper)
        painter.drawRoundedRect(box, RADIUS, RADIUS)
        painter.setPen(c.ink if self.isEnabled() else c.quiet)
        painter.setFont(self.font())
        words = box.adjusted(2 * STEP, 0, -6 * STEP, 0)
        painter.drawText(words, Qt.AlignmentFlag.AlignVCenter, self.currentText())
        x, y = box.right() - 3.5 * STEP, box.center().y() - 1.5
        painter.setPen(QPen(c.quiet, 1.4))
        painter.drawPolyline([QPointF(x - 4, y), QPointF(x, y + 4), QPointF(x + 4, y)])
        painter.end()

    def sizeHint(self) -> QSize:
        hint = super().sizeHint()
        return QSize(hint.width() + 4 * STEP, max(hint.height(), 7 * STEP))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def wheelEvent(self, event: QWheelEvent) -> None:
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()
