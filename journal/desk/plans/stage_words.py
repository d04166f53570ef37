"""The words of a stage below the table: read in full, or written as what to do and until when."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QStackedLayout, QWidget

from journal.desk.events import pressed_key
from journal.desk.form.fields import Fields
from journal.desk.form.line_field import FieldStyle
from journal.desk.form.spec import AS_TYPED, Field, FieldContext
from journal.desk.labels import Label
from journal.desk.theme import SMALL, STEP

_LEAST = 9 * STEP
_LINES = (
    Field("do", "do", AS_TYPED, name="What to do"),
    Field("until", "until", AS_TYPED, name="Until"),
)
_STYLE = FieldStyle(size=SMALL, height=6 * STEP, inset=2 * STEP, titled=False)


class StageWords(QWidget):
    """`label` says a stage in full, or what was made of a cell. `write` opens two lines; `saved`
    carries what to do and until when, on Enter or when one goes elsewhere."""

    saved = Signal(str, str)
    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.label = Label("", SMALL, wrap=True)
        self.label.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._fields = Fields(_LINES, FieldContext(self, style=_STYLE), self)
        self.do, self.until = self._fields.lines.values()
        self._was = ("", "")
        self.setMinimumHeight(_LEAST)
        self._stack = QStackedLayout(self)
        self._stack.addWidget(self.label)
        self._opened = self._lines()
        self._stack.addWidget(self._opened)
        self._take_room(False)
        for line in (self.do, self.until):
            line.installEventFilter(self)
            line.returnPressed.connect(self.finish)

    def _lines(self) -> QWidget:
        holder = QWidget()
        grid = QGridLayout(holder)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(STEP)
        for row, made in enumerate(self._fields.made.values()):
            grid.addWidget(Label(made.field.title, SMALL, role="quiet"), row, 0)
            grid.addWidget(made, row, 1)
        return holder

    @property
    def writing(self) -> bool:
        """The two lines are open."""
        return self._stack.currentIndex() == 1

    def say(self, sentence: str, *, wrong: bool = False, quiet: bool = False) -> None:
        """Say something in the label."""
        self.label.say(sentence, wrong=wrong, role="quiet" if quiet else "ink")

    def write(self, do: str, until: str) -> None:
        """Open the two lines."""
        self._was = (do, until)
        self.do.setText(do)
        self.until.setText(until)
        self._take_room(True)
        self._stack.setCurrentIndex(1)
        self.do.setFocus()

    def finish(self) -> None:
        """Keep what stands in the lines; nothing happens when they are closed."""
        if not self.writing:
            return
        typed = (self.do.text(), self.until.text())
        self._close()
        if typed != self._was:
            self.saved.emit(*typed)

    def _close(self) -> None:
        self._stack.setCurrentIndex(0)
        self._take_room(False)
        self.left.emit()

    def _take_room(self, taken: bool) -> None:
        """The two lines want their height only while they are open."""
        policy = QSizePolicy.Policy.Preferred if taken else QSizePolicy.Policy.Ignored
        self._opened.setSizePolicy(QSizePolicy.Policy.Preferred, policy)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if pressed_key(event) == Qt.Key.Key_Escape:
            self._close()
            return True
        if event.type() == QEvent.Type.FocusOut and not (
            self.do.hasFocus() or self.until.hasFocus()
        ):
            going = self.window().focusWidget() if self.window() else None
            if going not in (self.do, self.until):
                self.finish()
        return False
