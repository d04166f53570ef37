"""A field for one number with its unit: the arrows step it, and it says when it is wrong."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from journal.desk.fields import Dress, LineField, TextLine
from journal.desk.labels import Label
from journal.desk.theme import SMALL, STEP
from journal.findings.columns import number

_UP, _DOWN = Qt.Key.Key_Up, Qt.Key.Key_Down


class _Stepped(TextLine):
    """A line whose up and down arrows are told."""

    stepped = Signal(int)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (_UP, _DOWN):
            self.stepped.emit(1 if event.key() == _UP else -1)
            return
        super().keyPressEvent(event)


class NumberField(LineField):
    """A number to type. `edited` comes at each change a person makes."""

    edited = Signal()

    def __init__(self, name: str, *, step: float = 1.0, parent: QWidget | None = None) -> None:
        line, unit = _Stepped(), Label("", SMALL, role="quiet")
        dress = Dress(SMALL, height=9 * STEP, inset=2 * STEP)
        super().__init__(name, dress, line=line, beside=unit, parent=parent)
        self.step, self.digits = step, 0
        self.least, self.most = float("-inf"), float("inf")
        self.unit = unit
        self.line.textEdited.connect(self._on_edited)
        line.stepped.connect(self._on_stepped)
        self.call(name)

    def call(self, name: str, unit: str = "") -> None:
        """What is asked for, as it is read aloud."""
        self.line.setAccessibleName(f"{name}, {unit}" if unit else name)
        self.unit.setText(unit)

    def bound(self, least: float, most: float, step: float, digits: int) -> None:
        """How far the arrows go, and by how much."""
        self.least, self.most, self.step, self.digits = least, most, step, digits

    def value(self) -> float | None:
        """The number typed; None while it is none."""
        return number(self.text()) if self.text() else None

    def set_value(self, value: float) -> None:
        """Put a number there."""
        text = f"{value:.{self.digits}f}"
        self.line.setText(text.rstrip("0").rstrip(".") if "." in text else text)

    def _on_edited(self, _text: str) -> None:
        self.edited.emit()

    def _on_stepped(self, way: int) -> None:
        value = self.value()
        if value is not None:
            self.set_value(min(max(value + way * self.step, self.least), self.most))
            self.edited.emit()
