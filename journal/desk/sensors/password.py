"""Asking for the password of a source."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.form.frame import FramedDialog
from journal.desk.form.line_field import UNTITLED
from journal.desk.form.readers import SecretField
from journal.desk.form.spec import SECRET, Field, FieldContext
from journal.desk.labels import Label
from journal.exchange.sensors.secrets import keeps_passwords, no_keyring
from journal.records.sources import Source
from journal.wording import worded


class AskPassword(FramedDialog):
    """One field. `given` carries the source and what was typed."""

    given = Signal(object, str)
    help_topic = "sensors"

    def __init__(self, source: Source, parent: QWidget | None = None) -> None:
        super().__init__(
            worded("desk.password-of", name=source.name, user=source.text("user")), parent
        )
        self._source = source
        field = Field("password", "Password", SECRET)
        self.field = SecretField(field, FieldContext(self, style=UNTITLED))
        use, leave = Button("Save", MAIN, "Enter"), Button("Cancel", FAINT, "Esc")
        use.clicked.connect(self._on_use)
        leave.clicked.connect(self.reject)
        note = "It is saved in this system's keyring, never in the journal."
        self.arrange(
            self.field,
            Label(note if keeps_passwords() else no_keyring(), role="quiet", wrap=True),
            acts=(leave, use),
        )
        self.field.line.returnPressed.connect(self._on_use)
        self.setMinimumWidth(420)
        self.field.setFocus()

    def _on_use(self) -> None:
        if self.field.line.text():
            self.given.emit(self._source, self.field.line.text())
            self.accept()
