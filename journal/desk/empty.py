"""An empty place: what will stand here, and how to begin."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from journal.desk.buttons import Button
from journal.desk.labels import Label
from journal.desk.theme import LEAD, STEP
from journal.wording.languages import translated

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_NONE = Qt.KeyboardModifier.NoModifier


class EmptyPage(QWidget):
    """A heading, a sentence or two, and the buttons that begin."""

    def __init__(
        self,
        heading: str,
        sentence: str,
        buttons: tuple[Button, ...] = (),
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.heading = Label(translated(heading), LEAD, bold=True, wrap=True)
        self.sentence = Label(translated(sentence), role="quiet", wrap=True)
        self.column = column = QVBoxLayout(self)
        column.setContentsMargins(8 * STEP, 8 * STEP, 8 * STEP, 8 * STEP)
        column.setSpacing(3 * STEP)
        column.addWidget(self.heading)
        column.addWidget(self.sentence)
        column.addSpacing(2 * STEP)
        for button in buttons:
            column.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(1)
        if buttons:
            self.setFocusProxy(buttons[0])
        self.setMaximumWidth(150 * STEP)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter presses the selected button, as the space does."""
        focused = self.focusWidget()
        plain = event.modifiers() in (_NONE, Qt.KeyboardModifier.KeypadModifier)
        if plain and event.key() in _ENTER and isinstance(focused, Button):
            focused.click()
        else:
            super().keyPressEvent(event)
