"""Chips in a row that wraps, and a line after them to type the next."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QEvent, QObject, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.buttons import PLAIN, Button
from journal.desk.events import pressed_key
from journal.desk.fields import FieldFrame, TextLine
from journal.desk.form.suggest import Suggestion, Suggestions
from journal.desk.theme import SMALL, STEP, font

HIGH, _GAP = 7 * STEP + 2, 2 * STEP


class Chip(Button):
    """One entry; `removed` says that Delete or Backspace was pressed on it."""

    removed = Signal(object)

    def __init__(self, words: str, parent: QWidget | None = None) -> None:
        super().__init__(words, PLAIN, parent=parent)
        self.setFont(font(SMALL))

    def sizeHint(self) -> QSize:
        width = QFontMetricsF(self.font()).horizontalAdvance(self.text())
        return QSize(round(width) + 5 * STEP, HIGH)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.removed.emit(self)
            return
        super().keyPressEvent(event)


class ChipLine(QWidget):
    """`changed` says that an entry came or went; `done` that Enter was pressed with nothing
    typed. Suggestions stand under the line, `typing_px` wide."""

    changed = Signal()
    done = Signal()

    def __init__(
        self,
        name: str,
        hint: str,
        page: QWidget,
        look: Callable[[str], list[Suggestion]],
        typing_px: int,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._typing_px = typing_px
        self._chips: list[Chip] = []
        self.line = TextLine(name=name, hint=hint)
        self._box = FieldFrame(self.line, HIGH, self, inset=2 * STEP)
        self.list = Suggestions(self.line, page, look, 104 * STEP)
        self.setFocusProxy(self.line)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.line.returnPressed.connect(self._on_return)
        self.line.installEventFilter(self)
        self._place()

    def show_chips(self, chips: Sequence[Chip]) -> None:
        """Show these instead of those there are."""
        for chip in self._chips:
            chip.hide()
            chip.deleteLater()
        self._chips = list(chips)
        before: QWidget = self._box
        for chip in reversed(self._chips):
            chip.show()
            QWidget.setTabOrder(chip, before)
            before = chip
        self._place()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place()

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        back = pressed_key(event) == Qt.Key.Key_Backspace
        if back and not self.line.text() and self._chips:
            self._chips[-1].setFocus()
            return True
        return False

    def _place(self) -> None:
        """Chips from the left, the line after them, wrapped where there is no room."""
        x = y = 0
        for widget in (*self._chips, self._box):
            width = self._typing_px if widget is self._box else widget.sizeHint().width()
            if x and x + width > self.width():
                x, y = 0, y + HIGH + STEP
            widget.setGeometry(QRect(x, y, min(width, max(self.width(), 40)), HIGH))
            x += width + _GAP
        self.setFixedHeight(y + HIGH)

    def _on_return(self) -> None:
        if not self.line.text().strip():
            self.done.emit()
