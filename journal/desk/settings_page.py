"""The settings: a page built from what is declared, and the two choices that a journal holds."""

from __future__ import annotations

from zoneinfo import available_timezones

from PySide6.QtCore import QSettings, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.commands import bind
from journal.desk.form.frame import FramedDialog
from journal.desk.form.rows import FieldRows
from journal.desk.form.spec import CHOICE, TEXT, Field
from journal.desk.labels import Label
from journal.desk.layouts import in_column
from journal.desk.preferences import PREFERENCES, Preference, choose, chosen
from journal.desk.scrollbars import scrolled
from journal.desk.sound import SOUNDS, Bell
from journal.desk.theme import LEAD, STEP
from journal.keeping import Journal, KeepingError
from journal.wording import text_of
from journal.wording.keys import with_keys
from journal.wording.languages import translated

_LETTERS, _ZONE = "letters", "zone"


class SettingsDialog(FramedDialog):
    """All choices, by heading. `saved` comes once they are; the journal's own are its letters and
    its zone."""

    help_topic = "settings"

    saved = Signal()
    keys_asked = Signal()  # the page of the keys is wanted

    def __init__(self, settings: QSettings, journal: Journal | None, parent: QWidget) -> None:
        super().__init__("Settings", parent)
        self._settings, self._journal = settings, journal
        self.rows: dict[str, FieldRows] = {}
        inner = QWidget()
        column = in_column(of=inner, margins=(0, 0, 4 * STEP, 0), gap=2 * STEP)
        for group in dict.fromkeys(one.group for one in PREFERENCES):
            self._add_group(column, group, [one for one in PREFERENCES if one.group == group])
        if journal is not None:
            self._add(column, "This journal", _journal_fields(journal),
                      "Letters and zone hold for makes started from now on.")  # fmt: skip
        self._bell = Bell(self)
        self._heard = self._sounding()
        self.rows["Alarm"].changed.connect(self._on_alarm)
        save, leave = Button("Save", MAIN, "main"), Button("Cancel", key="Esc")
        bind("main", self, self.save)
        save.clicked.connect(self.save)
        leave.clicked.connect(self.reject)
        change = Button("Change the keys…")
        change.clicked.connect(self.keys_asked)
        self.arrange(scrolled(inner), acts=(change, save, leave))
        self.resize(150 * STEP, 170 * STEP)

    def _sounding(self) -> tuple[str, str]:
        texts = self.rows["Alarm"].texts()
        return texts.get("sound", ""), texts.get("loudness", "")

    def _on_alarm(self) -> None:
        """Play a sound or volume as soon as it is chosen."""
        if self._sounding() != self._heard:
            self._heard = self._sounding()
            sound, loudness = self._heard
            if sound in SOUNDS:
                self._bell.sound, self._bell.loudness = sound, int(loudness) / 100
                self._bell.ring()

    def _add_group(self, column: QVBoxLayout, group: str, those: list[Preference]) -> None:
        fields = tuple(
            Field(one.key, one.title, CHOICE, options=one.choices(),
                  text=chosen(self._settings, one.key))
            for one in those
        )  # fmt: skip
        note = " ".join(with_keys(one.note) for one in those if one.note)
        self._add(column, group, fields, note)

    def _add(self, column: QVBoxLayout, title: str, fields: tuple[Field, ...], note: str) -> None:
        self.rows[title] = FieldRows(fields, self, note)
        column.addWidget(Label(translated(title), LEAD, bold=True))
        column.addWidget(self.rows[title])
        column.addSpacing(2 * STEP)

    def save(self) -> None:
        """Save what is chosen; what a journal refuses is said."""
        texts = {key: text for rows in self.rows.values() for key, text in rows.texts().items()}
        if self._journal is not None:
            try:
                self._journal.set_up(texts.get(_LETTERS, ""), texts.get(_ZONE, ""))
            except KeepingError as error:
                self.refuse(text_of(error))
                return
        for one in PREFERENCES:
            choose(self._settings, one.key, texts.get(one.key, ""))
        self.saved.emit()
        self.accept()


def _journal_fields(journal: Journal) -> tuple[Field, ...]:
    """The two letters of codes, and the zone of the kitchen."""
    zones = tuple((zone, zone) for zone in sorted(available_timezones() | {journal.zone}))
    return (
        Field(_LETTERS, "Letters of the codes", TEXT, text=journal.letters, needed=True),
        Field(_ZONE, "Time zone", CHOICE, options=zones, text=journal.zone),
    )
