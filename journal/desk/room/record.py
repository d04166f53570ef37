"""The record of a wheel: all that was done to it, each line corrected or deleted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from journal.desk.buttons import Button
from journal.desk.commands import is_key
from journal.desk.form.form import Form, FormSpec
from journal.desk.form.frame import FramedDialog
from journal.desk.form.spec import AS_TYPED, CHOICE, Field, FormValues
from journal.desk.labels import Label
from journal.desk.room.parts import correct_part
from journal.desk.tables import Column, RowsView
from journal.keeping import Change, Journal, KeepingError
from journal.records import id_of
from journal.records.dates import read_day
from journal.records.instants import local
from journal.records.kinds import CARE_KINDS
from journal.records.makes import Note
from journal.records.stays import MOVE
from journal.records.wheels import Care, Removal, Weighing
from journal.reports.wheel_record import RecordLine
from journal.wording import text_of, worded
from journal.wording.care import care_name
from journal.wording.dates import format_day
from journal.wording.letters import capital
from journal.wording.shown import write

_NOTHING = "Nothing was done yet."


class RecordDialog(FramedDialog):
    """Shows lines; Enter changes one, Delete takes it out, Esc closes."""

    help_topic = "room/What to do"

    def __init__(
        self, title: str, journal: Journal, now_ms: int, read: Callable[[], Sequence[RecordLine]],
        parent: QWidget | None,
    ) -> None:  # fmt: skip
        super().__init__(title, parent)
        self._journal, self._now_ms, self._read = journal, now_ms, read
        self.table: RowsView[RecordLine] = RowsView(
            title,
            (
                Column("day", self._day, sort=lambda done: done.at_ms),
                Column("wheel", lambda done: done.code, bold=True),
                Column("what", lambda done: done.what),
                Column("more", lambda done: done.more, stretch=True),
            ),
        )
        self.form = Form(self)
        self.message = Label("", role="quiet", wrap=True)
        self.change = Button("Change", key="Enter")
        self.out = Button("Delete", key="delete")
        self.shut = Button("Close", key="Esc")
        self.change.clicked.connect(self.edit)
        self.out.clicked.connect(self.delete)
        self.shut.clicked.connect(self.reject)
        self.table.opened.connect(self.edit)
        self.form.closed.connect(self.table.setFocus)
        acts = (self.change, self.out, self.shut)
        self.arrange(self.table, self.form, acts=acts, message=self.message)
        self.resize(760, 620)
        journal.listen(self._on_change)
        self.finished.connect(self._on_finished)
        self._show()
        self.table.setFocus()

    def edit(self) -> None:
        """Ask for the selected line as it was really."""
        done = self.table.current()
        if done is not None:
            self.form.show_form(self._spec(done))

    def delete(self) -> None:
        """That was not done after all."""
        done = self.table.current()
        if done is None or self.form.open:
            return
        record, journal = done.record, self._journal
        try:
            if isinstance(record, Removal):
                journal.shelves.put_back(record)
            elif isinstance(record, Care):
                journal.shelves.remove_care(record)
            elif isinstance(record, Weighing):
                journal.weighings.remove(id_of(record))
            else:
                journal.notes.remove(id_of(record))
        except KeepingError as error:
            self.message.say(text_of(error), wrong=True)
        else:
            self.message.say(worded("desk.act-deleted", what=done.what, code=done.code))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_key(event, "delete"):
            self.delete()
        else:
            super().keyPressEvent(event)

    def _spec(self, done: RecordLine) -> FormSpec:
        record, zone = done.record, self._journal.zone
        if isinstance(record, Removal):
            return correct_part(self._journal, record, done.code, self._now_ms)
        day = Field("day", "Day", AS_TYPED, text=format_day(local(record.at_ms, zone), short=True))
        if isinstance(record, Care) and record.kind == MOVE:
            known = ", ".join(room.name for room in self._journal.rooms.all())
            fields: tuple[Field, ...] = (
                Field("room", "To room", AS_TYPED, text=record.note, hint=known, needed=True), day,
            )  # fmt: skip
        elif isinstance(record, Care):
            options = [(kind, capital(care_name(kind))) for kind in CARE_KINDS if kind != MOVE]
            fields = (
                Field("kind", "Care", CHOICE, options=options, text=record.kind),
                Field("words", "Note", AS_TYPED, text=record.note), day,
            )  # fmt: skip
        elif isinstance(record, Weighing):
            text = write(record.weight_kg, "mass")
            fields = (Field("kg", "Weight", "mass", "kg", text=text, needed=True), day)
        else:
            fields = (Field("words", "Note", AS_TYPED, text=record.text), day)

        def save(filled: FormValues) -> None:
            self._save(record, filled)

        return FormSpec(f"{done.code}: {done.what}", fields, save, instants=(zone, self._now_ms))

    def _save(self, record: Care | Weighing | Note, filled: FormValues) -> None:
        at_ms = self._when(record.at_ms, filled)
        if isinstance(record, Care) and record.kind == MOVE:
            moved = replace(record, at_ms=at_ms)
            self._journal.shelves.correct_care(moved, filled.text("room"))
        elif isinstance(record, Care):
            kind, note = filled.text("kind"), filled.text("words")
            cared = replace(record, kind=kind, note=note, at_ms=at_ms)
            self._journal.shelves.correct_care(cared)
        elif isinstance(record, Weighing):
            kg = filled.needed("kg")
            self._journal.weighings.save(replace(record, weight_kg=kg, at_ms=at_ms))
        else:
            self._journal.notes.save(replace(record, text=filled.text("words"), at_ms=at_ms))

    def _when(self, before_ms: int, filled: FormValues) -> int:
        """Another day is taken at its noon, the same one stays as it was."""
        zone = self._journal.zone
        at_ms = read_day(filled.text("day"), zone, self._now_ms)
        same = local(at_ms, zone).date() == local(before_ms, zone).date()
        return before_ms if same else at_ms

    def _show(self) -> None:
        rows = self._read()
        self.table.show_rows(rows)
        self.message.say("" if rows else _NOTHING)
        for button in (self.change, self.out):
            button.setEnabled(bool(rows))

    def _on_change(self, _change: Change) -> None:
        self._show()

    def _on_finished(self, _result: int) -> None:
        self._journal.unlisten(self._on_change)

    def _day(self, done: RecordLine) -> str:
        return format_day(local(done.at_ms, self._journal.zone), short=True)
