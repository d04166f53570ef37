"""Setting a source up, once: what it is, a try of it, then it is kept."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QStackedWidget, QWidget

from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.form.choice import ChoiceOption
from journal.desk.form.fields import Fields
from journal.desk.form.frame import FramedDialog
from journal.desk.form.line_field import UNTITLED
from journal.desk.form.rows import NAMES, FieldRows
from journal.desk.form.spec import CHOICE, Field, FieldContext
from journal.desk.labels import Label
from journal.desk.layouts import in_row
from journal.desk.scrollbars import scrolled
from journal.desk.sensors.bridge import Bridge
from journal.desk.sensors.fields import HEAD, asked, settings_of, texts_of
from journal.desk.sensors.file_page import FilePage
from journal.desk.sensors.preview import TryPage
from journal.desk.theme import SMALL, STEP
from journal.desk.work import Work
from journal.exchange.sensors.making import sensor_for
from journal.exchange.sensors.secrets import keeps_passwords, no_keyring
from journal.exchange.sensors.understanding import unit_key
from journal.keeping import Journal
from journal.quantities.units import quantity_named
from journal.records import RecordError
from journal.records.kinds import READING_KINDS
from journal.records.plans import new_uuid
from journal.records.sources import FILE, LINE, TOPIC, Source
from journal.wording import text_of, worded
from journal.wording.languages import translated
from journal.wording.readings import reading_name

SIZE = QSize(1100, 780)
OPEN_PASSWORD = (
    "Without TLS anyone on the way can read the password and the readings. Choose TLS, or use a "
    "broker that only your own kitchen reaches, with a password you use nowhere else."
)


def _measured() -> tuple[Field, ...]:
    return (
        Field("reading", "", CHOICE, text="milk-temp", name="Reading",
              options=[(spec.key, reading_name(spec)) for spec in READING_KINDS.values()]),
        Field("unit", "", CHOICE, name="Unit"),
    )  # fmt: skip


class SetUp(FramedDialog):
    """Left what the source is, right a try of it. Nothing connects before “Try it”."""

    help_topic = "sensors"

    def __init__(
        self,
        journal: Journal,
        bridge: Callable[[], Bridge],
        source: Source | None,
        clock: Callable[[], int],
        parent: QWidget,
    ) -> None:
        super().__init__("Set up a sensor", parent)
        self._journal, self._bridge, self._clock, self._window = journal, bridge, clock, parent
        self._source = source
        self._uuid = source.uuid if source else new_uuid()
        self.work = Work(self)
        self.head = FieldRows(HEAD, self)
        self.name, self.kind = self.head.lines["name"], self.head.choices["kind"]
        self._measured = Fields(_measured(), FieldContext(self, style=UNTITLED), self)
        self.reading, self.unit = self._measured.choices.values()
        self.file = FilePage(self.work)
        rows = asked()
        self.topic = FieldRows(rows[TOPIC], self, "" if keeps_passwords() else no_keyring())
        self.line = FieldRows(rows[LINE], self)
        self._rows = {TOPIC: self.topic, LINE: self.line}
        self.preview = TryPage()
        self.try_it = Button("Try")
        self.save = Button("Save", MAIN, "Enter")
        self.leave = Button("Cancel", FAINT, "Esc")
        self._offer()
        self._build()
        self._connect()
        if source is not None:
            self._show_source(source)
        self._on_kind()
        self.refuse(self._caution())
        self.name.setFocus()

    # Build

    def _offer(self) -> None:
        self._offer_units("")
        self.pages = QStackedWidget()
        for page in (self.file, self.topic, self.line):
            self.pages.addWidget(page)

    def _offer_units(self, chosen: str) -> None:
        units = quantity_named(READING_KINDS[self.reading.key()].quantity).units
        self.unit.offer([ChoiceOption(unit.key, unit.label) for unit in units], chosen)

    def _build(self) -> None:
        left = QGridLayout()
        left.setHorizontalSpacing(4 * STEP)
        left.setVerticalSpacing(2 * STEP)
        self._reading_label = Label(translated("Measures"), SMALL, role="quiet")
        measured = in_row(*self._measured.made.values(), None)
        left.addWidget(self.head, 0, 0, 1, 2)
        left.addWidget(self._reading_label, 1, 0)
        left.addLayout(measured, 1, 1)
        left.addWidget(self.pages, 2, 0, 1, 2)
        left.setRowStretch(2, 1)
        left.setColumnStretch(1, 1)
        left.setColumnMinimumWidth(0, NAMES)
        holder = QWidget()
        holder.setLayout(left)
        left.setContentsMargins(0, 0, 2 * STEP, 0)
        body = in_row((scrolled(holder), 5), (self.preview, 4), gap=8 * STEP)
        self.arrange(body, acts=(self.try_it, self.leave, self.save))
        self.resize(SIZE.boundedTo(self._window.size() * 0.95))

    def _connect(self) -> None:
        self.kind.activated.connect(self._on_kind)
        self._measured.made["reading"].text_changed.connect(self._on_reading)
        self._measured.made["unit"].text_changed.connect(self._on_changed)
        for page in (self.head, self.file, self.topic, self.line):
            page.changed.connect(self._on_changed)
        self.try_it.clicked.connect(self._on_try)
        self.save.clicked.connect(self._on_save)
        self.leave.clicked.connect(self.reject)

    def _show_source(self, source: Source) -> None:
        self.head.put({"name": source.name, "kind": source.kind})
        self.reading.setCurrentIndex(self.reading.findData(source.reading))
        self._offer_units(source.unit)
        if source.kind == FILE:
            self.file.show_source(source)
        else:
            self._rows[source.kind].put(texts_of(source))

    # What stands there

    def source(self) -> Source:
        """The source as the fields say; raises a sentence where they do not say enough."""
        kind = self.kind.key()
        rows = self._rows.get(kind)
        settings = self.file.settings() if rows is None else settings_of(rows.texts())
        reading = self.file.reading() or self.reading.key() if kind == FILE else self.reading.key()
        unit = "" if kind == FILE else unit_key(READING_KINDS[reading], self.unit.key())
        known = self._source
        return Source(
            self.name.text().strip(), kind, reading, unit, json.dumps(settings),
            known.make_id if known else None, known.room_id if known else None,
            known.id if known else None, self._uuid,
        )  # fmt: skip

    def _checked(self) -> Source:
        source = self.source()
        for other in self._journal.sources.all():
            if other.name == source.name and other.uuid != source.uuid:
                raise RecordError("desk.sensor-is-there", name=source.name)
        return source

    def _caution(self) -> str:
        """That others can read the password, where they can; it stands beside what saves it."""
        typed = self.topic.texts() if self.kind.key() == TOPIC else {}
        return OPEN_PASSWORD if typed.get("user") and not typed.get("tls") else ""

    def _password(self, source: Source) -> str | None:
        return self.topic.lines["password"].text() or self._bridge().password_of(source)

    # Handlers

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if not self.file.path.hasFocus():  # there Enter reads the file
                self._on_save()
            return
        super().keyPressEvent(event)

    def _on_kind(self, _index: int = 0) -> None:
        kind = self.kind.key()
        self._show_page(self._rows.get(kind, self.file))
        for part in (self._reading_label, *self._measured.made.values()):
            part.setVisible(kind != FILE)
        if kind == LINE and not self.line.lines["device"].text():
            self.line.lines["device"].setText(_first_port())
        self._on_changed()

    def _show_page(self, page: QWidget) -> None:
        """Show a page; those behind it take no room."""
        for each in (self.file, self.topic, self.line):
            policy = QSizePolicy.Policy.Preferred if each is page else QSizePolicy.Policy.Ignored
            each.setSizePolicy(policy, policy)
        self.pages.setCurrentWidget(page)

    def _on_reading(self, _words: str) -> None:
        self._offer_units("")
        self._on_changed()

    def _on_changed(self, _words: str = "") -> None:
        self.refuse(self._caution())
        self.preview.end()

    def _on_try(self) -> None:
        try:
            source = self._checked()
            sensor = sensor_for(
                source, zone=self._journal.zone, since_ms=0, clock=self._clock,
                password=partial(_message, self._password(source)) if source.text("user") else None,
                trial=True,
            )  # fmt: skip
        except ValueError as error:
            self.preview.show_fault(text_of(error))
            return
        self.preview.begin(sensor, self._journal.zone)

    def _on_save(self) -> None:
        try:
            source = self._checked()
            sensor_for(source, zone=self._journal.zone, since_ms=0, clock=self._clock)
            self.preview.end()
            with self._journal.unit(worded("desk.step-set-up", name=source.name), initiator=self):
                saved = self._journal.sources.save(source)
        except ValueError as error:
            self.refuse(text_of(error))
            return
        typed = self.topic.lines["password"].text()
        if saved.kind == TOPIC and typed:
            self._bridge().give_password(saved, typed)
        self.accept()

    def done(self, code: int) -> None:
        self.preview.end()
        self.work.finish()
        super().done(code)


def _message(password: str | None) -> str | None:
    return password


def _first_port() -> str:
    """The first serial device that is plugged in, "" when there is none."""
    from serial.tools.list_ports import comports

    return next((port.device for port in sorted(comports())), "")
