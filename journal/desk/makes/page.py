"""The right page of Makes: the selected make, its curve, its wheels and notes."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from journal.curves.day import last_reading_min
from journal.curves.deviation import deviation
from journal.desk.buttons import WordButton
from journal.desk.labels import Hairline, Label, plain_tip
from journal.desk.layouts import in_column, in_row
from journal.desk.makes.chart import MakeChart
from journal.desk.theme import SMALL, STEP, TITLE
from journal.desk.why.command import why_label
from journal.records.whole import WholeMake
from journal.wording import worded
from journal.wording.languages import translated
from journal.wording.makes import (
    joined,
    make_heading,
    make_state_words,
    note_lines,
    shortened,
    strayed_words,
    wheel_scores,
    wheel_weight,
)
from journal.wording.outcomes import outcome_lines

NOTES_MOST = 360  # characters; the whole is said on hover
WHEELS_MOST = 4


class MakePage(QWidget):
    """Shows one whole make."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.code = Label("", TITLE, bold=True)
        self.state = Label("", role="attention")
        self.outcome = Label("", role="attention", wrap=True)
        self.heading = Label("", role="quiet", wrap=True)
        self.strayed = Label("", wrap=True)
        self.chart = MakeChart()
        self.notes = Label("", role="quiet", wrap=True)
        self.notes.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.notes_head = Label("notes", SMALL, role="quiet")
        self.why = WordButton(why_label(), size=SMALL)
        self._wheels = QGridLayout()
        self._wheel_words: list[Label] = []
        self._build()

    def _build(self) -> None:
        top = in_row(
            self.code,
            (self.state, 0, Qt.AlignmentFlag.AlignVCenter),
            None,
            (self.why, 0, Qt.AlignmentFlag.AlignVCenter),
            gap=3 * STEP,
        )
        head = in_column(
            top,
            self.outcome,
            self.heading,
            STEP,
            self.strayed,
            margins=(8 * STEP, 5 * STEP, 8 * STEP, 0),
            gap=STEP,
        )
        self.foot = self._foot()
        self.rule = Hairline()
        in_column(head, (self.chart, 1), self.rule, self.foot, of=self, margins=0, gap=STEP)

    def _foot(self) -> QWidget:
        inner = QWidget()
        inner.setAccessibleName(translated("Wheels and notes"))
        self._wheels.setHorizontalSpacing(6 * STEP)
        self._wheels.setVerticalSpacing(STEP)
        row = in_row(self._wheels, None)
        in_column(
            row,
            STEP,
            self.notes_head,
            self.notes,
            of=inner,
            margins=(8 * STEP, 2 * STEP, 8 * STEP, 3 * STEP),
            gap=STEP,
        )
        return inner

    def show_make(self, whole: WholeMake | None) -> None:
        """Show this make; None empties the page."""
        self.setUpdatesEnabled(False)  # it is drawn once, when all of it stands
        try:
            self._fill(whole)
        finally:
            self.setUpdatesEnabled(True)

    def _fill(self, whole: WholeMake | None) -> None:
        for part in (self.foot, self.rule):
            part.setVisible(whole is not None)
        self.why.setVisible(whole is not None and bool(whole.wheels))
        self.outcome.hide()
        if whole is None:
            for label in (self.code, self.state, self.heading, self.strayed):
                label.setText("")
            self.chart.show_make(None)
            return
        running = whole.make.running
        found = deviation(whole, "day", last_reading_min(whole) if running else None)
        self.code.setText(whole.make.code)
        self._show_state(whole)
        self.heading.setText(make_heading(whole))
        self.strayed.setText(strayed_words(whole, found))
        self._show_wheels(whole)
        lines = note_lines(whole)
        self.notes_head.setVisible(bool(lines))
        self.notes.setVisible(bool(lines))
        whole_text = joined(lines)
        self.notes.setText(shortened(whole_text, NOTES_MOST))
        self.notes.setToolTip(plain_tip(whole_text))
        self.notes.setAccessibleDescription(whole_text)
        layout = self.layout()
        if layout is not None:
            layout.activate()  # the chart has its room before it is drawn: so it is drawn once
        self.chart.show_make(whole, self.strayed.text())

    def _show_state(self, whole: WholeMake) -> None:
        state, bad = (
            make_state_words(whole.make, whole.verdict),
            whole.make.failed or whole.verdict is not None,
        )
        self.state.set_role("attention" if bad else "quiet")
        self.state.setText(f"▲ {state}" if bad else state)
        lines = outcome_lines(whole)
        self.outcome.setText("\n".join(lines))
        self.outcome.setVisible(bool(lines))

    def _show_wheels(self, whole: WholeMake) -> None:
        for old in self._wheel_words:
            self._wheels.removeWidget(old)
            old.hide()
            old.deleteLater()
        self._wheel_words = []
        if not whole.wheels:
            words = "no wheels yet" if whole.make.finished_ms is None else "no wheels"
            self._put(Label(words, SMALL, role="quiet"), 0, 0)
            return
        for column, title in enumerate(("wheel", "green → now", "overall score")):
            self._put(Label(title, SMALL, role="quiet"), 0, column)
        for row, wheel in enumerate(whole.wheels[:WHEELS_MOST], start=1):
            gone = f"  {wheel.gone_why}" if wheel.gone_ms is not None else ""
            self._put(Label(f"{wheel.code}{gone}"), row, 0)
            self._put(Label(wheel_weight(whole, wheel), right=True), row, 1)
            self._put(Label(wheel_scores(whole, wheel) or worded("desk.not-tasted")), row, 2)
        more = len(whole.wheels) - WHEELS_MOST
        if more > 0:
            self._put(Label(worded("desk.and-more", more=more), role="quiet"), WHEELS_MOST + 1, 0)

    def _put(self, label: Label, row: int, column: int) -> None:
        self._wheels.addWidget(label, row, column)
        self._wheel_words.append(label)
        label.show()
