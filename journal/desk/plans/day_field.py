"""The field of the day: a start or a wanted end, typed as one says it."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from journal.desk.fields import LineField
from journal.wording.dates import clock_hint


class StartDayField(LineField):
    """`changed` at each key, `entered` on Enter; `say` puts a sentence under it."""

    changed = Signal(str)
    entered = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("Start or end", parent=parent)
        self.line.setAccessibleName("The day")
        self.line.setPlaceholderText(clock_hint())
        self.line.textChanged.connect(self.changed)
        self.line.returnPressed.connect(self.entered)
