"""A form that is a page of its own: fields below each other, each with its name at the left."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.form.chips import HIGH
from journal.desk.form.fields import Fields
from journal.desk.form.frame import arrange_page
from journal.desk.form.line_field import FieldStyle
from journal.desk.form.readers import Reader
from journal.desk.form.spec import Field, FieldContext
from journal.desk.labels import Label
from journal.desk.layouts import in_row
from journal.desk.theme import STEP, TEXT, TITLE

SIDE = 26 * STEP  # the column of names
_STYLE = FieldStyle(message=TEXT, height=HIGH, gap=4 * STEP, titled=False)
LINE_STYLE = FieldStyle(height=HIGH, titled=False)  # as high as a chip


class NamedRow(QWidget):
    """A widget with its name before it."""

    def __init__(self, name: str, widget: QWidget, side: int = SIDE) -> None:
        super().__init__()
        row = in_row(of=self, margins=0, gap=0)
        if name:
            label = Label(name, role="quiet")
            label.setFixedSize(side, HIGH)
            row.addWidget(label, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(widget, 1)


class FormPage(QWidget):
    """Asks for the fields, each under the one before. Enter goes on to the next, and from the last
    to what saves. `changed` says that something was picked, `edited` that something was typed or
    picked; `asked` wants it saved, `left` wants to go elsewhere, which `away` says.

    The page holds something half typed once there is a chip in the field `first`, or something in
    the line of any chips.
    """

    changed = Signal()
    edited = Signal()
    asked = Signal()
    left = Signal()

    def __init__(self, title: str, fields: Sequence[Field], *, first: str, away: str) -> None:
        super().__init__()
        self.fields = Fields(fields, FieldContext(self, style=_STYLE), self)
        self._first = self.fields.chips[first]
        self.message = Label("", role="quiet", wrap=True)
        self.begin = Button("Set up", MAIN, "main")
        self.away = Button(away, FAINT, "choose")
        self._rows = {key: NamedRow(made.field.title, made)
                      for key, made in self.fields.made.items()}  # fmt: skip
        parts = (Label(title, TITLE, bold=True), *self._rows.values())
        self.column = arrange_page(self, parts, self.message, (self.begin, self.away))
        self.fields.chosen.connect(self.changed)
        self.fields.edited.connect(self._on_edited)
        self.fields.done.connect(self._on_done)
        self.begin.clicked.connect(self.asked)
        self.away.clicked.connect(self.left)
        self.setFocusProxy(self.fields.made[fields[0].key].entry)
        self._show_rows()

    def begun(self) -> bool:
        """There is something to save already."""
        return bool(self._first.entries() or self._first.line.text())

    def clear(self) -> None:
        """Ask anew: nothing is chosen to begin with."""
        self._first.show_entries([])
        self.message.say_if_any("")

    def half_typed(self) -> dict[str, object] | None:
        """What was typed on the page, None when it is empty."""
        typed = any(chips.line.text() for chips in self.fields.chips.values())
        return self.fields.half_typed() if typed or self.begun() else None

    def recall(self, half: dict[str, Any] | None) -> None:
        """What `half_typed` said before."""
        if half is None:
            return
        try:
            self.fields.recall(half)
        except (ValueError, TypeError, KeyError):
            self.clear()  # of another program's making

    def _show_rows(self) -> None:
        for key, row in self._rows.items():
            row.setVisible(self.fields.asked_for(key))

    def _on_edited(self, _text: str) -> None:
        self._show_rows()
        self.edited.emit()

    def _on_done(self, made: Reader) -> None:
        after = self.fields.after(made.entry)
        while after is not None and not self.fields.asked_for(after.field.key):
            after = self.fields.after(after.entry)
        if after is None:
            self.begin.setFocus()
        else:
            after.begin()
