"""The left page of the vat: the step at hand, the clock, the fields, what the numbers say."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QScrollArea,
    QSizePolicy,
    QSpacerItem,
    QVBoxLayout,
    QWidget,
)

from journal.desk.buttons import MAIN, Button
from journal.desk.labels import Hairline, Label, Triangle
from journal.desk.scrollbars import quieten
from journal.desk.theme import HUGE, LEAD, STEP, TITLE
from journal.desk.vat.day import Day
from journal.desk.vat.entry import EntryFields
from journal.desk.vat.finish import FinishForm
from journal.desk.vat.readings import LastReadings
from journal.desk.vat.stage_words import (
    advice_words,
    doing_words,
    ends_words,
    gate_now,
    next_words,
    target_words,
    to_go,
)
from journal.quantities.written import write
from journal.records.instants import local
from journal.records.traces import Reading


class VatPage(QWidget):
    """Shows a Day in words. What is typed and asked for leaves through `entry`, `readings`,
    `finish` and `end_asked`."""

    end_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.entry = EntryFields()
        self.readings = LastReadings()
        self.finish = FinishForm()
        self.code = Label("", role="quiet")
        self.stage = Label("", TITLE, bold=True)
        self.target = Label("", LEAD, wrap=True)
        self.doing = Label("", wrap=True)
        self.clock = Label("", HUGE)
        self.to_go = Label("", role="quiet")
        self.ends = Label("")
        self.head = Label("", bold=True, wrap=True)
        self.says = Label("", wrap=True)
        self.next_head = Label("", wrap=True)
        self.next_gate = Label("", role="quiet", wrap=True)
        self.mark = Triangle()
        self.end = Button("", MAIN)
        self.end.clicked.connect(self.end_asked)
        self.finish.turned.connect(self._on_finishing)
        self._build()

    # Build

    def _build(self) -> None:
        self._gaps: list[tuple[QSpacerItem, int]] = []
        self._inner = inner = QWidget()
        column = QVBoxLayout(inner)
        column.setContentsMargins(8 * STEP, 4 * STEP, 6 * STEP, STEP)
        column.setSpacing(STEP)
        column.addWidget(self.code)
        column.addLayout(self._heading())
        column.addWidget(self.doing)
        self._gap(column, 2)
        column.addWidget(self._clock_row())
        self._gap(column, 3)
        column.addWidget(Hairline())
        self._gap(column, 3)
        column.addWidget(self.entry)
        self._gap(column, 3)
        column.addWidget(self.readings)
        self._gap(column, 4)
        column.addWidget(Hairline())
        self._gap(column, 4)
        column.addWidget(self._advice())
        self._gap(column, 2)
        column.addWidget(self._next())
        column.addWidget(self.finish)
        column.addStretch(1)
        self._scroll = scroll = QScrollArea()
        quieten(scroll)
        scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(inner)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 5 * STEP)
        outer.setSpacing(STEP)
        outer.addWidget(scroll, 1)
        foot = QHBoxLayout()
        foot.setContentsMargins(8 * STEP, 0, 6 * STEP, 0)
        foot.addWidget(self.end)
        outer.addLayout(foot)

    def _heading(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(4 * STEP)
        row.addWidget(self.stage, 0, Qt.AlignmentFlag.AlignBaseline)
        row.addWidget(self.target, 1, Qt.AlignmentFlag.AlignBaseline)
        return row

    def _clock_row(self) -> QWidget:
        self._clock_box = QWidget()
        grid = QGridLayout(self._clock_box)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(5 * STEP)
        grid.setVerticalSpacing(STEP)
        grid.addWidget(self.clock, 0, 0, 2, 1, Qt.AlignmentFlag.AlignVCenter)
        grid.addWidget(self.to_go, 0, 1, Qt.AlignmentFlag.AlignBottom)
        grid.addWidget(self.ends, 1, 1, Qt.AlignmentFlag.AlignTop)
        grid.setColumnStretch(1, 1)
        self.clock.setFixedHeight(18 * STEP)
        return self._clock_box

    def _advice(self) -> QWidget:
        self._advice_box = QWidget()
        grid = QGridLayout(self._advice_box)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(2 * STEP)
        grid.setVerticalSpacing(STEP)
        grid.addWidget(self.mark, 0, 0)
        grid.addWidget(self.head, 0, 1)
        grid.addWidget(self.says, 1, 0, 1, 2)
        grid.setColumnStretch(1, 1)
        return self._advice_box

    def _next(self) -> QWidget:
        self._next_box = QWidget()
        grid = QGridLayout(self._next_box)
        grid.setContentsMargins(0, STEP, 0, 0)
        grid.setHorizontalSpacing(5 * STEP)
        grid.setVerticalSpacing(0)
        grid.addWidget(Label("Next", role="quiet"), 0, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(self.next_head, 0, 1)
        grid.addWidget(self.next_gate, 1, 1)
        grid.setColumnStretch(1, 1)
        return self._next_box

    def _gap(self, column: QVBoxLayout, steps: int) -> None:
        """Room that gives way where the window is low."""
        policy = QSizePolicy.Policy
        spacer = QSpacerItem(0, steps * STEP, policy.Minimum, policy.Fixed)
        self._gaps.append((spacer, steps * STEP))
        column.addSpacerItem(spacer)

    def _fit(self) -> None:
        """Take from the gaps what the window lacks."""
        column = self._inner.layout()
        self._set_gaps(1.0)
        view = self._scroll.viewport()
        lacking = column.heightForWidth(view.width()) - view.height()
        if lacking > 0:
            self._set_gaps(max(0.0, 1.0 - lacking / sum(full for _, full in self._gaps)))

    def _set_gaps(self, share: float) -> None:
        policy = QSizePolicy.Policy
        for spacer, full in self._gaps:
            spacer.changeSize(0, int(full * share), policy.Minimum, policy.Fixed)
        self._inner.layout().invalidate()

    # Fill

    def show_day(self, day: Day, last: list[Reading]) -> None:
        """Show a make at a moment with its last readings."""
        make = day.whole.make
        self.code.setText(f"{make.code} · {make.name}, {write(make.milk.litres, 'volume')}")
        self.readings.show_readings(last, make.zone)
        for kind in ("milk-temp", self.entry.acid_kind):
            trace = day.whole.trace(kind).sound()
            self.entry.show_last(kind, f"{trace.value[-1]:.{2 if 'ph' in kind else 1}f}"
                                 if len(trace) else "")  # fmt: skip
        running = day.standing.stage is not None
        for part in (self._clock_box, self._next_box, self._advice_box):
            part.setVisible(running)
        for part in (self.entry, self.readings):
            part.setVisible(True)
        if running:
            self._show_stage(day)
        else:
            self._show_over(day)
        self.finish.show_for(day)
        if self.finish.asking:
            self._on_finishing(True)
        self._fit()

    def _on_finishing(self, on: bool) -> None:
        """The weights have the page to themselves while they are asked for."""
        for part in (self.entry, self.readings, self._next_box):
            part.setVisible(not on)
        if on:
            self._advice_box.hide()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def tick(self, day: Day) -> None:
        """The clock, every second."""
        ends = day.standing.ends_ms
        if ends is None:
            return
        figures, what = to_go(ends, day.now_ms)
        self.clock.setText(figures)
        over = what == "over"
        self.to_go.setText(f"▲ {what}" if over else what)
        self.to_go.set_role("attention" if over else "quiet")
        self.ends.setText(ends_words(ends, day.now_ms, day.whole.make.zone))

    def _show_stage(self, day: Day) -> None:
        standing, place = day.standing, day.standing.place
        stage = standing.stage
        before = day.whole.plan.stages[place - 1].target_c if place else day.whole.plan.milk_c
        self.stage.setText(stage.label.capitalize())
        self.target.setText(target_words(stage, before))
        must = gate_now(day.whole.plan, place)
        doing = doing_words(stage, day.whole.make.milk.litres)
        words = "; ".join(p for p in (doing, must) if p)
        self.doing.setText(words[:1].upper() + words[1:])
        self.doing.setVisible(bool(self.doing.text()))
        head, rest, attention = advice_words(standing.advice, stage.corridor_c)
        self.head.setText(head)
        self.says.setText(rest)
        self.says.setVisible(bool(rest))
        self.mark.setVisible(attention)
        self._advice_box.setVisible(bool(head))
        following, gate = next_words(standing.next_stage)
        self.next_head.setText(following)
        self.next_gate.setText(gate)
        self.next_gate.setVisible(bool(gate))
        last = standing.next_stage is None
        words = "Finish the make" if last else f"End the {stage.label}"
        self.end.set_words(words, "Ctrl ⏎")
        self.end.setVisible(True)
        self.tick(day)

    def _show_over(self, day: Day) -> None:
        make = day.whole.make
        over = make.finished_ms is not None
        self.stage.setText("Finished" if over else "Every stage is over")
        self.target.setText(_date(make.finished_ms, make.zone) if over else "")
        self.doing.setText("A late reading still goes in: Ctrl+T and its time, then the value.")
        self.doing.setVisible(over)
        self.end.setVisible(not over)
        self.end.set_words("Finish the make", "Ctrl ⏎")


def _date(at_ms: int, zone: str) -> str:
    when = local(at_ms, zone)
    return f"{when.day} {when:%B}, {when:%H:%M}"
