"""A check of the meter in two buffers, or of the thermometer in ice water; and taking it back."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QLayout, QWidget

from journal.desk.buttons import FAINT, MAIN, Button, WordButton
from journal.desk.commands import is_key
from journal.desk.form.fields import Fields
from journal.desk.form.frame import FramedDialog
from journal.desk.form.readers import QuantityField
from journal.desk.form.spec import Field, FieldContext
from journal.desk.labels import Hairline, Label, plain_tip
from journal.desk.theme import STEP
from journal.keeping import Journal, KeepingError
from journal.records import RecordError, id_of
from journal.records.calibrations import ICE_C, INSTRUMENTS, Calibration
from journal.records.makes import Make
from journal.wording import text_of, worded
from journal.wording.checks import follows_words, instrument_words, last_check_words

_METER = (
    Field("first", "Buffer", "ph", text="7.00"), Field("first shown", "shows", "ph"),
    Field("second", "Buffer", "ph", text="4.01"), Field("second shown", "shows", "ph"),
    Field("warm", "Buffers at", "temperature", "degC", text="20 °C"),
)  # fmt: skip
_ICE = (Field("ice", "In ice water it shows", "temperature", "degC"),)


class InstrumentCheck(FramedDialog):
    """Asks what the instrument shows, says what follows, and keeps it. Readings are corrected from
    then on, whichever make they are of; the raw ones stay in the file. `make` is the one the check
    is noted with, `now` gives the instant it is kept at."""

    help_topic = "vat/Typing a reading"

    def __init__(
        self, journal: Journal, make: Make, instrument: str, now: Callable[[], int], parent: QWidget
    ) -> None:
        meter = instrument == "meter"
        title = (
            "The pH meter in two buffers"
            if meter
            else worded("desk.in-ice-water", instrument=instrument_words(instrument))
        )
        super().__init__(title, parent)
        self.instrument = instrument
        self._journal, self._make, self._now = journal, make, now
        self.sources = ("", *_sensors(journal, instrument))
        self.source = ""
        made = Fields(_METER if meter else _ICE, FieldContext(self), self).made.values()
        self.fields = [field for field in made if isinstance(field, QuantityField)]
        self.held = Label("", role="quiet", wrap=True)
        self.message = Label("", wrap=True)
        self.message.setMinimumHeight(18 * STEP)
        self.message.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.save = Button("Correct readings by this", MAIN, "Enter")
        self.drop = Button("Stop correcting", FAINT, "delete_line")
        self.whose = WordButton("")
        self.whose.setToolTip(plain_tip(worded("desk.check-another-source")))
        for button, slot in (
            (self.save, self.submit), (self.drop, self.take_back), (self.whose, self.next_source),
        ):  # fmt: skip
            button.clicked.connect(slot)
        self._build()
        self._show_held()
        self._show_what_follows()
        self.fields[1 if meter else 0].line.setFocus()

    # Build

    def _build(self) -> None:
        self.setMinimumWidth(130 * STEP)
        grid = QGridLayout()
        grid.setHorizontalSpacing(4 * STEP)
        grid.setVerticalSpacing(2 * STEP)
        for index, field in enumerate(self.fields):
            grid.addWidget(field, index // 2, index % 2)
        how = Label(self._how(), role="quiet", wrap=True)
        column = self.arrange(how, self.whose, grid, Hairline(), self.held, self.message,
                              acts=(self.save, self.drop))  # fmt: skip
        column.setSizeConstraint(QLayout.SizeConstraint.SetMinimumSize)
        for field in self.fields:
            field.changed.connect(self._on_changed)
            field.line.installEventFilter(self)

    def _how(self) -> str:
        if self.instrument == "meter":
            return ("Rinse the electrode, wait until it is still, and type what it shows in each "
                    "buffer. Buffers a few pH apart, either side of the curd's.")  # fmt: skip
        return ("Stir much crushed ice into a little water, hold the thermometer in the middle for "
                "a minute, and type what it shows.")  # fmt: skip

    # What follows

    def calibration(self) -> Calibration | None:
        """What is typed, as a check; None while something is missing.

        Raises
        ------
        RecordError
            When no working instrument shows that.
        """
        values = [field.value() for field in self.fields]
        saved = [value.stored for value in values if value is not None]
        if len(saved) < len(values):
            return None
        known: tuple[float, ...] = (ICE_C,)
        shown, warm = tuple(saved), None
        if self.instrument == "meter":
            *buffers, warm = saved
            known, shown = tuple(buffers[::2]), tuple(buffers[1::2])
        return Calibration(
            id_of(self._make), self.instrument, self._now(), known, shown, warm, self.source
        )

    def submit(self) -> None:
        """Keep the check."""
        try:
            found = self.calibration()
        except RecordError as error:
            self._say(text_of(error), wrong=True)
            return
        if found is None:
            self._say("Type what the instrument shows.", wrong=True)
            return
        checked = worded("desk.step-check", instrument=instrument_words(self.instrument))
        self._save(found, checked)

    def take_back(self) -> None:
        """Take readings as they are shown from now on."""
        if not self.drop.isHidden():
            none = Calibration.none_from_now(
                id_of(self._make), self.instrument, self._now(), self.source
            )
            instrument = instrument_words(self.instrument)
            self._save(none, worded("desk.step-no-correction", instrument=instrument))

    def next_source(self) -> None:
        """Check the instrument of the next source of readings."""
        if len(self.sources) > 1:
            self.source = self.sources[(self.sources.index(self.source) + 1) % len(self.sources)]
            self._show_held()

    def _save(self, found: Calibration, name: str) -> None:
        try:
            with self._journal.unit(name, initiator=self):
                self._journal.calibrations.save(found)
        except KeepingError as error:
            self._say(text_of(error), wrong=True)
            return
        self.close()

    def _show_held(self) -> None:
        """What holds as yet, and the way to take it back."""
        now = self._now()
        held = self._journal.readings.checks.holding(self.instrument, now, self.source)
        words = "" if held is None else last_check_words(held, now, self._journal.zone)
        self.held.setText(worded("desk.so-far", words=words) if words else "")
        self.held.setVisible(bool(words))
        self.drop.setVisible(held is not None and not held.corrects_nothing)
        which = "desk.readings-of-source" if self.source else "desk.readings-by-hand"
        whose = worded(which, source=self.source)
        self.whose.setText(f"{whose} ▾")
        self.whose.setAccessibleName(worded("desk.whose-readings", whose=whose))
        self.whose.setVisible(len(self.sources) > 1)
        self.whose.updateGeometry()

    def _show_what_follows(self) -> None:
        try:
            found = self.calibration()
        except RecordError as error:
            self._say(text_of(error), wrong=True)
            return
        self._say("" if found is None else follows_words(found))

    def _say(self, sentence: str, *, wrong: bool = False) -> None:
        self.message.say(sentence, wrong=wrong, role="ink")

    # Handlers

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            return self._on_key(watched, event)
        return False

    def _on_key(self, line: QObject, event: QKeyEvent) -> bool:
        if is_key(event, "delete_line") and not self.drop.isHidden():
            self.take_back()
            return True
        if is_key(event, "next"):
            self.next_source()
            return True
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            return False
        empty = [field for field in self.fields if not field.line.text() and field.line is not line]
        if empty:
            empty[0].line.setFocus()
        else:
            self.submit()
        return True

    def _on_changed(self, _typed: object) -> None:
        self._show_what_follows()


def _sensors(journal: Journal, instrument: str) -> list[str]:
    """The sources whose readings an instrument of that kind takes."""
    kinds = INSTRUMENTS[instrument]
    return [one.name for one in journal.sources.all() if one.reading in kinds]
