"""The blind sheet: the code in huge type, who tastes, and what they give it."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout

from journal.desk.buttons import FAINT, Button
from journal.desk.labels import Hairline, Label
from journal.desk.tastings.marks import MarkSheet
from journal.desk.theme import HUGE, LEAD, STEP

HIDDEN = "what it is stays hidden until all have finished"


class BlindSheet(MarkSheet):
    """Everything one assessor gives one code."""

    def __init__(self) -> None:
        self.where = Label("", role="quiet")
        self.code = Label("", HUGE)
        self.who = Label("", LEAD)
        self.hidden = Label(HIDDEN, role="quiet", wrap=True)
        self.hidden.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        super().__init__(Button("Reveal", FAINT, "F9"))

    def head(self) -> QVBoxLayout:
        beside = QVBoxLayout()
        beside.setSpacing(0)
        beside.addStretch(1)
        beside.addWidget(self.who)
        beside.addWidget(self.hidden)
        beside.addStretch(1)
        row = QHBoxLayout()
        row.setSpacing(6 * STEP)
        row.addWidget(self.code)
        row.addLayout(beside, 1)
        head = QVBoxLayout()
        head.setContentsMargins(8 * STEP, 0, 8 * STEP, 0)
        head.setSpacing(0)
        head.addWidget(self.where)
        head.addLayout(row)
        head.addSpacing(STEP)
        head.addWidget(Hairline())
        return head

    def show_serving(self, where: str, code: str, who: str) -> None:
        """Say which sample of which session, and who tastes it."""
        self.where.setText(where)
        self.code.setText(code)
        self.code.setAccessibleName(f"Code {' '.join(code)}" if code.isdigit() else code)
        self.who.setText(f"{who} is tasting")
