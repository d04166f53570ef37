"""The field of the day: a start or a wanted end, typed as one says it."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.desk.fields import Box, Line
from journal.desk.labels import Label
from journal.desk.theme import SMALL, STEP, TEXT


class DayField(QWidget):
    """`changed` at each key, `entered` on Enter; `say` puts a sentence under it."""

    changed = Signal(str)
    entered = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.line = Line(TEXT)
        self.line.setAccessibleName("The day")
        self.line.setPlaceholderText("10:30, or end 22:00")
        self.said = Label("", SMALL, role="quiet", wrap=True)
        self.said.hide()
        title = Label("Start or end", role="quiet")
        title.setBuddy(self.line)
        self.box = Box(self.line, TEXT + 7 * STEP)
        row = QHBoxLayout(self.box)
        row.setContentsMargins(3 * STEP, 0, 3 * STEP, 0)
        row.addWidget(self.line)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(STEP)
        column.addWidget(title)
        column.addWidget(self.box)
        column.addWidget(self.said)
        self.setFocusProxy(self.line)
        self.line.textChanged.connect(self.changed)
        self.line.returnPressed.connect(self.entered)

    def text(self) -> str:
        """What stands there."""
        return self.line.text().strip()

    def say(self, sentence: str, *, wrong: bool = False) -> None:
        """Say what was understood, or what was not."""
        self.said.set_role("attention" if wrong else "quiet")
        self.said.setText(f"▲ {sentence}" if wrong else sentence)
        self.said.setHidden(not sentence)
        self.box.wrong = wrong
        self.box.update()
