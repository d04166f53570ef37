"""A form at the foot of a page: fields side by side, filled by keyboard, kept as one change."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.form.fields import Fields
from journal.desk.form.frame import acts_row
from journal.desk.form.readers import Reader
from journal.desk.form.spec import Field, FieldContext, FormValues
from journal.desk.labels import Hairline, Label, Marked
from journal.desk.layouts import in_column
from journal.desk.theme import LEAD, SMALL, STEP
from journal.keeping import KeepingError
from journal.quantities import QuantityError
from journal.records import RecordError
from journal.wording import text_of
from journal.wording.languages import translated

_FIELD_WIDTH = 44 * STEP


@dataclass(frozen=True)
class FormSpec:
    """A form: what it is called, its fields, and what saves them; `save` raises with a sentence
    what cannot be. Under `key` lies what is half typed in it.
    """

    title: str
    fields: tuple[Field, ...]
    save: Callable[[FormValues], None]
    key: str = ""
    words: str = "Save"
    caution: str = ""
    note: str = ""
    first: str = ""  # the key of the field to begin with
    instants: tuple[str, int] = ("UTC", 0)  # zone and now, for days


class Form(QWidget):
    """Shows one FormSpec at a time. Enter goes on, and keeps from the last field; Ctrl+Enter keeps
    from any; Esc puts it away. `closed` when it is gone."""

    closed = Signal()

    def __init__(self, page: QWidget) -> None:
        super().__init__(page)
        self._page = page
        self._spec: FormSpec | None = None
        self._fields: Fields | None = None
        self.title = Label("", LEAD, bold=True)
        self.caution = Marked(SMALL)
        self.note = Label("", SMALL, role="quiet", wrap=True)
        self.save = Button("Save", MAIN, "main")
        self.save.clicked.connect(self.submit)
        self.away = Button("Cancel", key="Esc")
        self.away.clicked.connect(self.put_away)
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(4 * STEP)
        self._grid.setVerticalSpacing(2 * STEP)
        self._build()
        self.hide()

    def _build(self) -> None:
        inside = in_column(
            self.title,
            self._grid,
            self.note,
            self.caution,
            acts_row(self.save, self.away),
            margins=(3 * STEP, 2 * STEP, 3 * STEP, 0),
            gap=2 * STEP,
        )
        in_column(Hairline(), inside, of=self, margins=0)

    @property
    def open(self) -> bool:
        """A form is shown."""
        return self._spec is not None

    def field(self, key: str) -> Reader:
        """The field of that key in the open form."""
        assert self._fields is not None
        return self._fields.made[key]

    def show_form(self, spec: FormSpec) -> None:
        """Show this form, the first field ready to be typed in."""
        self._clear()
        self._spec = spec
        self.title.setText(translated(spec.title))
        self.caution.say(spec.caution)
        self.note.setText(spec.note)
        self.note.setVisible(bool(spec.note))
        self.save.set_label(spec.words, "main")
        self._fields = fields = Fields(spec.fields, FieldContext(self._page, spec.instants), self)
        fields.watch(self)
        fields.taken.connect(self._on_taken)
        self._arrange()
        self.show()
        self.field(spec.first or spec.fields[0].key).begin()

    def submit(self) -> None:
        """Keep what was typed; a field that cannot be says why and gets the focus."""
        if self._spec is None or self._fields is None:
            return
        filled = self._fields.read()
        if filled is None:
            return
        try:
            self._spec.save(filled)
        except (KeepingError, RecordError, QuantityError) as error:
            self._fields.refuse(self._spec.fields[-1].key, text_of(error))
            return
        self.put_away()

    def put_away(self) -> None:
        """Close it."""
        self._clear()
        self._spec = None
        self.hide()
        self.closed.emit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        pressed = event.type() == QEvent.Type.KeyPress
        if not isinstance(event, QKeyEvent) or not pressed or self._fields is None:
            return False
        if self._fields.hanging:
            return False  # what hangs under the line has the keys
        if event.key() == Qt.Key.Key_Escape:
            self.put_away()
            return True
        plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter) or not plain:
            return False
        following = self._fields.after(watched)
        if following is None:
            self.submit()
        else:
            following.begin()
        return True

    def _on_taken(self, field: Reader) -> None:
        """One of what hung under a field was taken: go on."""
        following = self._fields.after(field.entry) if self._fields is not None else None
        if following is not None:
            following.begin()

    def _arrange(self) -> None:
        """As many fields beside each other as there is room for."""
        across = max(2, (self.width() - 6 * STEP) // (_FIELD_WIDTH + 4 * STEP))
        for index, made in enumerate(self._fields.made.values() if self._fields else ()):
            self._grid.addWidget(made, index // across, index % across, Qt.AlignmentFlag.AlignTop)
        for column in range(self._grid.columnCount()):
            self._grid.setColumnStretch(column, 1 if column < across else 0)

    def _clear(self) -> None:
        if self._fields is not None:
            self._fields.take_away()
            self._fields = None
