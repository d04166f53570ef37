"""One of several: words in a row, the chosen one underlined, arrows go along."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from journal.desk.buttons import WordButton
from journal.desk.theme import STEP


class Choice(QWidget):
    """`changed` carries the key of what was chosen."""

    changed = Signal(str)

    def __init__(
        self, name: str, options: Sequence[tuple[str, str]], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self._keys = [key for key, _ in options]
        self._words: list[WordButton] = []
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(5 * STEP)
        for key, words in options:
            word = WordButton(words)
            word.setCheckable(True)
            word.setAutoExclusive(True)
            word.setObjectName(key)
            word.toggled.connect(self._on_toggled)
            row.addWidget(word)
            self._words.append(word)
        row.addStretch(1)
        self._words[0].setChecked(True)

    def chosen(self) -> str:
        """The key of what is chosen."""
        return next(k for k, w in zip(self._keys, self._words, strict=True) if w.isChecked())

    def choose(self, key: str) -> None:
        """Choose one."""
        self._words[self._keys.index(key)].setChecked(True)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = {Qt.Key.Key_Right: 1, Qt.Key.Key_Left: -1}.get(event.key())
        if step is None:
            super().keyPressEvent(event)
            return
        at = min(max(self._keys.index(self.chosen()) + step, 0), len(self._keys) - 1)
        self._words[at].setChecked(True)
        self._words[at].setFocus()

    def _on_toggled(self, on: bool) -> None:
        if on:
            self.changed.emit(self.sender().objectName())
