"""The blind sheet: the code in huge type, who tastes, and what they give it."""

from __future__ import annotations

from PySide6.QtWidgets import QSizePolicy, QVBoxLayout

from journal.desk.buttons import FAINT, Button
from journal.desk.labels import Hairline, Label
from journal.desk.layouts import in_column, in_row
from journal.desk.tastings.marks import MarkSheet
from journal.desk.theme import HUGE, LEAD, STEP
from journal.wording import worded

HIDDEN = "what it is stays hidden until all have finished"


class BlindSheet(MarkSheet):
    """Everything one assessor gives one code."""

    def __init__(self) -> None:
        self.where = Label("", role="quiet")
        self.code = Label("", HUGE)
        self.who = Label("", LEAD)
        self.hidden = Label(HIDDEN, role="quiet", wrap=True)
        self.hidden.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        super().__init__(Button("Reveal", FAINT, "lift"))

    def head(self) -> QVBoxLayout:
        beside = in_column(None, self.who, self.hidden, None, gap=0)
        row = in_row(self.code, (beside, 1), gap=6 * STEP)
        return in_column(
            self.where, row, STEP, Hairline(), margins=(8 * STEP, 0, 8 * STEP, 0), gap=0
        )

    def show_serving(self, where: str, code: str, who: str) -> None:
        """Say which sample of which session, and who tastes it."""
        self.where.setText(where)
        self.code.setText(code)
        self.code.setAccessibleName(
            worded("desk.code-is", code=" ".join(code)) if code.isdigit() else code
        )
        self.who.setText(worded("desk.is-tasting", who=who))
