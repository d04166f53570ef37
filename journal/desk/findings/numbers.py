"""One variable on its own and beside all others, side by side."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from journal.desk.labels import Label
from journal.desk.layouts import in_column
from journal.desk.theme import SMALL, STEP
from journal.findings import Finding
from journal.wording import worded
from journal.wording.effects import beside, settle_words
from journal.wording.languages import translated


class NumberTable(QWidget):
    """Three rows of numbers under two headings, and what they come to in words."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(translated("Alone and with all the others"))
        self.words = [[Label("", role="quiet"), Label(), Label()] for _ in range(3)]
        self.message = Label("", wrap=True)
        self.notes = Label("", SMALL, role="quiet", wrap=True)
        grid = QGridLayout()
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(6 * STEP)
        grid.setVerticalSpacing(STEP)
        for index, title in enumerate(("", "alone", "with all the others")):
            grid.addWidget(Label(title, SMALL, role="quiet"), 0, index)
        for row, labels in enumerate(self.words):
            for index, label in enumerate(labels):
                grid.addWidget(label, row + 1, index, Qt.AlignmentFlag.AlignLeft)
        grid.setColumnStretch(2, 1)
        in_column(grid, self.message, self.notes, of=self, margins=0, gap=2 * STEP)

    def show_finding(self, finding: Finding, notes: str) -> None:
        """Show the numbers of a finding."""
        rows = beside(finding)
        for labels, texts in zip(self.words, rows, strict=True):
            for label, text in zip(labels, texts, strict=True):
                label.setText(text)
        lines = [
            worded("desk.alone-and-joint", what=what, own=own, joint=joint)
            for what, own, joint in rows
        ]
        self.setAccessibleDescription("; ".join(lines))
        self.message.setText(settle_words(finding))
        self.message.setVisible(bool(self.message.text()))
        self.notes.setText(notes)
        self.notes.setVisible(bool(notes))
