"""Which time is right, where the computer's clock may be wrong in the midst of a make."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from journal.desk.buttons import MAIN, PLAIN, Button
from journal.desk.form.frame import FramedDialog
from journal.desk.form.line_field import UNTITLED
from journal.desk.form.readers import AsTypedField
from journal.desk.form.spec import Field, FieldContext
from journal.desk.labels import Label
from journal.records import RecordError
from journal.records.clocks import FAR_MS, Clock, ClockDoubt
from journal.records.instants import DAY_MS, MINUTE_MS, at_clock
from journal.wording import text_of, worded
from journal.wording.ages import time_words
from journal.wording.clock_doubt import doubt_words

_FARTHEST_MS = 90 * DAY_MS
_ABOUT = (
    "What you save from now on has the time you choose. Entries that are there stay as they are; "
    "correct them where they are wrong."
)
UNANSWERED = (
    "Until you say which time is right, entries have the time by the clock that the make began "
    "with. Open the journal again to be asked."
)


class ClockQuestion(FramedDialog):
    """Asks what time it is. `answered` carries by how much the wall clock is ahead, ms."""

    help_topic = "settings/Units and time"

    answered = Signal(object)

    def __init__(self, doubt: ClockDoubt, zone: str, wall: Clock, parent: QWidget) -> None:
        super().__init__("What time is it now?", parent)
        self._doubt, self._zone, self._wall = doubt, zone, wall
        self.message = Label(doubt_words(doubt, zone), wrap=True)
        typed = Field("now", "The time it is now", hint="another time, like 09:55")
        field = AsTypedField(typed, FieldContext(self, style=UNTITLED))
        self.line = field.line
        field.done.connect(self._on_typed)
        self.choices = [self._choice(at) for at in self._offered()]
        use = Button("Use the typed time", PLAIN, "Enter")
        use.clicked.connect(self._on_typed)
        about = Label(_ABOUT, role="quiet", wrap=True)
        self.arrange(self.message, field, about, acts=(use, *self.choices))
        self.setMinimumWidth(720)

    def _offered(self) -> list[int]:
        """The times that two clocks say; not twice the same, and none before the last entry but
        the computer's own."""
        doubt = self._doubt
        held = doubt.held_ms >= doubt.last_ms - MINUTE_MS
        other = held and abs(doubt.held_ms - doubt.wall_ms) > MINUTE_MS
        return [doubt.held_ms, doubt.wall_ms] if other else [doubt.wall_ms]

    def _choice(self, at_ms: int) -> Button:
        made = Button(
            worded("desk.it-is", time=time_words(at_ms, self._doubt.last_ms, self._zone)), MAIN
        )
        made.clicked.connect(partial(self._settle, self._doubt.wall_ms - at_ms))
        return made

    def _settle(self, ahead_ms: int) -> None:
        self.answered.emit(ahead_ms)
        self.accept()

    def _on_typed(self) -> None:
        """Such a time within hours of the last entry; one with its date at any time after it."""
        text, last = self.line.text(), self._doubt.last_ms
        until = last + (_FARTHEST_MS if "-" in text else FAR_MS)
        try:
            self._settle(self._wall() - at_clock(text, self._zone, last, until))
        except RecordError as error:
            self.refuse(text_of(error))
