"""A form of a line or two in the page: how much longer and why, a note, a timer."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from journal.desk.form.fields import Fields
from journal.desk.form.form import FormSpec
from journal.desk.form.line_field import FieldStyle, TextLine
from journal.desk.form.spec import FieldContext
from journal.desk.labels import Label
from journal.desk.layouts import in_column
from journal.desk.theme import SMALL, STEP
from journal.wording import text_of
from journal.wording.languages import translated

_STYLE = FieldStyle(SMALL, height=9 * STEP, inset=2 * STEP, gap=STEP // 2)
_KEYS = "Enter saves, Esc cancels."


class AskRow(QWidget):
    """Asks in place for lines. On the last Enter they are kept; what that refuses is said under
    them, and what was typed stays. `edited` carries what a line says now, `closed` comes when it
    is over."""

    closed = Signal()
    edited = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._spec: FormSpec | None = None
        self._fields: Fields | None = None
        self._given: tuple[str, ...] = ()  # what stood in the lines when it was asked
        self.unfinished: dict[str, tuple[str, ...]] = {}  # by the key of the question
        self.title = Label("", bold=True, wrap=True)
        self.message = Label("", SMALL, role="quiet", wrap=True)
        self._row = QHBoxLayout()
        self._row.setSpacing(3 * STEP)
        in_column(self.title, self._row, self.message, of=self, margins=0, gap=STEP)
        self.hide()

    @property
    def asking(self) -> bool:
        """True while something is asked for."""
        return self._spec is not None

    @property
    def key(self) -> str:
        """The key of the question that is asked, "" while there is none."""
        return self._spec.key if self._spec is not None else ""

    @property
    def lines(self) -> tuple[TextLine, ...]:
        """The lines of the question."""
        return tuple(self._fields.lines.values()) if self._fields is not None else ()

    @property
    def texts(self) -> tuple[str, ...]:
        """What stands in the lines."""
        return self._fields.texts() if self._fields is not None else ()

    @property
    def touched(self) -> bool:
        """Something was typed since the form opened."""
        return self.asking and self.texts != self._given

    def put_texts(self, texts: Sequence[str]) -> None:
        """Put back what was typed before."""
        if self._fields is not None:
            self._fields.put_texts(texts)

    def ask(self, spec: FormSpec) -> None:
        """Ask. What was typed to another question waits until that is asked again."""
        if self.touched:
            self.unfinished[self.key] = self.texts
        before, self._spec = self._fields, spec
        self._fields = fields = Fields(spec.fields, FieldContext(self, spec.instants, _STYLE), self)
        self._given = fields.texts()
        self.title.setText(translated(spec.title))
        self._say(_KEYS)
        for field, made in zip(spec.fields, fields.made.values(), strict=True):
            self._row.addWidget(made, field.stretch)
            made.show()  # a layout that is seen already would do it later, and the focus be lost
        self._put_in_order(fields)
        fields.watch(self)
        fields.edited.connect(self._on_edited)
        fields.put_texts(self.unfinished.pop(spec.key, ()))
        self.show()
        fields.made[spec.fields[0].key].begin()
        if before is not None:
            before.take_away()
        self.edited.emit("".join(self.texts))

    def leave(self) -> None:
        """Ask no more; what was typed goes."""
        self._spec = None
        self.hide()
        self.closed.emit()

    def answer(self) -> None:
        """Hand over what is typed."""
        filled = self._fields.read() if self._fields is not None else None
        if self._spec is None or filled is None:
            return
        try:
            self._spec.save(filled)
        except ValueError as error:
            self._say(text_of(error), wrong=True)
            self.lines[0].setFocus()
            return
        self.leave()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            return self._on_key(watched, event)
        return False

    def _on_key(self, line: QObject, event: QKeyEvent) -> bool:
        if event.key() == Qt.Key.Key_Escape:
            self.leave()
            return True
        lines = self.lines
        here = lines.index(line)
        plain = not event.modifiers() & Qt.KeyboardModifier.ControlModifier
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and plain:
            if here + 1 < len(lines) and not lines[here + 1].text():
                lines[here + 1].setFocus()
            else:
                self.answer()
            return True
        return False

    def _put_in_order(self, fields: Fields) -> None:
        """Tab comes to the lines where they stand in the page, new as they are."""
        for made in fields.made.values():
            made.no_proxy()  # Tab would come to what is around a line too, after the whole page
        before: QWidget = self
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)  # Qt orders only what may have the focus
        for line in self.lines:
            QWidget.setTabOrder(before, line)
            before = line
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def _on_edited(self, text: str) -> None:
        self._say(_KEYS)
        self.edited.emit(text)

    def _say(self, sentence: str, *, wrong: bool = False) -> None:
        self.message.say(sentence, wrong=wrong)
