"""What a wheel got, as a profile of its attributes or over its months: one of the two is shown."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.desk.buttons import WordButton
from journal.desk.charts.profile import ProfileChart
from journal.desk.labels import Label
from journal.desk.tastings.months import AgeScore, MonthDots
from journal.desk.theme import SMALL
from journal.reports.profile import Profile

_MONTHS, _PROFILE = "Show the months", "Show the profile"


class ScoresShown(QWidget):
    """Shows the profile first, unless `months_first`; a press on the words turns to the other."""

    def __init__(self, *, months_first: bool = False) -> None:
        super().__init__()
        self.months, self.profile = MonthDots(), ProfileChart()
        self.turn = WordButton("", size=SMALL)
        self.turn.clicked.connect(self._on_turn)
        self._by_months = months_first
        self.title = Label("", role="quiet")
        head = QHBoxLayout()
        head.addWidget(self.title)
        head.addStretch(1)
        head.addWidget(self.turn)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(head)
        column.addWidget(self.months, 1)
        column.addWidget(self.profile)
        column.addStretch(0)
        self.show_scores((), None)

    def show_scores(self, scores: Sequence[AgeScore], profile: Profile | None) -> None:
        """Show what a wheel got; without a profile only the months."""
        self.months.show_scores(scores)
        self.profile.show_profile(profile)
        self._scored = bool(scores)
        self._show()
        self.setVisible(self._scored or bool(self.title.text()))

    def _show(self) -> None:
        there = self.profile.profile is not None
        self.turn.setVisible(there)
        self.turn.setText(_PROFILE if self._by_months else _MONTHS)
        self.months.setVisible(self._scored and (self._by_months or not there))
        self.profile.setVisible(there and not self._by_months)

    def _on_turn(self) -> None:
        self._by_months = not self._by_months
        self._show()
