"""What happened in the day, the caution where the acid was slow, and what the plan warns of."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from journal.curves.slow_acid import CAUTION
from journal.curves.snapshot import MakeSnapshot
from journal.desk.asked_help import bind_help
from journal.desk.form.frame import FittedDialog
from journal.desk.labels import Hairline, Label
from journal.desk.layouts import in_column
from journal.desk.scrollbars import scrolled
from journal.desk.theme import LEAD, SMALL, STEP
from journal.wording import text_of, worded
from journal.wording.dates import clock
from journal.wording.makes import day_words
from journal.wording.vat_day import spell_words

_NOTHING = "Everything has gone as planned so far."
_WIDE, _HIGH_MOST = 150 * STEP, 110 * STEP  # no higher than its words, longer lists are scrolled


class Happened(FittedDialog):
    """Lists the day's events with their times, the latest first."""

    def __init__(self, day: MakeSnapshot, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        bind_help(self, "vat/Looking ahead")
        self.setWindowTitle("What happened")
        self.rows = rows_of(day)
        self._build(day)
        needed = self._column.heightForWidth(_WIDE)
        self.resize(_WIDE, min(needed, _HIGH_MOST))

    def _build(self, day: MakeSnapshot) -> None:
        inner = QWidget()
        self._column = column = in_column(
            Label(worded("desk.what-happened", code=day.whole.make.code), LEAD, bold=True),
            _table(self.rows),
            of=inner,
            margins=(8 * STEP, 6 * STEP, 8 * STEP, 6 * STEP),
            gap=3 * STEP,
        )
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
        column.addWidget(Hairline())
        column.addWidget(Label("Esc closes this.", SMALL, role="quiet"))
        column.addStretch(1)
        in_column(scrolled(inner, by_keys=True), of=self, margins=0)


def rows_of(day: MakeSnapshot) -> list[tuple[str, str]]:
    """When and what strayed or was noted, the latest first; slow acid has its own place below."""
    zone = day.whole.make.zone
    found = [
        (e.since_ms, spell_words(e, zone), text_of(e.message))
        for e in day.ahead.events
        if e.kind != "slow acid"
    ]
    found += [(at_ms, clock(at_ms, zone), words) for at_ms, words in day_words(day.whole)]
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
