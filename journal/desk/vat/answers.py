"""What a person answers at the vat: what rings, what the numbers say, which make to look at."""

from __future__ import annotations

from dataclasses import replace

from journal.desk.alarm import rung_words
from journal.desk.vat.day import Ahead, Day
from journal.desk.vat.heard import Heard, heard_of, keep_heard
from journal.desk.vat.said import DOWN, READ, due_now
from journal.records.coming import TIMER
from journal.records.instants import clock
from journal.records.makes import Make


class Answers:
    """Mixed into the place of the vat before Place."""

    _sounded: tuple[str, int] | None = None  # what was sounded of the heat, and the stage
    _unread: tuple[int, int | None] | None = (
        None  # the stage, and the reading not to be asked after
    )

    def answer(self) -> bool:
        """Silence what rings; a timer that was up is done with. False when nothing rang."""
        ringing = self.desk.alarm.ringing
        self.desk.alarm.answer()
        for one in ringing:
            if one.kind == TIMER:
                self._do(self.journal.day.stop_timer, one.key, self.desk.clock())
        return bool(ringing)

    def heard_now(self) -> Heard:
        """What was heard of the make that is shown."""
        return heard_of(self.desk.settings, self._whole.make.uuid)

    def keep_heard(self, heard: Heard) -> None:
        """Keep what was heard of it."""
        if heard != self.heard_now():
            keep_heard(self.desk.settings, self._whole.make.uuid, heard)

    def tell(self) -> None:
        """Tell what has happened; each thing is news for a while, and once."""
        if self._whole is not None and self._whole.make.finished_ms is None:
            found = self._ahead.events
            self.keep_heard(self.heard_now().telling(found, self.desk.clock()))

    def keep_verdict(self, make: Make, ahead: Ahead) -> None:
        """Keep what is said of eating a make, from the first time on."""
        if ahead.verdict is not None:
            self._do(self.journal.outcomes.keep_verdict, make, ahead.verdict)

    def turn_heat_down(self) -> bool:
        """The heat is turned down, as was said; False when that was not due."""
        if self._due_now()[0] != DOWN:
            return False
        now = self.desk.clock()
        self.keep_heard(self.heard_now().turning(self._day.standing.run.id, now))
        return True

    def leave_unread(self) -> bool:
        """Ask no more for a reading that the heat waits for, until the next one; False where that
        was not asked."""
        if self._due_now()[0] != READ:
            return False
        self._unread = self._day.standing.run.id, self._day.standing.last_at_ms
        return True

    def hear(self) -> None:
        """What the numbers say is heard: the caution first, else the news and the advice."""
        heard = self.heard_now()
        if self._day.ahead.slow and not heard.slow:
            self.keep_heard(replace(heard, slow=True))
            self._show()
        else:
            self.keep_heard(heard.hearing())
            self.leave_advice()

    def what_happened(self) -> None:
        """List what happened in the day."""
        if self.has_day():
            from journal.desk.vat.happened import Happened

            Happened(self._day, self.window()).open()

    def leave_advice(self) -> None:
        """Be quiet about how the milk lies, until it is met or strays the other way."""
        advice, run = self._day.standing.advice, self._day.standing.run
        if advice is not None and run is not None:
            self._left = (run.id, advice.behind_c > 0)
        self._show()

    def escape(self) -> None:
        """Esc: a question or correction is left, else the heat is turned down, else what rings is
        heard, else what the numbers say."""
        if self._day is None or self.typing.leave():
            return
        if self.turn_heat_down() or self.leave_unread() or self.answer():
            self._show()
        elif self.days.moment_ms is not None:
            self.show_moment(None)
        elif self.has_stage():
            self.hear()

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
        rows = self.page.rows_beside(self._day)
        if place < len(rows):
            self.turn_to(rows[place].make_id)

    def _show_due(self) -> None:
        """Turn the head over while something that is due is unanswered."""
        words = self._due_words()
        done = "done" if self._due_now()[0] == DOWN else "heard"
        if self.page.turns.turn(bool(words), f"{words}  Esc: {done}" if words else ""):
            self.page.refit()
        self._sound_turn_down()

    def _sound_turn_down(self) -> None:
        """Sound once when the heat is to be turned down, or the milk read for it."""
        order = self._due_now()[0]
        if order and (order, self._day.standing.run.id) != self._sounded:
            self._sounded = order, self._day.standing.run.id
            self.desk.alarm.sound()

    def _due_now(self) -> tuple[str, str]:
        """What the heat asks as of this second, with its words."""
        if self._day is None or self._day.ahead.heating is None:
            return "", ""
        day = replace(self._day, now_ms=self.desk.clock(), heard=self.heard_now())
        standing = day.standing
        if standing.run is not None and self._unread == (standing.run.id, standing.last_at_ms):
            return "", ""
        return due_now(day)

    def _due_words(self) -> str:
        """What is due and unanswered, "" when nothing is."""
        alarm, mine = self.desk.alarm, self._whole.make.id if self._whole is not None else None
        timers = [one for one in alarm.ringing if one.kind == TIMER and one.make_id == mine]
        rest = [one for one in alarm.ringing if len(timers) < 2 or one not in timers]
        rung = [rung_words(one, clock(one.at_ms, alarm.zone_of(one))) for one in rest]
        if len(timers) > 1:  # their clocks stand below, each by its name
            names = [f"“{one.words}”" for one in timers]
            rung.append(f"{', '.join(names[:-1])} and {names[-1]} are up.")
        return self._due_now()[1] or " ".join(rung)

    def asked_now(self) -> str:
        """What the hand is asked to do now, in a few words; "" for nothing."""
        return {DOWN: "Turn the heat down", READ: "Read the milk"}.get(self._due_now()[0], "")

    def _is_left(self, day: Day) -> bool:
        """Whether the advice of now is the one that was left; it is forgotten once it is met."""
        advice, run = day.standing.advice, day.standing.run
        if advice is None or run is None or abs(advice.behind_c) <= day.standing.stage.corridor_c:
            self._left = None
            return False
        return self._left == (run.id, advice.behind_c > 0)
