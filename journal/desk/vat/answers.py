"""What a person answers at the vat: what rings, what the numbers say, which make to look at."""

from __future__ import annotations

from journal.desk.alarm import rung_words
from journal.desk.vat.day import Day
from journal.records.coming import TIMER
from journal.records.instants import clock


class Answers:
    """Mixed into the place of the vat before Place."""

    def answer(self) -> bool:
        """Silence what rings; a timer that was up is done with. False when nothing rang."""
        ringing = self.desk.alarm.ringing
        self.desk.alarm.answer()
        for one in ringing:
            if one.kind == TIMER:
                self._do(self.journal.day.stop_timer, one.key, self.desk.clock())
        return bool(ringing)

    def leave_advice(self) -> None:
        """Be quiet about how the milk lies, until it is met or strays the other way."""
        advice, run = self._day.standing.advice, self._day.standing.run
        if advice is not None and run is not None:
            self._left = (run.id, advice.behind_c > 0)
            self._show()

    def escape(self) -> None:
        """Esc: a question or correction is left, else what rings is heard, else the advice left."""
        if self._day is None or self.typing.leave():
            return
        if self.answer():
            self._show()
        elif self.days.moment_ms is not None:
            self.show_moment(None)
        elif self.has_stage():
            self.leave_advice()

    def rang(self, words: str) -> None:
        self._show_due()
        if self._across is not None:
            self._show_across(self._day)

    def turn_to(self, make_id: int) -> None:
        """Show another of the makes that run."""
        self._make_id = self.desk.make_id = make_id
        self._left = None
        self._load()
        self.page.entry.focus_last()

    def _on_other(self, place: int) -> None:
        self.turn_to(self._day.others[place].make_id)

    def _show_due(self) -> None:
        """Turn the head over while something that is due is unanswered."""
        words = self._due_words()
        self.page.turns.turn(bool(words), f"{words}  Esc: heard" if words else "")

    def _due_words(self) -> str:
        """What is due and unanswered, "" when nothing is."""
        alarm = self.desk.alarm
        return " ".join(
            rung_words(one, clock(one.at_ms, alarm.zone_of(one))) for one in alarm.ringing
        )

    def _is_left(self, day: Day) -> bool:
        """Whether the advice of now is the one that was left; it is forgotten once it is met."""
        advice, run = day.standing.advice, day.standing.run
        if advice is None or run is None or abs(advice.behind_c) <= day.standing.stage.corridor_c:
            self._left = None
            return False
        return self._left == (run.id, advice.behind_c > 0)
