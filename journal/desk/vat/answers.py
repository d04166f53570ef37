"""What a person answers at the vat: what rings, what the heat asks, what the numbers say."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QObject, Signal

from journal.desk.place import Desk
from journal.desk.vat.acts import MakeActs
from journal.desk.vat.makes import VatMakes
from journal.desk.vat.page import VatPage
from journal.records import id_of
from journal.records.coming import TIMER
from journal.wording import worded
from journal.wording.alarms import rung_words, timers_words
from journal.wording.at_the_vat import DOWN, READ, due_now, page_text


class Answers(QObject):
    """Says what is due in the head of the page, and takes the answer to it; `answered` comes
    when something was that the page shows otherwise from then on."""

    answered = Signal()

    def __init__(
        self, desk: Desk, makes: VatMakes, page: VatPage, acts: MakeActs, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._desk, self._makes, self._page, self._acts = desk, makes, page, acts
        self._sounded: tuple[str, int] | None = None  # what was sounded of the heat, and the stage
        # The stage, and the reading not to be asked after.
        self._unread: tuple[int, int | None] | None = None

    # What is due

    def show_due(self) -> None:
        """Turn the head over while something that is due is unanswered; sound once when the heat
        is to be turned down, or the milk read for it."""
        order, _ = self._due_now()
        words = self.due()
        answer = {DOWN: "Done, heat is down", READ: "Dismiss"}.get(order, "Silence")
        if self._page.vat_head.turn(bool(words), words or self.silenced(), answer):
            self._page.refit()
        if order and (order, self._run_id()) != self._sounded:
            self._sounded = order, self._run_id()
            self._desk.alarm.sound()

    def due(self) -> str:
        """What is due and unanswered, "" when nothing is."""
        alarm, shown = self._desk.alarm, self._makes.shown
        mine = None if shown is None else shown.make_id
        timers = [one for one in alarm.ringing if one.kind == TIMER and one.make_id == mine]
        rest = [one for one in alarm.ringing if len(timers) < 2 or one not in timers]
        rung = [rung_words(one, alarm.zone_of(one)) for one in rest]
        if len(timers) > 1:  # their clocks stand below
            rung.append(timers_words(timers))
        return self._due_now()[1] or " ".join(rung)

    def silenced(self) -> str:
        """What is due, was silenced and is not dealt with yet: it stays as a line until it is."""
        alarm = self._desk.alarm
        rung = [rung_words(one, alarm.zone_of(one)) for one in alarm.silenced]
        return worded("desk.silenced", rung=rung) if rung else ""

    def asked_now(self) -> str:
        """What the hand is asked to do now, in a few words; "" for nothing."""
        return {DOWN: "Turn the heat down", READ: "Read the milk"}.get(self._due_now()[0], "")

    def _due_now(self) -> tuple[str, str]:
        """What the heat asks as of this second, with its words."""
        shown = self._makes.shown
        if shown is None or shown.ahead.heating is None:
            return "", ""
        state = shown.page_state
        if state.run is not None and self._unread == (state.run.id, state.last_at_ms):
            return "", ""
        done = self._makes.acknowledged()
        return due_now(replace(shown, now_ms=self._desk.clock(), acknowledged=done))

    def _run_id(self) -> int:
        run = self._makes.day.page_state.run
        return 0 if run is None else id_of(run)

    # What is answered

    def answer_due(self) -> bool:
        """The heat is turned down, as was said; else no reading is asked for until the next one;
        else what rings is silenced, a timer that was up being done with. False where nothing was
        due."""
        order, _ = self._due_now()
        if order == DOWN:
            now = self._desk.clock()
            self._makes.save_acknowledged(self._makes.acknowledged().turning(self._run_id(), now))
        elif order == READ:
            self._unread = self._run_id(), self._makes.day.page_state.last_at_ms
        else:
            return self._answer_ringing()
        return True

    def _answer_ringing(self) -> bool:
        ringing = self._desk.alarm.ringing
        self._desk.alarm.answer()
        for one in ringing:
            if one.kind == TIMER:
                self._acts.end_timer(one.key)
        return bool(ringing)

    def is_due(self) -> bool:
        """Something rings, or the heat asks for something."""
        return self._makes.shown is not None and bool(self.due())

    def dismiss(self) -> bool:
        """Dismiss what the numbers say: the caution first, else the news and the advice; False
        where they said nothing that can be."""
        if not self._makes.has_stage():
            return False
        acknowledged, attention = (self._makes.acknowledged(), page_text(self._makes.day).attention)
        if self._makes.day.ahead.slow and not acknowledged.slow:
            self._makes.save_acknowledged(replace(acknowledged, slow=True))
        else:
            self._makes.save_acknowledged(acknowledged.dismissed())
            self._makes.leave_advice()
        self.answered.emit()
        return attention or self._makes.acknowledged() != acknowledged
