"""A sum in one quiet line where it is needed, with the keys that open it filled."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from journal.desk.buttons import WordButton
from journal.desk.labels import Label
from journal.desk.theme import SMALL, STEP
from journal.wording import worded
from journal.wording.keys import key_of


class SumInPlace(QWidget):
    """Shows what a sum says; `asked` comes from a click on its keys."""

    asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.words = Label("", SMALL, role="quiet", wrap=True)
        self.button = WordButton(key_of("calculate"), size=SMALL)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(3 * STEP)
        row.addWidget(self.words, 1)
        row.addWidget(self.button, 0, Qt.AlignmentFlag.AlignTop)
        self.button.clicked.connect(self._on_clicked)
        self.hide()

    def text(self) -> str:
        """What stands there, "" for nothing."""
        return self.words.text()

    def show_sentence(self, words: str) -> None:
        """Show these; "" shows nothing."""
        self.words.setText(words)
        self.button.setAccessibleName(worded("desk.calculate-this", words=words) if words else "")
        self.setVisible(bool(words))

    def _on_clicked(self) -> None:
        self.asked.emit()
