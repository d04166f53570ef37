"""Asking for the password of a source."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QDialog, QWidget

from journal.desk.asked_help import bind_help
from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.fields import Dress
from journal.desk.form.readers import SecretField
from journal.desk.form.spec import SECRET, Around, Field
from journal.desk.labels import Label
from journal.desk.layouts import in_column, in_row
from journal.desk.theme import LEAD, STEP
from journal.exchange.sensors.secrets import NO_KEYRING, keeps_passwords
from journal.records.sources import Source


class AskPassword(QDialog):
    """One field. `given` carries the source and what was typed."""

    given = Signal(object, str)

    def __init__(self, source: Source, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        bind_help(self, "sensors")
        self.setWindowTitle("Password")
        self._source = source
        dress = Dress(height=9 * STEP, titled=False)
        self.field = SecretField(Field("password", "Password", SECRET), Around(self, dress=dress))
        use, leave = Button("Save", MAIN, "Enter"), Button("Cancel", FAINT, "Esc")
        use.clicked.connect(self._on_use)
        leave.clicked.connect(self.reject)
        user = source.text("user")
        note = "It is saved in this system's keyring, never in the journal."
        foot = in_row(None, leave, use)
        in_column(
            Label(f"{source.name}: the password of {user}", LEAD, bold=True),
            self.field,
            Label(note if keeps_passwords() else NO_KEYRING, role="quiet", wrap=True),
            foot,
            of=self,
            margins=(8 * STEP, 6 * STEP, 8 * STEP, 6 * STEP),
            gap=3 * STEP,
        )
        self.field.line.returnPressed.connect(self._on_use)
        self.setMinimumWidth(420)
        self.field.setFocus()

    def _on_use(self) -> None:
        if self.field.line.text():
            self.given.emit(self._source, self.field.line.text())
            self.accept()
