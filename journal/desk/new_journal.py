"""A new journal: the letters of its codes, the units and the zone, in one small form."""

from __future__ import annotations

from pathlib import Path
from zoneinfo import available_timezones

from PySide6.QtCore import QLocale, QSettings, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from journal.desk import dialogs
from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.form.frame import FramedDialog
from journal.desk.form.rows import FieldRows
from journal.desk.form.spec import CHOICE, ROW, TEXT, Field
from journal.desk.preferences import GROUP, choose, chosen
from journal.desk.theme import STEP
from journal.keeping import Journal, KeepingError
from journal.keeping.all_keepers import two_letters
from journal.records.instants import system_zone
from journal.wording import text_of
from journal.wording.keys import with_keys

FIRST_LETTERS = "VS"
METRIC, US, AS_SET = "metric", "us", "as set"
UNITS = {
    METRIC: {"temperature": "C", "mass": "kg", "volume": "L", "length": "mm"},
    US: {"temperature": "F", "mass": "lb", "volume": "gal", "length": "in"},
}
_WORDS = {METRIC: "°C, kg, L, mm", US: "°F, lb, US gal, in", AS_SET: "as in Settings"}
_NOTE = (
    "The letters begin every code, as in VS-0001. All three can be changed in Settings "
    "({key:settings})."
)


class NewJournalDialog(FramedDialog):
    """Asks, then where the file is to be; Enter goes on. `created` carries the journal."""

    help_topic = "begin"

    created = Signal(Journal)

    def __init__(self, settings: QSettings, parent: QWidget) -> None:
        super().__init__("New journal", parent)
        self._settings = settings
        units = units_now(settings)
        offered = [*UNITS, *([units] if units not in UNITS else [])]
        zones = sorted(available_timezones() | {system_zone()})
        self.rows = FieldRows(
            (
                Field("letters", "Letters of the codes", TEXT, text=FIRST_LETTERS, needed=True),
                Field("units", "Units", ROW, text=units, options=[(u, _WORDS[u]) for u in offered]),
                Field("zone", "Time zone", CHOICE, text=system_zone(),
                      options=[(zone, zone) for zone in zones]),
            ),
            self, with_keys(_NOTE),
        )  # fmt: skip
        self.onward, leave = Button("Choose where…", MAIN, "Enter"), Button("Cancel", FAINT, "Esc")
        self.onward.clicked.connect(self.ask_where)
        leave.clicked.connect(self.reject)
        self.rows.fields.made["units"].done.connect(self.ask_where)
        self.arrange(self.rows, acts=(leave, self.onward))
        self.setMinimumWidth(140 * STEP)
        letters = self.rows.lines["letters"]
        letters.setFocus()
        letters.selectAll()

    def ask_where(self) -> None:
        """Ask where, and make the journal there; what cannot be is said, and the form stays."""
        self.refuse("")
        typed = self.rows.texts()
        try:
            letters = two_letters(typed.get("letters", ""))
            name = f"journal{dialogs.SUFFIX}"
            path = dialogs.ask_save(self, "New journal", dialogs.JOURNALS, name)
            if not path:
                return
            where = Path(path)
            where = where if where.suffix else where.with_suffix(dialogs.SUFFIX)
            made = Journal.create(where, letters=letters, zone=typed["zone"])
        except KeepingError as error:
            self.refuse(text_of(error))
            return
        for key, unit in UNITS.get(typed["units"], {}).items():
            choose(self._settings, key, unit)
        self.accept()
        self.created.emit(made)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.ask_where()
            return
        super().keyPressEvent(event)


def units_now(settings: QSettings) -> str:
    """The units that were chosen; before any was, those of the system."""
    keys = UNITS[METRIC]
    if not any(settings.contains(f"{GROUP}/{key}") for key in keys):
        usual = QLocale.system().measurementSystem()
        return US if usual == QLocale.MeasurementSystem.ImperialUSSystem else METRIC
    now = {key: chosen(settings, key) for key in keys}
    return next((name for name, units in UNITS.items() if units == now), AS_SET)
