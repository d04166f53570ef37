"""What a wheel got, as a profile of its attributes or over its months: one of the two is shown."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.desk.buttons import WordButton
from journal.desk.charts.profile import ProfileChart
from journal.desk.labels import Label
from journal.desk.tastings.months import AgeScore, MonthDots
from journal.desk.theme import SMALL
from journal.reports.profile import Profile

_MONTHS, _PROFILE = "Show the months", "Show the profile"


class ScoresShown(QWidget):
    """Shows the profile first, unless `months_first`; a press on the words turns to the other.
    Either is read and built when it is first shown."""

    def __init__(self, *, months_first: bool = False) -> None:
        super().__init__()
        self.turn = WordButton("", size=SMALL)
        self.turn.clicked.connect(self._on_turn)
        self._by_months = months_first
        self._scores: Sequence[AgeScore] = ()
        self._read: Callable[[], Profile | None] | None = None
        self.title = Label("", role="quiet")
        head = QHBoxLayout()
        head.addWidget(self.title)
        head.addStretch(1)
        head.addWidget(self.turn)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addLayout(head)
        self._column.addStretch(0)
        self.show_scores((), None)

    @cached_property
    def months(self) -> MonthDots:
        """The scores over the months."""
        made = MonthDots(self)
        self._column.insertWidget(1, made, 1)
        made.show_scores(self._scores)
        return made

    @cached_property
    def profile(self) -> ProfileChart:
        """The profile of the attributes."""
        made = ProfileChart(self)
        self._column.insertWidget(self._column.count() - 1, made)
        return made

    def show_scores(
        self, scores: Sequence[AgeScore], profile: Callable[[], Profile | None] | None
    ) -> None:
        """Show what a wheel got; `profile` reads its profile, without it there are only months."""
        self._scores, self._read = scores, profile
        if "months" in self.__dict__:
            self.months.show_scores(scores)
        self._show()
        self.setVisible(bool(scores or self.title.text()))

    def _show(self) -> None:
        read = self._read if self._scores else None
        found = read() if read is not None and not self._by_months else None
        self.turn.setVisible(found is not None or (read is not None and self._by_months))
        self.turn.setText(_PROFILE if self._by_months else _MONTHS)
        if "profile" in self.__dict__ or found is not None:
            self.profile.show_profile(found)
            self.profile.setVisible(found is not None)
        as_months = bool(self._scores) and found is None
        if "months" in self.__dict__ or as_months:
            self.months.setVisible(as_months)

    def _on_turn(self) -> None:
        self._by_months = not self._by_months
        self._show()
