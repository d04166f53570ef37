"""Fields for typed values: a line, its unit, and under it what was understood."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QRectF, Qt, Signal
from PySide6.QtGui import (
    QKeyEvent,
    QKeySequence,
    QPainter,
    QPaintEvent,
    QPalette,
    QPen,
    QWheelEvent,
)
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from journal.desk.labels import Label
from journal.desk.theme import RADIUS, SMALL, STEP, TEXT, colours_of, font
from journal.quantities import QuantityError
from journal.quantities.typed import Typed, parse
from journal.quantities.units import unit_named
from journal.wording import text_of
from journal.wording.amounts import understood


class Line(QLineEdit):
    """A bare line edit: leaves undo to the window when it has nothing of its own to undo."""

    def __init__(self, size: int = TEXT, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrame(False)
        self.setFont(font(size))
        self.setTextMargins(0, 0, 0, 0)
        palette = self.palette()
        palette.setColor(QPalette.ColorRole.Base, Qt.GlobalColor.transparent)
        self.setPalette(palette)

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and self._leaves(event):
            event.ignore()
            return False
        return super().event(event)

    def _leaves(self, event: QKeyEvent) -> bool:
        if event.type() != QEvent.Type.ShortcutOverride:
            return False
        if event.matches(QKeySequence.StandardKey.Undo):
            return not self.isUndoAvailable()
        return event.matches(QKeySequence.StandardKey.Redo) and not self.isRedoAvailable()


class Box(QFrame):
    """The frame around a line: a hairline, ink while it has the focus, plum when it is wrong."""

    def __init__(self, line: QLineEdit, height: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.line = line
        self.wrong = False
        self.setFixedHeight(height)
        self.setFocusProxy(line)
        line.installEventFilter(self)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if event.type() in (QEvent.Type.FocusIn, QEvent.Type.FocusOut):
            self.update()
        return False

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        c = colours_of(self)
        edge = c.ink if self.line.hasFocus() else c.hairline
        width = 1.4 if self.line.hasFocus() else 1.0
        if self.wrong:
            edge, width = c.attention, 1.6
        painter.setPen(QPen(edge, width))
        painter.setBrush(c.field)
        box = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        painter.drawRoundedRect(box, RADIUS, RADIUS)
        painter.end()


class TypedField(QWidget):
    """A value with a unit, typed as people write it ("88 F", "1/2 tsp", "31,4").

    `entered` carries the Typed value on Enter, and only then; what was typed stays until
    `clear_text`, wrong or right. The wheel never changes it.
    """

    entered = Signal(object)
    changed = Signal(object)  # Typed, or None while it says nothing that can be understood

    def __init__(
        self,
        name: str,
        quantity: str,
        unit: str = "",
        *,
        size: int = TEXT,
        titled: bool = True,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.quantity = quantity
        self.unit = unit
        self.line = Line(size)
        self._title = Label(name, TEXT, role="quiet")
        self._title.setBuddy(self.line)
        if not titled:
            self._title.hide()
        self._unit = Label("", role="quiet")
        self.said = Label("", SMALL, role="quiet", wrap=True)
        self.setFocusProxy(self.line)
        self.line.textChanged.connect(self._on_text)
        self.line.returnPressed.connect(self._on_return)
        self._build(size)
        self.set_kind(name, quantity, unit)

    def _build(self, size: int) -> None:
        self.box = Box(self.line, max(9 * STEP, size + 7 * STEP))
        row = QHBoxLayout(self.box)
        row.setContentsMargins(3 * STEP, 0, 3 * STEP, 0)
        row.addWidget(self.line, 1)
        row.addWidget(self._unit)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(STEP)
        column.addWidget(self._title)
        column.addWidget(self.box)
        column.addWidget(self.said)

    def set_kind(self, name: str, quantity: str, unit: str = "") -> None:
        """What is typed here; a bare number is in `unit`."""
        self.quantity, self.unit = quantity, unit
        self._title.setText(name)
        self.line.setAccessibleName(name)
        label = unit_named(quantity, unit).label if unit else ""
        self._unit.setText("" if label == "pH" else label)
        self._on_text(self.line.text())

    def read(self) -> Typed:
        """What is understood; QuantityError with what would do."""
        return parse(self.line.text(), self.quantity, default_unit=self.unit or None)

    def told(self, typed: Typed) -> str:
        """What was made of a value in another unit than the field's."""
        return understood(typed)

    def value(self) -> Typed | None:
        """What is understood, None when nothing is."""
        try:
            return self.read()
        except QuantityError:
            return None

    def set_text(self, text: str) -> None:
        """Put a text there."""
        self.line.setText(text)

    def clear_text(self) -> None:
        """Empty it, once what was typed is kept."""
        self.line.setText("")  # unlike clear, this leaves nothing to undo in the field

    def refuse(self, sentence: str) -> None:
        """Say what was wrong, and leave what was typed."""
        self._show(sentence, wrong=True)

    def note(self, sentence: str) -> None:
        """Say something quiet under the line."""
        self._show(sentence, wrong=False)

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()

    def _on_text(self, text: str) -> None:
        typed = self.value() if text.strip() else None
        other = typed if typed is not None and typed.unit != (self.unit or typed.unit) else None
        self._unit.setHidden(other is not None)
        self._show(self.told(other) if other is not None else "", wrong=False)
        self.changed.emit(typed)

    def _on_return(self) -> None:
        try:
            typed = self.read()
        except QuantityError as error:
            self._show(text_of(error), wrong=True)
            return
        self.entered.emit(typed)

    def _show(self, sentence: str, *, wrong: bool) -> None:
        self.said.set_role("attention" if wrong else "quiet")
        self.said.setText(f"▲ {sentence}" if wrong else sentence)
        self.said.setHidden(not sentence)
        self.line.setAccessibleDescription(sentence)
        self.box.wrong = wrong
        self.box.update()
