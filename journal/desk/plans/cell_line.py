"""The line that lies over a cell while it is typed in."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QCompleter, QWidget

from journal.desk.form.line_field import FieldFrame, TextLine
from journal.desk.theme import STEP
from journal.records.care_written import EAT, TASTE, typed_name
from journal.records.kinds import CARE_KINDS, STAGE_KINDS


class KeyLine(TextLine):
    """A line that says where its keys lead: `moved` columns and rows on, `given_up` on Esc,
    `lost` when one goes elsewhere."""

    moved = Signal(int, int)
    given_up = Signal()
    lost = Signal()

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            step = (event.key() == Qt.Key.Key_Tab) - (event.key() == Qt.Key.Key_Backtab)
            if step:
                self.moved.emit(step, 0)
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        rows = (event.key() == Qt.Key.Key_Down) - (event.key() == Qt.Key.Key_Up)
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and plain:
            self.moved.emit(0, 0)
        elif rows and plain:
            self.moved.emit(0, rows)
        elif event.key() == Qt.Key.Key_Escape:
            self.given_up.emit()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.lost.emit()


class CellLine(FieldFrame):
    """The framed line of a cell; in the first column it finishes the word of a kind of stage, or of
    care."""

    line: KeyLine

    def __init__(self, parent: QWidget, height: int) -> None:
        super().__init__(KeyLine(), height, parent, inset=3 * STEP - 1)
        self._stages = _finishing(tuple(STAGE_KINDS), self)
        self._cares = _finishing((*map(typed_name, CARE_KINDS), TASTE, EAT), self)
        self.hide()

    def open_with(self, text: str, *, kinds: bool, right: bool, care: bool = False) -> None:
        """Begin with a text."""
        finish = (self._cares if care else self._stages) if kinds else None
        self.line.setCompleter(finish)  # type: ignore[arg-type] # None takes it away
        side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
        self.line.setAlignment(side | Qt.AlignmentFlag.AlignVCenter)
        self.wrong = False
        self.line.blockSignals(True)
        self.line.setText(text)
        self.line.blockSignals(False)
        self.show()
        self.raise_()


def _finishing(words: Sequence[str], parent: QWidget) -> QCompleter:
    """What finishes one of these words as it is typed."""
    found = QCompleter(list(words), parent)
    found.setCompletionMode(QCompleter.CompletionMode.InlineCompletion)
    found.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
    return found
