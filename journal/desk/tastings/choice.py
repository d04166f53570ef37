"""One of several: words in a row that wraps, the chosen one underlined, arrows go along."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QButtonGroup, QSizePolicy, QWidget

from journal.desk.buttons import WordButton
from journal.desk.theme import STEP

_GAP = 5 * STEP
_STEPS: dict[int, int] = {Qt.Key.Key_Right: 1, Qt.Key.Key_Left: -1}


class ChoiceList(QWidget):
    """`changed` carries the key of what was chosen; `done` says that Enter was pressed on it."""

    changed = Signal(str)
    done = Signal()

    def __init__(
        self, name: str, options: Sequence[tuple[str, str]], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._keys = [key for key, _ in options]
        self._words: list[WordButton] = []
        group = QButtonGroup(self)
        for key, words in options:
            word = WordButton(words, self)
            word.setCheckable(True)
            word.setObjectName(key)
            word.toggled.connect(self._on_toggled)
            group.addButton(word)
            self._words.append(word)
        self._words[0].setChecked(True)
        self.setFocusProxy(self._words[0])
        self._place()

    def chosen(self) -> str:
        """The key of what is chosen."""
        return next(k for k, w in zip(self._keys, self._words, strict=True) if w.isChecked())

    def choose(self, key: str) -> None:
        """Choose one."""
        self._words[self._keys.index(key)].setChecked(True)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.done.emit()
            return
        step = _STEPS.get(event.key())
        if step is None:
            super().keyPressEvent(event)
            return
        at = min(max(self._keys.index(self.chosen()) + step, 0), len(self._keys) - 1)
        self._words[at].setChecked(True)
        self._words[at].setFocus()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place()

    def _place(self) -> None:
        """From the left, wrapped where there is no room."""
        x = y = 0
        for word in self._words:
            size = word.sizeHint()
            if x and x + size.width() > self.width():
                x, y = 0, y + size.height()
            word.setGeometry(x, y, size.width(), size.height())
            x += size.width() + _GAP
        self.setFixedHeight(y + self._words[-1].sizeHint().height())

    def _on_toggled(self, on: bool) -> None:
        if on:
            self.setFocusProxy(next(word for word in self._words if word.isChecked()))
            self.changed.emit(self.chosen())
