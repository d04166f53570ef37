"""The way to the question which time is right, where the computer's clock may be wrong."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from journal.desk.watch import Watch
from journal.records.clocks import Clock


class ClockAsking(QObject):
    """Asks once, and tells the watch. `settled` comes when readings may come in, `unanswered`
    carries what is said where nobody answered, and that it wants attention."""

    settled = Signal()
    unanswered = Signal(str, bool)

    def __init__(self, watch: Watch, zone: str, wall: Clock, window: QWidget) -> None:
        super().__init__(window)
        self._watch, self._zone, self._wall, self._window = watch, zone, wall, window

    def ask(self) -> None:
        """Ask, where there is a doubt."""
        doubt = self._watch.timekeeper.doubt
        if doubt is None:
            return
        from journal.desk.clock_question import ClockQuestion

        question = ClockQuestion(doubt, self._zone, self._wall, self._window)
        question.answered.connect(self._on_answered)
        question.rejected.connect(self._on_unsaid)
        question.open()

    def _on_answered(self, ahead_ms: int) -> None:
        self._watch.timekeeper.answer(ahead_ms)
        self._watch.alarm.save_clock()
        self._watch.alarm.tick()
        self.settled.emit()

    def _on_unsaid(self) -> None:
        from journal.desk.clock_question import UNANSWERED

        self.unanswered.emit(UNANSWERED, True)
        self.settled.emit()
