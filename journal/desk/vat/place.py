"""The vat: the make that runs, what to do now, and the day as it goes."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QStackedWidget, QWidget

from journal.desk.commands import Command
from journal.desk.lifeline import LifeLine, life_of
from journal.desk.place import Place
from journal.desk.probes.watch import ProbeWatch
from journal.desk.vat.across import AcrossTheRoom
from journal.desk.vat.acts import DayActs, is_photo
from journal.desk.vat.answers import Answers
from journal.desk.vat.beside import others_of
from journal.desk.vat.besides import Besides, Neighbour
from journal.desk.vat.checked import checks_of
from journal.desk.vat.day import Ahead, Day, Past, ahead_of, day_of, past_of
from journal.desk.vat.days import Days
from journal.desk.vat.entry import DIGITS
from journal.desk.vat.keeping import Log
from journal.desk.vat.moment import PickedMoment
from journal.desk.vat.noted import Thumbs, noted
from journal.desk.vat.nothing import nothing_page
from journal.desk.vat.page import VatPage
from journal.desk.vat.said import ramp_of
from journal.desk.vat.typing import Typing
from journal.desk.vat.unkept import Unkept
from journal.keeping import Change, DamageError, KeepingError
from journal.records import RecordError
from journal.records.instants import MINUTE_MS
from journal.records.whole import WholeMake

_STRUCTURE = {"make", "stage_run", "wheel", "plan", "addition", "note", "timer", "calibration"}


class VatPlace(DayActs, Answers, Besides, Unkept, PickedMoment, Place):
    """Shows the running make, else the one that is open. Everything typed goes through `Typing`,
    what is done to the day through `DayActs`, what rings is answered through `Answers`."""

    key = "vat"
    title = "Vat"
    typing_keys = (
        "Digits go to the field at hand from anywhere; Enter keeps the value. Tab or Space goes to "
        "the other field, the arrow down to the last readings. Esc: heard, or back."
    )
    left_share = 0.3
    left_least = 384

    # Build

    def right(self) -> QWidget:
        self._make_id: int | None = None
        self._asked_for = False
        self._whole: WholeMake | None = None
        self._seen: WholeMake | None = None  # the last one that was shown
        self._past, self._ahead = Past(), Ahead()
        self._past_for: tuple[int, str] | None = None
        self._drawn_min = -1
        self._day: Day | None = None
        self._across: AcrossTheRoom | None = None
        self._thumbs = Thumbs()
        self._beside: dict[int, Neighbour] = {}
        self.days = Days()
        self.days.picked.connect(self.turn_to)
        self.days.roomier.connect(self._on_roomier)
        self.chart = self.days.chart
        self.chart.dropped.connect(self.bring_in)
        self._left: tuple[int, bool] | None = None  # the advice that was left: stage, and its way
        self.desk.alarm.ticked.connect(self._on_tick)
        return self.days

    def left(self) -> QWidget:
        self.page = VatPage()
        self.typing = Typing(self.page, Log(self.journal, self.desk.clock), self)
        self.typing.failed.connect(self._on_sentence)
        self.page.entry.went_down.connect(self.page.readings.setFocus)
        self.page.readings.left_upwards.connect(self.page.entry.focus_last)
        self.page.finish.weights.connect(self._on_weights)
        self.page.end_asked.connect(self.end_stage)
        self.page.entry.escaped.connect(self.escape)
        self.page.advice.longer.connect(self.longer)
        self.page.advice.left.connect(self.hear)
        self.page.advice.asked.connect(self.what_happened)
        self.page.turns.others.pressed.connect(self._on_other)
        self.listen_to_typing()
        self.probes = ProbeWatch(self, self.page.outer)
        self.pages = QStackedWidget()
        self.pages.addWidget(self.page)
        self.pages.addWidget(nothing_page(self._on_begin))
        return self.pages

    def strip(self) -> QWidget:
        self.life = LifeLine()
        self.life.instant.connect(self.go_to_moment)
        return self.life

    def commands(self) -> tuple[Command, ...]:
        return (
            Command("end_stage", "End the stage", self.end_stage, ("Ctrl+Return", "Ctrl+Enter"),
                    self.has_running),
            Command("late", "Type a late reading", self.type_late, ("Ctrl+T",), self.has_day),
            Command("kind", "Read another acidity", self.next_kind, ("F6",), self.has_day),
            Command("across", "Across the room", self.across_the_room, ("F11",), self.has_day),
            Command("strike", "Strike out a reading", self.strike, ("Delete",), self.has_reading),
            Command("correct", "Correct a reading", self.correct, ("F2",), self.has_reading),
            *self.act_commands(),
            Command("happened", "What happened today", self.what_happened, ("F12",), self.has_day),
            Command("as_last_time", "Make it again, as this time, with a change", self.as_last_time,
                    enabled=self.has_day),
        )  # fmt: skip

    # Fill

    def entered(self) -> None:
        if not self._asked_for:
            self._make_id = None
        self._asked_for = False
        self._load()
        if self._day is not None:
            self.page.entry.focus_last()
        else:
            self.pages.currentWidget().setFocus()

    def show_make(self, make_id: int) -> None:
        self._make_id = make_id
        self._asked_for = True

    def heard(self, change: Change) -> None:
        if self._whole is None:
            self._load()
            return
        self.heard_beside(change)
        if "calibration" in change.kinds:  # it holds for every make
            self.forget_beside()
            self._load()
            return
        if change.makes and self._whole.make.id not in change.makes:
            if change.kinds & _STRUCTURE or change.makes & set(self._beside):
                self._show()
            return
        if change.kinds & _STRUCTURE:
            self._load()
        elif "reading" in change.kinds:
            self._whole = replace(
                self._whole, traces=self.journal.readings.traces(self._whole.make.id)
            )
            self._show()
            if self.probes.may_look_ahead(change):
                self._ask_ahead()

    def settled(self) -> bool:
        return not self.desk.work.busy

    def let_go(self) -> None:
        self.write_down()

    def _load(self) -> None:
        self._whole = self._find()
        self.pages.setCurrentIndex(0 if self._whole is not None else 1)
        if self._whole is None:
            self._day = None
            self.days.show_days(None)
            self.life.show_life(None)
            return
        make_id, other = self._whole.make.id, False
        if self._past_for != (make_id, self._whole.plan.name):
            left = self.neighbour_left()
            other = self.change_hands(make_id)
            self._past_for = (make_id, self._whole.plan.name)
            known = self.swap_beside(make_id, left)
            self._past, self._ahead = known or (Past(), Ahead())
            self.days.moment_ms = None
            if known is None:
                self._ask_past()
        self._seen = self._whole
        self._show()
        if other:
            self.take_up()
        self._ask_ahead()

    def _which(self) -> int | None:
        """The make to show; chosen once a visit, so that finishing it does not turn the page."""
        if self._make_id is None:
            self._make_id = self._chosen()
        return self._make_id

    def _chosen(self) -> int | None:
        """The make that is open while it runs, else the newest running one, else the open one."""
        running = [make.id for make in self.journal.makes.running()]
        if running and self.desk.make_id not in running:
            self.desk.make_id = running[0]
        return self.desk.make_id

    def _find(self) -> WholeMake | None:
        """The make to show with all that hangs on it; one that was undone is let go."""
        make_id = self._which()
        if make_id is None:
            return None
        try:
            return self.journal.whole(make_id)
        except DamageError as error:
            self.say("vat", str(error))
            return None
        except KeepingError:
            self._make_id = self.desk.make_id = None
            return None

    def _show(self) -> None:
        whole = self._whole
        self.typing.whole = whole
        day = day_of(whole, self.desk.clock(), self._past, self._ahead)
        others = others_of(self.journal, whole.make.id)
        notes = noted(whole.notes, whole.make.started_ms, self._thumbs, self.journal.photos.path)
        self._day = replace(day, others=others, notes=notes, left_alone=self._is_left(day),
                            heard=self.heard_now())  # fmt: skip
        self._drawn_min = self._day.now_ms // MINUTE_MS
        beside = self.days_beside([other.make_id for other in others])
        self._day = self.days.show_days(self._day, beside)
        self.page.charted = frozenset(one.whole.make.id for one in self.days.shown)
        self.page.checked.setText(checks_of(self.journal, whole.make, self.desk.clock()))
        self.page.show_day(self._day, self.journal.readings.last(whole.make.id, 5))
        self.life.show_life(life_of(whole, self._day.now_ms))
        self._show_due()
        self._show_across(self._day)

    def _show_across(self, day: Day) -> None:
        if self._across is not None and self._across.isVisible():
            self._across.neighbours = self.days.shown
            self._across.show_day(day, self._due_words(), self.asked_now())

    def _ask_past(self) -> None:
        make = self._whole.make
        task = self.desk.work.start_file(
            "vat past", str(self.journal.path), past_of, make.id, self._whole.plan.name,
            make.started_ms,
        )  # fmt: skip
        task.finished.connect(self._on_past)
        task.failed.connect(self._on_failed)

    def _ask_ahead(self) -> None:
        task = self.desk.work.start("vat ahead", ahead_of, self._day)
        task.finished.connect(self._on_ahead)
        task.failed.connect(self._on_failed)

    # Commands

    def has_day(self) -> bool:
        """A make is shown."""
        return self._day is not None

    def has_running(self) -> bool:
        """A make runs."""
        return self._day is not None and self._day.running

    def has_reading(self) -> bool:
        """There is a reading to strike out or correct."""
        return self._day is not None and self.page.readings.chosen() is not None

    def end_stage(self) -> None:
        """End the stage at hand; after the last, ask for the wheels."""
        if not self.has_running():
            return
        standing = self._day.standing
        if standing.next_stage is None:
            finish = self.page.finish
            (finish.submit if finish.asking else finish.ask)()
            return
        try:
            self.journal.makes.end_stage(self._whole.make.id, self.desk.clock())
        except KeepingError as error:
            self.say("vat", str(error))
        else:
            self.clear("vat")

    def type_late(self) -> None:
        """Open the field for the time of a late reading."""
        if self.has_day():
            self.page.entry.open_late()

    def next_kind(self) -> None:
        """Type another acidity from now on."""
        if self.has_day():
            self.page.entry.next_kind()
            self._show()

    def across_the_room(self) -> None:
        """Show only the step, the clock and the last values; again, or Esc, shows all."""
        if not self.has_day():
            return
        if self._across is None:
            self._across = AcrossTheRoom(self.window(), self.page.entry.temp.line)
        if self._across.isVisible():
            self._across.hide()
            self.page.entry.focus_last()
        else:
            self._across.neighbours = self.days.shown
            self._across.open_with(self._day, self._due_words(), self.asked_now())

    def strike(self) -> None:
        """Strike the chosen reading out, or let it stand again."""
        if self.has_reading():
            self.page.readings.strike()

    def correct(self) -> None:
        """Correct the chosen reading."""
        if self.has_reading():
            self.page.readings.correct()

    def bring_in(self, path: str) -> None:
        """Bring a logger's file into this make, or a photo to this moment."""
        if self._whole is None:
            return
        if is_photo(path):
            self.take_photo(path)
            return
        from journal.desk.bring_in import BringIn

        BringIn(self.journal, self._whole.make.id, path, self.window()).open()

    # Handlers

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self._day is not None:
            self.escape()
            return
        if self._day is not None and event.text() and event.text() in DIGITS:
            self.page.entry.type_on(event)
            return
        super().keyPressEvent(event)

    def _on_weights(self, weights_kg: list[float]) -> None:
        make = self._whole.make
        try:
            wheels = self.journal.makes.finish(make.id, weights_kg, self.desk.clock())
        except (KeepingError, RecordError) as error:
            self.page.finish.refuse(str(error))
            return
        codes = ", ".join(wheel.code for wheel in wheels) or "no wheels"
        self._make_id = make.id
        self.say("finished", f"{make.code} is finished: {codes}.", attention=False)
        self.setFocus()

    def _on_tick(self) -> None:
        if self._day is None or not self._day.running or not self.isVisible():
            return
        now = self.desk.clock()
        if now // MINUTE_MS != self._drawn_min:
            self._show()
            if ramp_of(self._day) is not None or any(e.lasts for e in self._ahead.events):
                self._ask_ahead()
        else:
            moment = replace(self._day, now_ms=now)
            self.page.tick(moment)
            self.days.tick(moment, now)
            self._show_due()
            self._show_across(moment)

    def _on_past(self, past: Past) -> None:
        self._past = past
        if self._whole is not None:
            self._show()
            self._ask_ahead()

    def _on_ahead(self, ahead: Ahead) -> None:
        self._ahead = ahead
        if self._whole is not None:
            self.tell()
            self._show()
            self.keep_verdict(self._whole.make, ahead)

    def _on_roomier(self) -> None:
        if self._whole is not None and self._day is not None:
            self._show()

    def _on_failed(self, error: Exception) -> None:
        self._on_sentence(str(error))

    def _on_sentence(self, sentence: str) -> None:
        self.say("vat", sentence)

    def as_last_time(self) -> None:
        """Take the make's plan, as it was, to Plans as a draft."""
        if self._whole is not None:
            self.goes.emit("plans", self._whole.make.id)

    def _on_begin(self) -> None:
        self.goes.emit("plans", None)
