"""What is typed at the vat, from the fields to the journal: kept, struck out, corrected."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from journal.desk.form.line_field import TypedField
from journal.desk.spoken import announce
from journal.desk.vat.entry import EntryFields
from journal.desk.vat.reading_log import Correction, Log
from journal.desk.vat.readings import LastReadings
from journal.keeping import KeepingError
from journal.quantities.typed import Typed
from journal.records import RecordError
from journal.records.instants import MINUTE_MS
from journal.records.kinds import TEMP_KINDS
from journal.records.traces import Reading
from journal.wording import text_of, worded
from journal.wording.readings import value_text


class Typing(QObject):
    """Hears the fields and the last readings and hands them to the log. `message` comes when what
    is said under a field came or went, `keeping` (True) before a reading is saved and (False) once
    the field says so; `failed` carries a sentence that belongs to no field."""

    message = Signal()
    keeping = Signal(bool)
    failed = Signal(str)

    def __init__(
        self, entry: EntryFields, readings: LastReadings, log: Log, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._entry, self._log = entry, log
        self._correction: Correction | None = None
        self._set_aside = ""  # what stood half typed in the field before a correction took it
        self._asked: tuple[str, str] | None = None  # the kind and text asked about
        entry.entered.connect(self._on_entered)
        readings.strike_asked.connect(self._on_strike)
        readings.correct_asked.connect(self._on_correct)

    def _on_entered(self, kind: str, typed: Typed) -> None:
        entry = self._entry
        field = entry.field_for(kind)
        try:
            at_ms = self._when(kind, entry.at_text)
        except RecordError as error:
            entry.open_late()
            entry.refuse_time(text_of(error))
            return
        entry.refuse_time("")
        text = field.line.text()
        doubted = self._asked == (kind, text)
        if not doubted and self._ask(field, kind, text, typed, at_ms):
            return
        self._asked = None
        self.keeping.emit(True)
        try:
            correction, value = self._correction_of(kind), typed.stored
            if correction is not None and text == correction.text:
                value = correction.stored  # left as it stood: what was rounded to be shown is not
            self._save(field, kind, value, at_ms, doubted)
        finally:
            self.keeping.emit(False)

    def _save(self, field: TypedField, kind: str, value: float, at_ms: int, doubtful: bool) -> None:
        entry, correction = self._entry, self._correction_of(kind)
        late = entry.at_text != "" and self._correction is correction
        try:
            message = self._log.save(kind, value, at_ms, late, correction, doubtful=doubtful)
        except (RecordError, KeepingError) as error:
            field.refuse(text_of(error))
            return
        field.clear_text()
        if correction is not None:
            self._end_correction(correction)
        elif late:
            entry.close_late()  # the time was of this one value
        if correction is None and kind in TEMP_KINDS:
            entry.set_temp_kind(TEMP_KINDS[0])  # the milk's again
        moved, entry.moved = entry.moved, ""
        field.note(f"{moved}. {message}".strip() if moved else message)
        announce(field, message or worded("desk.value-saved", value=value_text(kind, value)))

    def _ask(self, field: TypedField, kind: str, text: str, typed: Typed, at_ms: int) -> bool:
        """Ask once about a value far from the trend; a correction has been thought about."""
        self._asked = None
        if self._correction_of(kind) is not None:
            return False
        question = self._log.question(kind, typed.stored, at_ms)
        if not question:
            return False
        field.refuse(worded("desk.saved-if-entered", question=question))
        field.line.selectAll()  # what is typed now takes its place
        self.message.emit()
        self._asked = (kind, text)
        return True

    def put_down(self) -> None:
        """Another make becomes current: no question and no correction goes with it."""
        if self._asked is not None:
            self._entry.field_for(self._asked[0]).note("")
            self._asked = None
        self._leave_correction()

    def leave(self) -> bool:
        """Esc: go back from a question, or leave a correction; False when there was neither."""
        if self._asked is not None:
            field = self._entry.field_for(self._asked[0])
            self._asked = None
            field.note("")
            self.message.emit()
            field.line.setFocus()
            field.line.selectAll()
            return True
        return self._leave_correction() or self._entry.leave_refused()

    def _when(self, kind: str, at_text: str) -> int:
        """When it was read; a correction stands where the reading stood, unless a time is given."""
        correction = self._correction_of(kind)
        if correction is not None and at_text in ("", self._log.time_text(correction.reading)):
            return correction.reading.at_ms
        if correction is None and self._correction is not None:
            at_text = ""  # the time that stands there is the correction's
        return self._log.when(at_text)

    def _correction_of(self, kind: str) -> Correction | None:
        here = self._correction
        return here if here is not None and here.reading.kind == kind else None

    def reading_near(self, make_id: int, zero_ms: int, at_min: float) -> Reading | None:
        """The reading of a make nearest to a minute of its day, among those of an hour."""
        return self._log.nearest(make_id, zero_ms + round(at_min * MINUTE_MS))

    def strike(self, reading: Reading) -> None:
        """Strike a reading out, or let it stand again."""
        self._on_strike(reading)

    def begin(self, reading: Reading) -> None:
        """Correct a reading in the fields."""
        self._on_correct(reading)

    def _on_strike(self, reading: Reading) -> None:
        try:
            self._log.strike(reading)
        except KeepingError as error:
            self.failed.emit(text_of(error))

    @property
    def corrects(self) -> tuple[str, int, float] | None:
        """The reading that is being corrected: its kind, instant and value."""
        if self._correction is None:
            return None
        reading = self._correction.reading
        return reading.kind, reading.at_ms, reading.value

    @property
    def corrects_otherwise(self) -> bool:
        """Whether anything but what stood there is typed in a reading's place."""
        here = self._correction
        if here is None:
            return False
        entry = self._entry
        text = entry.texts()[0 if here.reading.kind in TEMP_KINDS else 1]
        return (text, entry.at_text) != (here.text, self._log.time_text(here.reading))

    def correct(self, reading: Reading, text: str, at_text: str) -> None:
        """Go on correcting a reading with what was typed in its place."""
        self._begin_correction(reading, at_text).set_text(text)

    def _on_correct(self, reading: Reading) -> None:
        here = Correction(reading)
        field = self._begin_correction(reading, self._log.time_text(reading))
        field.set_text(here.text)
        field.note(here.sentence(self._log.zone))
        field.line.setFocus()
        field.line.selectAll()

    def _begin_correction(self, reading: Reading, at_text: str) -> TypedField:
        self._leave_correction()
        self._set_aside = self._entry.texts()[0 if reading.kind in TEMP_KINDS else 1]
        self._correction = Correction(reading)
        field = self._entry.begin_correction(reading.kind, at_text)
        field.note(self._correction.sentence(self._log.zone))
        return field

    def _leave_correction(self) -> bool:
        if self._correction is None:
            return False
        self._entry.field_for(self._correction.reading.kind).clear_text()
        self._end_correction(self._correction)
        return True

    def _end_correction(self, correction: Correction) -> None:
        self._correction, entry = None, self._entry
        entry.end_correction()
        field = entry.temp if correction.reading.kind in TEMP_KINDS else entry.acid
        field.set_text(self._set_aside)
