"""Findings of a table that is no journal, on a page of its own: nothing of it is saved."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.desk import dialogs
from journal.desk.buttons import FAINT, Button
from journal.desk.commands import bind
from journal.desk.findings.asking import WhatIf
from journal.desk.findings.picture import Picture
from journal.desk.findings.ranges import Ranges
from journal.desk.form.choice import ask_menu
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Label
from journal.desk.place import Desk
from journal.desk.theme import LEAD, SMALL, STEP
from journal.exchange import ExchangeError
from journal.findings import Finding, FindingError
from journal.reports.foreign_study import ForeignStudy, study_foreign
from journal.wording import text_of, worded
from journal.wording.effects import footnotes, looked_words
from journal.wording.findings import doubt, study_headline
from journal.wording.keys import with_keys

WORK = "findings of a table"
_LEAST, _SHARE = QSize(840, 560), 0.96
_NOTHING_SAVED = (
    "The table is read, and nothing of it is saved. Past makes are imported with {key:bring_makes}."
)


def ask_table(window: QWidget, desk: Desk) -> None:
    """Ask for a table and open the page of its findings."""
    path = dialogs.ask_open(window, "Findings of a table", dialogs.TABLES)
    if path:
        TableFindings(window, desk, path).open()


class TableFindings(FramedDialog):
    """What goes with a column of a table: left the dots and ranges, right the picture."""

    help_topic = "findings/More"

    def __init__(self, window: QWidget, desk: Desk, path: str) -> None:
        super().__init__(worded("desk.findings-of-file", file=Path(path).name), window)
        self._desk, self._path = desk, path
        self.found: ForeignStudy | None = None
        self.score = Button("", FAINT, "choose")
        self.score.clicked.connect(self.choose_score)
        self.headline = Label("", LEAD, bold=True, wrap=True)
        self.looked = Label("", role="quiet", wrap=True)
        self.doubt = Label("", wrap=True)
        self.table = Ranges()
        self.notes = Label("", SMALL, role="quiet", wrap=True)
        self.picture, self.what_if = Picture(), WhatIf()
        self.away = Button("Close", FAINT, "Esc")
        self.away.clicked.connect(self.reject)
        self.table.picked.connect(self._on_picked)
        self.picture.moved.connect(self.what_if.take)
        self.what_if.asked.connect(self.picture.ask_at)
        self.what_if.stepped.connect(self.picture.step_mark)
        bind("choose", self, self.choose_score)
        body = QHBoxLayout()
        body.setSpacing(8 * STEP)
        self._left, self._right = self._findings(), self._beside()
        body.addWidget(self._left, 11)
        body.addWidget(self._right, 9)
        saved = Label(with_keys(_NOTHING_SAVED), SMALL, role="quiet", wrap=True)
        self.arrange(body, acts=(self.away,), message=saved, beside=self.score)
        self.setMinimumSize(_LEAST)
        self.resize((window.size() * _SHARE).expandedTo(_LEAST))
        self.finished.connect(self._on_finished)
        self.look("")

    def _findings(self) -> QWidget:
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2 * STEP)
        for part in (self.headline, self.looked, self.doubt):
            column.addWidget(part)
        column.addWidget(self.table, 1000)
        column.addWidget(self.table.axis)
        column.addWidget(self.notes)
        column.addStretch(1)
        return left

    def _beside(self) -> QWidget:
        right = QWidget()
        column = QVBoxLayout(right)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2 * STEP)
        column.addWidget(self.picture, 1)
        column.addWidget(self.what_if)
        return right

    def look(self, score: str) -> None:
        """Study a column; "" takes the likeliest."""
        self.headline.setText("Reading the table…")
        for part in (self.table, self.table.axis, self._right):
            part.setVisible(False)
        task = self._desk.work.start(WORK, study_foreign, self._path, score)
        task.finished.connect(self._on_found)
        task.failed.connect(self._on_failed)

    def choose_score(self) -> None:
        """Offer the columns that can be asked about."""
        if self.found is not None:
            options = [(name, name) for name in self.found.scores]
            ask_menu(self.score, "What is asked about", options,
                     self.found.answer.study.score, self.look)  # fmt: skip

    def _on_found(self, found: ForeignStudy) -> None:
        self.found = found
        answer = found.answer
        self.score.set_label(worded("desk.what-goes-with", score=answer.study.score), "choose")
        self.headline.setText(study_headline(answer.study))
        self.looked.setText(looked_words(answer))
        self.doubt.setText(doubt(answer.study))
        self.notes.setText("\n".join(footnotes(answer)))
        for part in (self.table, self.table.axis, self._right):
            part.setVisible(True)
        self.table.show_findings(answer.study.findings, "in its unit")
        self.table.setFocus()

    def _on_picked(self, finding: Finding) -> None:
        if self.found is None:
            return
        answer = self.found.answer
        rows = answer.rows_of(finding.variable)
        self.picture.show_variable(answer, finding.variable, int(rows[-1]) if len(rows) else -1)
        self.what_if.show_finding(answer, finding)

    def _on_failed(self, error: Exception) -> None:
        if not isinstance(error, FindingError | ExchangeError | OSError):
            raise error
        self.headline.setText("Nothing can be said of this table.")
        self.doubt.setText(text_of(error))

    def _on_finished(self) -> None:
        self._desk.work.stop(WORK)
