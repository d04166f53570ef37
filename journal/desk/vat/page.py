"""The left page of the vat: the current step, the clock, the fields, what the numbers say."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QSpacerItem, QWidget

from journal.curves.snapshot import MakeSnapshot, OtherMake
from journal.desk.buttons import MAIN, Button
from journal.desk.calculate.line import SumInPlace
from journal.desk.form.ask import AskRow
from journal.desk.form.form import FormSpec
from journal.desk.labels import Hairline, Label
from journal.desk.layouts import in_column, in_row
from journal.desk.scrollbars import scrolled
from journal.desk.theme import SMALL, STEP
from journal.desk.vat.advice import AdviceBox
from journal.desk.vat.entry import EntryFields
from journal.desk.vat.finish import FinishForm
from journal.desk.vat.head import VatHead
from journal.desk.vat.readings import SHOWN, LastReadings
from journal.records.instants import MINUTE_MS
from journal.records.kinds import TEMP_KINDS
from journal.records.plans import Stage
from journal.records.traces import Reading
from journal.wording import worded
from journal.wording.at_the_vat import page_text
from journal.wording.clocks import clock_rows, other_row
from journal.wording.dates import day_clock
from journal.wording.languages import translated
from journal.wording.outcomes import outcome_lines
from journal.wording.readings import figure_text
from journal.wording.shown import write
from journal.wording.stages import finish_words
from journal.wording.vat_day import over_words
from journal.wording.vat_stage import (
    acid_target_now,
    acidity_of,
    bound,
    delay_words,
    doing_words,
    next_words,
    stage_ends_words,
    temperature_target_words,
    to_go,
)

LEAST_ROWS = 3
# What goes first where the window is low: two columns of readings (all five stay in sight), the
# checks, the whole caution and the count of what happened, a clock's height, lines of what the
# numbers say.
_GIVES_WAY = (
    (SHOWN, True, True, 4, True, False),
    (LEAST_ROWS, True, True, 4, True, False),
    (LEAST_ROWS, False, True, 4, True, False),
    (LEAST_ROWS, False, False, 4, False, False),
    *((LEAST_ROWS, False, False, lines, False, True) for lines in (4, 3, 2, 1, 0)),
    *((rows, False, False, 0, False, True) for rows in (2, 1, 0)),
)


class VatPage(QWidget):
    """Shows a make at a moment in words. What is typed and asked for leaves through `entry`,
    `readings`, `finish`, `ask`, `advice` and `end_asked`."""

    end_asked = Signal()

    def __init__(self, entry: EntryFields, sensors: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._sensors = sensors
        self.vat_head = VatHead()
        self.entry = entry
        self._held = False
        self.readings = LastReadings()
        self.checked = Label("", SMALL, role="quiet", wrap=True)
        self.charted: frozenset[int] = frozenset()  # the other makes that have a chart of their own
        self.finish = FinishForm(self)
        self.ask = AskRow()
        self.advice = AdviceBox()
        self.sum = SumInPlace()
        self.next_head = Label("", wrap=True)
        self.next_acid_target = Label("", role="quiet", wrap=True)
        self.end = Button("", MAIN)
        self.more = Button("More ▾")
        self.more.setAccessibleName(translated("More that can be done"))
        self.end.clicked.connect(self.end_asked)
        self.finish.turned.connect(self._on_finishing)
        self.ask.closed.connect(self._on_asked)
        self._name_parts()
        self._build()

    def _name_parts(self) -> None:
        """What stands in the head and the advice is the page's to fill."""
        head = self.vat_head
        self.code, self.stage, self.target, self.doing = (
            head.code, head.stage, head.target, head.doing,
        )  # fmt: skip
        self.clock, self.to_go, self.ends = head.clock, head.to_go, head.ends
        self.head, self.says, self.mark = self.advice.head, self.advice.says, self.advice.mark

    # Build

    def _build(self) -> None:
        above, below = self.vat_head.gaps
        self._gaps = [(above, 3 * STEP), (below, 2 * STEP)]
        inner = self._inner = QWidget()
        column = in_column(margins=(8 * STEP, 0, 6 * STEP, STEP), gap=STEP)
        self._whole = in_column(self.vat_head, (column, 1), of=inner, margins=0, gap=0)
        self._column = column
        self._gap(1)
        column.addWidget(Hairline())
        self._gap(3)
        column.addWidget(self.entry)
        self._gap(3)
        column.addWidget(self.readings)
        column.addWidget(self.checked)
        self._gap(4)
        column.addWidget(Hairline())
        self._gap(3)
        column.addWidget(self.ask)
        column.addWidget(self.advice)
        column.addWidget(self.finish)
        column.addWidget(self.sum)
        column.addStretch(1)
        self._build_frame()

    def _build_frame(self) -> None:
        self._scroll = scrolled(self._inner)
        foot = in_column(self._next(), margins=(8 * STEP, 0, 6 * STEP, 0), gap=3 * STEP)
        acts = in_row((self.end, 1), self.more, gap=2 * STEP)
        foot.addLayout(acts)
        self._outer = in_column(
            (self._scroll, 1), self._sensors, foot, of=self, margins=(0, 0, 0, 5 * STEP), gap=STEP
        )

    def _next(self) -> QWidget:
        self._next_box = QWidget()
        grid = QGridLayout(self._next_box)
        grid.setContentsMargins(0, STEP, 0, 0)
        grid.setHorizontalSpacing(5 * STEP)
        grid.setVerticalSpacing(0)
        grid.addWidget(Label(translated("Next"), role="quiet"), 0, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(self.next_head, 0, 1)
        grid.addWidget(self.next_acid_target, 1, 1)
        grid.setColumnStretch(1, 1)
        return self._next_box

    def _gap(self, steps: int) -> None:
        """Room that gives way where the window is low."""
        policy = QSizePolicy.Policy
        spacer = QSpacerItem(0, steps * STEP, policy.Minimum, policy.Fixed)
        self._gaps.append((spacer, steps * STEP))
        self._column.addSpacerItem(spacer)

    def hold(self, on: bool) -> None:
        """While it is held the parts keep the room they have; released, they get theirs once."""
        self._held = on
        self.refit()

    def refit(self) -> None:
        """What is shown came or went: give the parts their room."""
        if not self._held:
            self._fit()

    def _fit(self) -> None:
        """Take from the gaps what the window lacks; then the last readings stand in two columns,
        and what the checks of the instruments said goes."""
        self._set_gaps(1.0)
        spare = sum(full for _, full in self._gaps)
        for rows, checked, whole, lines, noted, low in _GIVES_WAY:
            self.vat_head.tighten(low, named=bool(self.charted))
            self._column.setSpacing(STEP // 2 if low else STEP)
            self._outer.setContentsMargins(0, 0, 0, (2 if low else 5) * STEP)
            self._outer.activate()  # else what is seen of the page is measured as before
            self.advice.give_way(whole=whole, lines=lines, noted=noted)
            self.sum.setVisible(noted and bool(self.sum.text()) and not self._asks())
            self.readings.fit_rows(rows)
            self.checked.setVisible(checked and self.readings.isVisibleTo(self)
                                    and bool(self.checked.text()))  # fmt: skip
            lacking = self._lacking()
            if lacking <= spare:
                break
        lacking = self._checked_again(lacking, spare)
        policy = Qt.ScrollBarPolicy  # a bar that is there takes the width that would do without it
        needed = policy.ScrollBarAsNeeded if lacking > spare else policy.ScrollBarAlwaysOff
        self._scroll.setVerticalScrollBarPolicy(needed)
        if lacking > 0:
            self._set_gaps(max(0.0, 1.0 - lacking / spare))

    def _checked_again(self, lacking: int, spare: int) -> int:
        """What the checks said comes back where there is room left for it after all."""
        if lacking > spare or not self.checked.isHidden() or not self.checked.text():
            return lacking
        self.checked.setVisible(self.readings.isVisibleTo(self))
        again = self._lacking()
        if again <= spare:
            return again
        self.checked.hide()
        return self._lacking()

    def _lacking(self) -> int:
        """How much higher the page would be than what is to be seen of it, px."""
        self._measure_anew()
        wide = self._scroll.width()  # as without a scroll bar: what fits needs none
        return self._whole.heightForWidth(wide) - self._scroll.viewport().height()

    def _set_gaps(self, share: float) -> None:
        policy = QSizePolicy.Policy
        for spacer, full in self._gaps:
            spacer.changeSize(0, int(full * share), policy.Minimum, policy.Fixed)
        self._measure_anew()

    def _measure_anew(self) -> None:
        """Forget the heights that were measured before; those of the head are kept twice."""
        self.vat_head.column.invalidate()
        self.vat_head.updateGeometry()
        self._column.invalidate()  # a layout within a layout does not hear of its widgets
        self._whole.invalidate()

    # Fill

    def show_day(self, day: MakeSnapshot, last: list[Reading], needed: str = "") -> None:
        """Show a make at a moment with its last readings, and the sum that is `needed` in words."""
        make = day.whole.make
        self.sum.show_sentence(needed)
        self.code.setText(f"{make.code} · {make.name}, {write(make.milk.litres, 'volume')}")
        self.entry.name_make(make.code if day.others else "")
        self.code.set_role("ink" if day.others else "quiet")
        self.readings.show_readings(last, make.zone)
        page_state = day.page_state
        if page_state.index is not None:
            self.entry.suit((day.whole.make.id, page_state.index), acidity_of(day))
        for kind in (*TEMP_KINDS, self.entry.acid_kind):
            trace = day.whole.trace(kind).sound()
            last_read = figure_text(kind, trace.value[-1]) if len(trace) else ""
            self.entry.show_last(kind, last_read)
        running = page_state.stage is not None
        for part in (self.vat_head.clock_box, self._next_box, self.advice):
            part.setVisible(running)
        for part in (self.entry, self.readings):
            part.setVisible(True)
        if page_state.stage is not None and page_state.index is not None:
            self._show_stage(day, page_state.stage, page_state.index)
        else:
            self._show_over(day)
        self.finish.show_for(day)
        if self.finish.asking:
            self._on_finishing(True)
        self._make_room()

    def show_expected(self, day: MakeSnapshot) -> None:
        """What is to come of the make shown is calculated: the rest stands as it is."""
        if day.page_state.stage is not None:
            self.advice.show_text(page_text(day))
        self._make_room()

    def _make_room(self) -> None:
        """The advice makes room for what is asked."""
        if self._asks():
            self.advice.hide()
        self.refit()

    def _asks(self) -> bool:
        return self.finish.asking or self.ask.asking

    def open_ask(self, spec: FormSpec) -> None:
        """Ask for a line or two in the page; the advice makes room."""
        self.ask.ask(spec)
        self.advice.hide()
        self.refit()
        self._scroll.ensureWidgetVisible(self.ask)

    def _on_asked(self) -> None:
        self.entry.focus_last()

    def _on_finishing(self, on: bool) -> None:
        """The weights have the page to themselves while they are asked for."""
        for part in (self.entry, self.readings, self._next_box):
            part.setVisible(not on)
        if on:
            self.advice.hide()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self.vat_head.take_colours()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.refit()

    def tick(self, day: MakeSnapshot) -> None:
        """The clocks, every second."""
        ends = day.page_state.ends_ms
        self._show_others(day)
        self.vat_head.beside.show_rows(clock_rows(day))
        if ends is None:
            return
        figures, what = to_go(ends, day.now_ms)
        self.clock.setText(figures)
        over = ends < day.now_ms
        self.to_go.setText(f"▲ {what}" if over else what)
        self.to_go.set_role("attention" if over else "quiet")
        self.ends.setText(stage_ends_words(ends, day.now_ms, day.whole.make.zone))

    def rows_beside(self, day: MakeSnapshot) -> list[OtherMake]:
        """The makes that have no chart of their own beside this."""
        return [other for other in day.others if other.make_id not in self.charted]

    def _show_others(self, day: MakeSnapshot) -> None:
        rows = [other_row(other, day.now_ms) for other in self.rows_beside(day)]
        if self.charted:
            rows = [replace(row, key="") for row in rows]  # the key is the charts', a click will do
        self.vat_head.others.show_rows(rows)

    def _show_stage(self, day: MakeSnapshot, stage: Stage, index: int) -> None:
        self.stage.setText(stage.label.capitalize())
        self.target.setText(bound(temperature_target_words(day.whole.plan, index, *_so_far(day))))
        must = acid_target_now(day.whole.plan, index)
        doing = doing_words(day.whole.plan, stage, day.whole.make.milk.litres)
        must = f"{must[0].upper()}{must[1:]}." if must else ""
        self.doing.setText(bound(" ".join(part for part in (doing, must) if part)))
        self.doing.setVisible(bool(self.doing.text()))
        self.advice.show_text(page_text(day))
        self._show_next(day, stage)
        delay = delay_words(list(day.delays), day.delay_min)
        self.vat_head.delay.setText(delay)
        self.vat_head.delay.setVisible(bool(delay))
        self.end.setVisible(True)
        self.tick(day)

    def _show_next(self, day: MakeSnapshot, stage: Stage) -> None:
        following = day.page_state.next_stage
        head, acid_target = next_words(following)
        self.next_head.setText(head)
        self.next_acid_target.setText(acid_target)
        self.next_acid_target.setVisible(bool(acid_target))
        words = "Finish the make" if following is None else finish_words(stage.label)
        self.end.set_label(words, "main")

    def _show_over(self, day: MakeSnapshot) -> None:
        make = day.whole.make
        over = make.finished_ms is not None
        over = over or make.failed
        self.stage.setText(over_words(day.whole) if over else "All stages are finished")
        self.target.setText(day_clock(make.finished_ms, make.zone) if make.finished_ms else "")
        late = worded("desk.late-reading")
        outcome = " ".join(f"▲ {line}" for line in outcome_lines(day.whole))
        self.doing.setText("\n".join(words for words in (outcome, late if over else "") if words))
        self.doing.setVisible(bool(self.doing.text()))
        self.vat_head.delay.hide()
        self.vat_head.beside.show_rows([])
        self._show_others(day)
        self.end.setVisible(not over)
        self.end.set_label("Finish the make", "main")


def _so_far(day: MakeSnapshot) -> tuple[float, float | None]:
    """Minutes since the current stage began, less what was added to it, and the °C last read in
    it (None: not lately)."""
    run, page_state = day.page_state.run, day.page_state
    begun_ms = day.now_ms if run is None or run.began_ms is None else run.began_ms
    extra = 0.0 if run is None else run.extra_min
    last_c = None if page_state.is_old(day.now_ms) else page_state.last_c
    return (day.now_ms - begun_ms) / MINUTE_MS - extra, last_c
