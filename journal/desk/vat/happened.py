"""What happened in the day, the caution where the acid was slow, and what the plan warns of."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from journal.curves.slow_acid import CAUTION
from journal.curves.snapshot import MakeSnapshot
from journal.desk.buttons import Button
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Hairline, Label
from journal.desk.layouts import in_column
from journal.desk.scrollbars import scrolled
from journal.desk.theme import STEP
from journal.wording import text_of, worded
from journal.wording.dates import clock
from journal.wording.makes import day_notes
from journal.wording.vat_day import event_time_words

_NOTHING = "Everything has gone as planned so far."
_AROUND = 54 * STEP  # title and foot
_WIDE, _HIGH_MOST = 150 * STEP, 110 * STEP  # no higher than its words, longer lists are scrolled


class Happened(FramedDialog):
    """Lists the day's events with their times, the latest first."""

    help_topic = "vat/Looking ahead"

    def __init__(self, day: MakeSnapshot, parent: QWidget) -> None:
        super().__init__("What happened", parent)
        self.heading.setText(worded("desk.what-happened", code=day.whole.make.code))
        self.rows = rows_of(day)
        inner = QWidget()
        column = in_column(_table(self.rows), of=inner, margins=2 * STEP, gap=3 * STEP)
        if not self.rows and not day.ahead.slow:
            column.addWidget(Label(_NOTHING, role="quiet", wrap=True))
        if day.ahead.slow:
            column.addWidget(Hairline())
            slow = f"▲ {text_of(day.ahead.slow)}"
            column.addWidget(Label(slow, bold=True, role="attention", wrap=True))
            column.addWidget(Label(text_of(CAUTION), wrap=True))
        if day.whole.plan.caution:
            column.addWidget(Hairline())
            column.addWidget(Label("Warnings in the plan", bold=True))
            column.addWidget(Label(day.whole.plan.caution, wrap=True))
        column.addStretch(1)
        close = Button("Close", key="Esc")
        close.clicked.connect(self.close)
        self.arrange(scrolled(inner, by_keys=True), acts=(close,))
        needed = column.heightForWidth(_WIDE - 20 * STEP) + _AROUND
        self.resize(_WIDE, min(needed, _HIGH_MOST))


def rows_of(day: MakeSnapshot) -> list[tuple[str, str]]:
    """When and what strayed or was noted, the latest first; slow acid has its own place below."""
    zone = day.whole.make.zone
    found = [
        (e.since_ms, event_time_words(e, zone), text_of(e.message))
        for e in day.ahead.events
        if e.kind != "slow acid"
    ]
    found += [(at_ms, clock(at_ms, zone), words) for at_ms, words in day_notes(day.whole)]
    return [(when, what) for _, when, what in sorted(found, reverse=True)]


def _table(rows: list[tuple[str, str]]) -> QGridLayout:
    grid = QGridLayout()
    grid.setHorizontalSpacing(5 * STEP)
    grid.setVerticalSpacing(2 * STEP)
    grid.setColumnStretch(1, 1)
    for index, (when, what) in enumerate(rows):
        grid.addWidget(Label(when, role="quiet"), index, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(Label(what, wrap=True), index, 1)
    return grid
