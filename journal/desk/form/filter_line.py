"""A line that narrows a list by what is typed in it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from journal.desk.form.line_field import FieldFrame, TextLine
from journal.desk.labels import Label
from journal.desk.layouts import in_column
from journal.desk.spoken import announce
from journal.desk.theme import STEP, TEXT
from journal.wording import worded
from journal.wording.languages import translated

_PASSED_ON = (Qt.Key.Key_Down, Qt.Key.Key_Up, Qt.Key.Key_PageDown, Qt.Key.Key_PageUp)


class FilterLine(QWidget):
    """The one search line of the desk, which is no field of a form: what is typed is kept nowhere.
    Under it a sentence while nothing is found. `narrowed` carries what is typed,
    `passed_on` a key that goes along the list; `entered` says Enter, `left` Esc on an empty line.
    """

    narrowed = Signal(str)
    passed_on = Signal(object)
    entered = Signal()
    left = Signal()

    def __init__(
        self,
        name: str = "Filter",
        hint: str = "Filter: a part of any column. Esc shows all",
        nothing: str = "Nothing",
        height: int = 9 * STEP,
        size: int = TEXT,
    ) -> None:
        super().__init__()
        self._nothing = translated(nothing)
        self.line = TextLine(size, name=name, hint=hint)
        self.none = Label("", role="quiet", wrap=True)
        self.none.hide()
        in_column(FieldFrame(self.line, height), self.none, of=self, margins=0, gap=3 * STEP)
        self.setFocusProxy(self.line)
        self.line.installEventFilter(self)
        self.line.textChanged.connect(self.narrowed)

    def begin(self) -> None:
        """Go there, to type over what stands there."""
        self.line.setFocus()
        self.line.selectAll()

    def say_found(self, found: bool) -> None:
        """Say so where nothing is found."""
        typed = self.line.text().strip()
        sentence = worded("desk.nothing-in-the-list", what=self._nothing, typed=typed)
        self.none.say_if_any("" if found else sentence)
        if not found:
            announce(self.line, sentence)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if not isinstance(event, QKeyEvent) or event.type() != QEvent.Type.KeyPress:
            return False
        key, plain = event.key(), not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if key in _PASSED_ON:
            self.passed_on.emit(event)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and plain:
            self.entered.emit()
        elif key == Qt.Key.Key_Escape and self.line.text():
            self.line.clear()
        elif key == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            return False
        return True
