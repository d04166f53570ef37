"""The vat: the make that runs, what to do now, and the day as it goes."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QStackedWidget, QWidget

from journal.curves.snapshot import MakeSnapshot
from journal.desk.commands import Command
from journal.desk.late import LatePart
from journal.desk.main_menu import SUBMENUS, VIEWS, in_groups
from journal.desk.menus import Menu
from journal.desk.pages import PageWidths
from journal.desk.place import Desk, Place
from journal.desk.sensors.watch import SensorWatch
from journal.desk.spoken import announce
from journal.desk.timeline import Timeline, life_of
from journal.desk.timers import timer
from journal.desk.vat.across import AcrossTheRoom
from journal.desk.vat.acts import MakeActs, is_photo
from journal.desk.vat.answers import Answers
from journal.desk.vat.days import CHART_MODULE, Days
from journal.desk.vat.entry import DIGITS, EntryFields
from journal.desk.vat.groups import NOTES, READINGS, STAGE, WHOLE
from journal.desk.vat.half_typed import HalfTypedController
from journal.desk.vat.makes import KnownMake, VatMakes
from journal.desk.vat.nothing import nothing_page
from journal.desk.vat.page import VatPage
from journal.desk.vat.reading_log import Log
from journal.desk.vat.typing import Typing
from journal.keeping import Change
from journal.records import id_of
from journal.records.instants import DAY_MS, MINUTE_MS
from journal.reports.checks import checks_of
from journal.wording.at_the_vat import ramp_of
from journal.wording.stage_sum import words_at
from journal.wording.vat_day import reading_words

if TYPE_CHECKING:
    from journal.desk.vat.chart import VatChart  # loaded once the page can be typed in

_STRUCTURE = {"make", "stage_run", "wheel", "plan", "addition", "note", "timer", "calibration"}


class VatPlace(Place):
    """Shows the current make of `makes`. Everything typed goes through `typing`, what is done to
    the day through `acts`, what is due is answered through `answers`."""

    key = "vat"
    title = "Vat"
    typing_keys = (
        "Digits go to the current field from anywhere; Enter saves the value. Space goes to the "
        "other field, the arrow down to the last readings. Esc silences an alarm, goes back, or "
        "leaves the field."
    )
    fold = PageWidths(0.33, 460, 900, 560, 420)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.makes = VatMakes(desk, self)
        log = Log(desk, self.makes)
        self.days = Days(self.offers)
        self._late = LatePart(self.days, CHART_MODULE)
        self.timeline = Timeline()
        self.sensors = SensorWatch(desk, self.messages, self)
        self.page = page = VatPage(EntryFields(log.fits), self.sensors)
        self.typing = Typing(page.entry, page.readings, log, self)
        self.acts = MakeActs(desk, self.makes, page, self.messages)
        self.answers = Answers(desk, self.makes, page, self.acts, self)
        self.half_typed = HalfTypedController(
            desk, self.makes, page, self.typing, self.acts, self.messages
        )
        self._across: AcrossTheRoom | None = None
        self._shown_for: tuple[int, str] | None = None  # the make, and the name of its plan
        self._drawn_min = -1
        self._was_read = False  # a sensor's readings, since the page was shown
        self._soon = timer(self, 0, once=True)  # what comes at once is drawn once
        self.pages = QStackedWidget()
        self.pages.addWidget(page)
        self.pages.addWidget(nothing_page(self._on_begin))
        self._connect()
        self.arrange(self.pages, self.days, self.timeline)

    def _connect(self) -> None:
        self.desk.alarm.ticked.connect(self._on_tick)
        self.makes.turned.connect(self._on_turned)
        self.makes.changed.connect(self._show)
        self.makes.expected.connect(self._on_expected)
        self._soon.timeout.connect(self._on_soon)
        self.answers.answered.connect(self._show)
        for failed in (self.makes.failed, self.typing.failed):
            failed.connect(self._on_failed)
        self.days.picked.connect(self.makes.turn_to)
        self.days.roomier.connect(self._on_roomier)
        self.days.dropped.connect(self.bring_in)
        self.days.went.connect(self.show_moment)
        self._late.loaded.connect(self.days.build)
        self.timeline.went.connect(self.go_to_moment)
        page = self.page
        self.typing.message.connect(page.refit)
        self.typing.keeping.connect(page.hold)
        page.entry.went_down.connect(page.readings.setFocus)
        page.entry.escaped.connect(self.escape)
        page.readings.left_upwards.connect(page.entry.focus_last)
        page.readings.escaped.connect(self._on_readings_escaped)
        page.finish.weights.connect(self._on_weights)
        page.end_asked.connect(self.acts.end_stage)
        page.advice.longer.connect(self.acts.longer)
        page.advice.left.connect(self.answers.dismiss)
        page.advice.asked.connect(self.acts.what_happened)
        page.sum.asked.connect(self._on_sum)
        page.vat_head.others.pressed.connect(self._on_other)
        page.vat_head.answer.clicked.connect(self.silence)
        page.more.clicked.connect(self._on_more)
        page.code.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        page.code.customContextMenuRequested.connect(self._on_head)
        page.readings.offer(self._on_readings)

    def commands(self) -> tuple[Command, ...]:
        has_day = self.makes.has_day
        return (
            Command("silence", "Silence the alarm", self.silence, (), self.answers.is_due, STAGE,
                    "Esc"),
            Command("end_stage", "Finish the stage", self.acts.end_stage,
                    ("main",), self.makes.has_running, STAGE),
            Command("late", "Add a late reading", self.type_late, ("when",), has_day, READINGS),
            Command("kind", "Read another acidity", self.next_kind, ("next",), has_day, READINGS),
            Command("bath", "Type the bath’s temperature", self.type_bath, (), has_day,
                    READINGS),
            Command("strike", "Strike out a reading", self.strike, ("delete",), self.has_reading,
                    READINGS),
            Command("correct", "Correct a reading", self.correct, (), self.has_reading,
                    READINGS),
            *self.acts.commands(),
            Command("happened", "What happened today", self.acts.what_happened, (), has_day,
                    NOTES),
            Command("used", "What was really used…", self.show_used, (), has_day, WHOLE),
            Command("as_last_time", "Repeat this make with a change", self.as_last_time, (),
                    has_day, WHOLE),
            Command("next_hours", "The next hours in the chart", self.show_next_hours,
                    (), self.makes.has_running, VIEWS),
            Command("across", "Large display, across the room", self.across_the_room, (),
                    has_day, VIEWS),
        )  # fmt: skip

    # Fill

    def entered(self) -> None:
        self.makes.begin_visit()
        self._load()
        if self.makes.has_day():
            self.page.entry.focus_last()
        else:
            self.pages.currentWidget().setFocus()

    def show_make(self, make_id: int) -> None:
        self.makes.ask_for(make_id)

    def on_change(self, change: Change) -> None:
        if not self.makes.has_day():
            self._load()
            return
        beside = self.makes.note_change(change)
        if "calibration" in change.kinds:  # it holds for every make
            self.makes.forget()
            self._load()
        elif change.makes and self.makes.day.make_id not in change.makes:
            if change.kinds & _STRUCTURE or beside:
                self._show()
        elif change.kinds & _STRUCTURE:
            self._load()
        elif "reading" in change.kinds:
            self.makes.read_readings()
            if self.sensors.sent(change):
                self._was_read = True
                self._soon.start()
            else:
                self._show()
            if self.sensors.may_look_ahead(change):
                self.makes.ask_ahead()

    def rang(self, words: str) -> None:
        announce(self, words, urgent=True)
        self.answers.show_due()
        if self.makes.shown is not None:
            self._show_across(self.makes.shown)

    @property
    def chart(self) -> VatChart:
        """The chart of the current make."""
        return self.days.chart

    def settled(self) -> bool:
        return super().settled() and self._late.settled()

    def save_state(self) -> None:
        self.half_typed.write_down()

    def _load(self) -> None:
        """Read the make to show, and show it."""
        whole = self.makes.read()
        self.pages.setCurrentIndex(0 if whole is not None else 1)
        if whole is None:
            self.days.show_none()
            self.timeline.show_life(None)
            return
        make = whole.make
        if self._shown_for != (make.id, whole.plan.name):
            self._shown_for = id_of(make), whole.plan.name
            self.days.moment_ms = None
        other = self.half_typed.put_aside(make)
        self._show()
        if other:
            self.half_typed.take_up(make)
        self.makes.ask_ahead()

    def _show(self) -> None:
        """Draw all there is of the current make, as it is now."""
        self._was_read = False
        day = self._draw()
        whole = day.whole
        self._drawn_min = day.now_ms // MINUTE_MS
        self.page.charted = frozenset(one.make_id for one in self.days.shown)
        self.page.checked.setText(checks_of(self.journal, whole.make, self.desk.clock()))
        needed = words_at(day, self.journal.ingredients.all, self.journal.stock.rennet_sets)
        self.page.show_day(day, self.journal.readings.last(day.make_id, 5), needed)
        self.timeline.show_life(life_of(whole, day.now_ms))
        self._show_due(day)

    def _draw(self) -> MakeSnapshot:
        """Draw the current day and those beside it."""
        now = self.makes.day_now()
        day = self.days.show_days(now, self.makes.days_beside(now))
        self.makes.shown = day
        return day

    def _show_due(self, day: MakeSnapshot) -> None:
        self.answers.show_due()
        self._show_across(day)

    def _show_across(self, day: MakeSnapshot) -> None:
        if self._across is not None and self._across.isVisible():
            self._across.neighbours = self.days.shown
            self._across.show_day(day, self.answers.due(), self.answers.asked_now())

    # Commands

    def has_reading(self) -> bool:
        """There is a reading to strike out or correct."""
        return self.makes.has_day() and self.page.readings.chosen() is not None

    def type_late(self) -> None:
        """Open the field for the time of a late reading."""
        if self.makes.has_day():
            self.page.entry.open_late()

    def next_kind(self) -> None:
        """Type another acidity from now on."""
        if self.makes.has_day():
            self.page.entry.next_kind()
            self._show()

    def type_bath(self) -> None:
        """Type the temperature of the bath the vat stands in next; again, the milk's."""
        if self.makes.has_day():
            self.page.entry.type_bath()

    def across_the_room(self) -> None:
        """Show only the step, the clock and the last values; again, or Esc, shows all."""
        if not self.makes.has_day():
            return
        if self._across is None:
            self._across = AcrossTheRoom(self.window(), self.page.entry.temp.line)
            self._across.end_asked.connect(self._on_end_across)
            self._across.answer_asked.connect(self.silence)
        if self._across.isVisible():
            self._across.hide()
            self.page.entry.focus_last()
        else:
            self._across.neighbours = self.days.shown
            self._across.open_with(self.makes.day, self.answers.due(), self.answers.asked_now())

    def show_next_hours(self) -> None:
        """Show what is just ahead in the chart."""
        self.chart.show_next_hours()

    def strike(self) -> None:
        """Strike the chosen reading out, or let it stand again."""
        if self.has_reading():
            self.page.readings.strike()

    def correct(self) -> None:
        """Correct the chosen reading."""
        if self.has_reading():
            self.page.readings.correct()

    def silence(self) -> None:
        """Silence what rings, or say that what is due was done."""
        if self.answers.answer_due():
            self._show()

    def show_used(self) -> None:
        """What was really used, in the stock: amounts and lots to change."""
        if self.makes.has_day():
            self.open_used(self.makes.day.make_id)

    def as_last_time(self) -> None:
        """Take the make's plan, as it was, to Plans as a draft."""
        if self.makes.has_day():
            self.goes.emit("plans", self.makes.day.make_id)

    def bring_in(self, path: str) -> None:
        """Bring a logger's file into this make, or a photo to this moment."""
        if not self.makes.has_day():
            return
        if is_photo(path):
            self.acts.take_photo(path)
            return
        from journal.desk.bring_in import BringIn

        dialog = BringIn(self.journal, self.makes.day.make_id, path, self.window())
        dialog.imported.connect(partial(self.say, "file", attention=False))
        dialog.open()

    def escape(self) -> None:
        """Esc: a question or correction is left, else what is due is answered, else the day is
        shown as it is now, else what the numbers say is heard, else the field is left."""
        if not self.makes.has_day() or self.typing.leave():
            return
        if self.answers.answer_due():
            self._show()
        elif self.days.moment_ms is not None:
            self.show_moment(None)
        elif not self.answers.dismiss():
            self.setFocus()  # the field is left

    # A moment of the timeline

    def go_to_moment(self, at_ms: int) -> None:
        """Go where that part of the life is to be seen: the day's own stands in the chart, a later
        one where it is kept."""
        if not self.makes.has_day():
            return
        day = self.makes.day
        make, ends = day.whole.make, day.stage_ends
        last = make.started_ms + round((ends[-1] if ends else 0.0) * MINUTE_MS)
        if at_ms <= max(last, day.now_ms if make.finished_ms is None else make.finished_ms):
            self.show_moment(at_ms)
            return
        near = any(abs(given.at_ms - at_ms) < 2 * DAY_MS for given in day.whole.scores)
        later = "tastings" if near else "room" if day.whole.wheels else "makes"
        self.goes.emit(later, make.id)

    def show_moment(self, at_ms: int | None) -> None:
        """Pick a moment of the day out in the chart; None shows it as ever."""
        self.days.moment_ms = at_ms
        self._show()

    # Handlers

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.makes.has_day():
            self.escape()
        elif self.makes.has_day() and event.text() and event.text() in DIGITS:
            self.page.entry.type_on(event)
        else:
            super().keyPressEvent(event)

    def _on_weights(self, weights_kg: list[float]) -> None:
        if self.acts.finish(weights_kg):
            self.setFocus()

    def _on_tick(self) -> None:
        if not self.makes.has_running() or not self.isVisible():
            return
        now, day = self.desk.clock(), self.makes.day
        if now // MINUTE_MS != self._drawn_min:
            self._show()
            day = self.makes.day
            if ramp_of(day) is not None or any(e.lasts for e in day.ahead.events):
                self.makes.ask_ahead()
        else:
            moment = replace(day, now_ms=now)
            self.page.tick(moment)
            self.days.tick(moment, now)
            self._show_due(moment)

    def _on_turned(self) -> None:
        self._load()
        self.page.entry.focus_last()

    def _on_end_across(self) -> None:
        """The last stage asks for the wheels, in the page."""
        if self._across is not None and self.makes.day.page_state.next_stage is None:
            self._across.hide()
        self.acts.end_stage()

    def _on_more(self) -> None:
        """All that can be done, over the button that opens it."""
        menu = Menu(self.page.more)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.offer(in_groups(self.commands()), under=SUBMENUS)
        menu.popup(self.page.more.mapToGlobal(QPoint(0, -menu.sizeHint().height())))

    def _on_head(self, at: QPoint) -> None:
        """What the make was begun with, on its name."""
        menu = Menu(self.page)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        wanted = ("milk", "plan", "times", "used", "paper")
        menu.offer([one for one in self.commands() if one.name in wanted])
        menu.popup(self.page.code.mapToGlobal(at))

    def _on_readings_escaped(self) -> None:
        """What rings comes first, as everywhere; else back to the field."""
        if self.answers.answer_due():
            self._show()
        else:
            self.page.entry.focus_last()

    def _on_readings(self) -> list[Command]:
        return [one for one in self.commands() if one.menu == READINGS]

    def offers(self, what: str, at_min: float) -> list[Command]:
        """What can be done with what is drawn at a minute: the stage, or the reading nearest."""
        if not self.makes.has_day():
            return []
        day = self.makes.day
        of_group = [one for one in self.commands() if one.menu == what]
        if what == STAGE:
            from journal.desk.vat.ribbon import stage_index

            index = stage_index(day, at_min)
            if index is not None and index == day.page_state.index:
                return of_group
            times = next(one for one in of_group if one.name == "times")
            return [replace(times, run=partial(self.acts.show_times, index))]
        reading = self.typing.reading_near(day.make_id, day.whole.make.started_ms, at_min)
        if reading is None:
            return [one for one in of_group if one.name in ("late", "kind")]
        on_it = {"strike": self.typing.strike, "correct": self.typing.begin}
        return [
            replace(one, run=partial(on_it[one.name], reading),
                    title=f"{one.title}: {reading_words(reading, day.whole.make.zone)}")
            if one.name in on_it else one
            for one in of_group
        ]  # fmt: skip

    def _on_sum(self) -> None:
        self.asks.emit("calculate")

    def _on_other(self, index: int) -> None:
        rows = self.page.rows_beside(self.makes.day)
        if index < len(rows):
            self.makes.turn_to(rows[index].make_id)

    def _on_expected(self, known: KnownMake) -> None:
        """What is to come is calculated; nothing else on the page says otherwise by it."""
        self.acts.save_verdict(known)
        self._soon.start()

    def _on_soon(self) -> None:
        if not self.makes.has_day():
            return
        if self._was_read:
            self._show()
        else:
            day = self._draw()
            self.page.show_expected(day)
            self._show_due(day)

    def _on_roomier(self) -> None:
        if self.makes.has_day():
            self._show()

    def _on_failed(self, sentence: str) -> None:
        self.say("vat", sentence)

    def _on_begin(self) -> None:
        self.goes.emit("plans", None)
