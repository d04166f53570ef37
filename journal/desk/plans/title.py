"""The name of a plan at the top of its sheet, and the line in which it gets another."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QStackedWidget, QWidget

from journal.desk.form.line_field import FieldStyle
from journal.desk.form.readers import AsTypedField
from journal.desk.form.spec import Field, FieldContext
from journal.desk.labels import Label, plain_tip
from journal.desk.theme import LEAD, STEP, TITLE, scaled


class Title(QStackedWidget):
    """Shows a title; `ask` opens the line. `named` carries the name on Enter, or when one goes
    elsewhere; `left` says that the line was closed."""

    named = Signal(str)
    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.label = Label("", TITLE, bold=True)
        self.label.setMinimumWidth(1)
        name = Field("name", "Name of the plan", hint="The plan's name")
        style = FieldStyle(size=LEAD, height=10 * STEP, titled=False)
        field = AsTypedField(name, FieldContext(self, style=style))
        self.line = field.line
        self._was = self._text = ""
        self.addWidget(self.label)
        self.addWidget(field)
        self.setFixedHeight(scaled(10 * STEP))
        self.line.returnPressed.connect(self.finish)
        self.line.installEventFilter(self)

    def setText(self, text: str) -> None:
        """Show this title."""
        self._text = text
        self.label.setToolTip(plain_tip(text))
        self._show()

    def text(self) -> str:
        """The title shown."""
        return self._text

    def _show(self) -> None:
        metrics = self.label.fontMetrics()
        self.label.setText(
            metrics.elidedText(self._text, Qt.TextElideMode.ElideRight, self.width())
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._show()

    @property
    def asking(self) -> bool:
        """The line is open."""
        return self.currentIndex() == 1

    def ask(self, name: str) -> None:
        """Open the line with a name."""
        self._was = name
        self.line.setText(name)
        self.setCurrentIndex(1)
        self.line.setFocus()
        self.line.selectAll()

    def finish(self) -> None:
        """Take the name that stands there; nothing happens while the line is closed."""
        if not self.asking:
            return
        self.setCurrentIndex(0)
        if self.line.text().strip() and self.line.text() != self._was:
            self.named.emit(self.line.text())
        self.left.emit()

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        pressed = event.type() == QEvent.Type.KeyPress
        if isinstance(event, QKeyEvent) and pressed and event.key() == Qt.Key.Key_Escape:
            self.line.setText(self._was)
            self.finish()
            return True
        if event.type() == QEvent.Type.FocusOut and self.asking:
            self.finish()
        return False
