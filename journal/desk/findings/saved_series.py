"""A series that stands: left its makes and what is next, right what it says so far."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QWidget

from journal.desk.buttons import FAINT, MAIN, PLAIN, Button
from journal.desk.findings.ranges import Ranges
from journal.desk.findings.series_chart import SeriesChart
from journal.desk.findings.series_set import SetTable, inset
from journal.desk.labels import Label
from journal.desk.layouts import in_column, in_row
from journal.desk.theme import LEAD, SMALL, STEP, TITLE
from journal.findings.series import Design
from journal.findings.series_answer import SeriesAnswer
from journal.keeping.series import SeriesWithMakes
from journal.wording import worded
from journal.wording.languages import translated
from journal.wording.letters import capital
from journal.wording.series_answer import as_findings, notes, series_headline, set_rows, state_words


class SeriesPage(QWidget):
    """The makes of a series, and the keys to go on with it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kind = Label("", role="quiet")
        self.title = Label("", TITLE, bold=True, wrap=True)
        self.state = Label("", wrap=True)
        self.table = SetTable("Makes of the series", saved=True)
        self.plan_next = Button("", MAIN, "main")
        self.fresh = Button("New series", PLAIN, "new_here")
        self.other = Button("Next series", PLAIN, "next")
        self.away = Button("Delete", FAINT, "delete_line")
        self.back = Button("Back", FAINT, "Esc")
        column = in_column(of=self, margins=(5 * STEP, 4 * STEP, 5 * STEP, 4 * STEP), gap=2 * STEP)
        for widget in (self.kind, self.title, self.state):
            column.addLayout(inset(widget))
        column.addWidget(self.table, 1000)
        column.addSpacing(STEP)
        column.addLayout(self._acts((self.plan_next, self.fresh, self.other)))
        column.addLayout(self._acts((self.away, self.back)))
        column.addStretch(1)
        self.setFocusProxy(self.table)

    def _acts(self, buttons: tuple[Button, ...]) -> QHBoxLayout:
        return in_row(*buttons, None, margins=(3 * STEP, 0, 3 * STEP, 0), gap=3 * STEP)

    def show_series(
        self,
        full_series: SeriesWithMakes,
        planned: Design,
        answer: SeriesAnswer | None,
        plan: str,
        others: bool,
    ) -> None:
        """Show a series with what its makes scored."""
        name = full_series.series.name
        self.kind.setText(worded("desk.series-of", plan=plan, kind=full_series.series.kind))
        self.title.setText(capital(name))
        self.state.setText(state_words(full_series))
        rows = set_rows(full_series, planned, answer)
        self.table.show_set(planned.factors, rows, seasons=len(planned.parts) > 1)
        self.table.setAccessibleDescription(self.state.text())
        self.plan_next.setVisible(full_series.next is not None)
        self.other.setVisible(others)
        if full_series.next is not None:
            self.plan_next.set_label(
                worded("desk.plan-make", number=full_series.next.one.position + 1), "main"
            )


class _Effects(Ranges):
    """The dots and ranges of a series: a step goes from low to high, and is long to say."""

    shares = (0.26, 0.34)


class SeriesBeside(QWidget):
    """What the series says so far: dots and ranges, the picture, and what to bear in mind."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.score = Button("the overall score", FAINT, "choose")
        self.headline = Label("", LEAD, bold=True, wrap=True)
        self.table = _Effects()
        self.table.setAccessibleName(translated("Effects of the series"))
        self.chart = SeriesChart()
        self.notes = Label("", SMALL, wrap=True)
        ask = in_row(
            Label("What the series says about", role="quiet"), self.score, None, gap=2 * STEP
        )
        ask.setContentsMargins(3 * STEP, 0, 3 * STEP, 0)
        in_column(
            ask,
            inset(self.headline),
            self.table,
            self.table.axis,
            (self.chart, 1000),
            inset(self.notes),
            None,
            of=self,
            margins=(5 * STEP, 4 * STEP, 5 * STEP, 4 * STEP),
            gap=2 * STEP,
        )

    def show_waiting(self, sentence: str) -> None:
        """Show that nothing can be read yet, and why."""
        self.headline.setText(sentence)
        self.notes.setText("")
        for widget in (self.table, self.table.axis, self.chart):
            widget.setVisible(False)

    def show_answer(
        self, full_series: SeriesWithMakes, planned: Design, answer: SeriesAnswer, score: str
    ) -> None:
        """Show what is known."""
        self.headline.setText(series_headline(answer, score))
        self.notes.setText("\n".join(notes(full_series, planned, answer)))
        findings = as_findings(planned, answer, full_series.series.variables)
        self.table.show_findings(findings)
        self.table.setMinimumHeight(self.table.maximumHeight())
        for widget in (self.table, self.table.axis):
            widget.setVisible(bool(findings))
        self.chart.setVisible(answer.scored > 0)
        codes = [one.make.code if one.make is not None else "" for one in full_series.makes]
        self.chart.show_series(planned, answer, codes)
        self.chart.setAccessibleName(worded("desk.series-scores", score=score))
