"""Fields below each other, each with its name at the left."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from journal.desk.form.fields import Fields
from journal.desk.form.line_field import UNTITLED
from journal.desk.form.spec import Field, FieldContext
from journal.desk.labels import Label
from journal.desk.theme import SMALL, STEP

NAMES = 18 * STEP  # the column of names
_BELOW = 99  # a row below all others, which takes the room that is left


class FieldRows(QWidget):
    """The fields asked for. `changed` comes with every letter and every choice."""

    changed = Signal()

    def __init__(self, fields: Sequence[Field], page: QWidget, note: str = "") -> None:
        super().__init__()
        self.fields = Fields(fields, FieldContext(page, style=UNTITLED), self)
        self.lines, self.choices = self.fields.lines, self.fields.choices
        self.fields.edited.connect(self.changed)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(4 * STEP)
        grid.setVerticalSpacing(2 * STEP)
        grid.setColumnMinimumWidth(0, NAMES)
        grid.setColumnStretch(1, 1)
        for row, field in enumerate(fields):
            made = self.fields.made[field.key]
            grid.addWidget(Label(made.field.title, SMALL, role="quiet"), row, 0)
            grid.addWidget(made, row, 1)
        if note:
            grid.addWidget(Label(note, SMALL, role="quiet", wrap=True), len(fields), 1)
        grid.setRowStretch(_BELOW, 1)

    def texts(self) -> dict[str, str]:
        """What stands there by the key of its field, without what is empty."""
        return {key: made.text() for key, made in self.fields.made.items() if made.text()}

    def put(self, texts: dict[str, str]) -> None:
        """Put these there; a field of which nothing is said is emptied."""
        for key, made in self.fields.made.items():
            made.set_text(texts.get(key, ""))
