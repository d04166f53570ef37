"""What a wheel got, as a profile of its attributes or over its months: one of the two is shown."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QWidget

from journal.desk.buttons import WordButton
from journal.desk.charts.profile import ProfileChart
from journal.desk.labels import Label
from journal.desk.late import OnDemand
from journal.desk.layouts import in_column, in_row
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
        self.months = OnDemand(self._made_months)
        self.profile = OnDemand(self._made_profile)
        self._months_at, self._profile_at = in_column(margins=0), in_column(margins=0)
        head = in_row(self.title, None, self.turn)
        column = in_column(head, (self._months_at, 1), self._profile_at, of=self, margins=0, gap=0)
        column.addStretch(0)
        self.show_scores((), None)

    def _made_months(self) -> MonthDots:
        made = MonthDots(self)
        self._months_at.addWidget(made)
        made.show_scores(self._scores)
        return made

    def _made_profile(self) -> ProfileChart:
        made = ProfileChart(self)
        self._profile_at.addWidget(made)
        return made

    def show_scores(
        self, scores: Sequence[AgeScore], profile: Callable[[], Profile | None] | None
    ) -> None:
        """Show what a wheel got; `profile` reads its profile, without it there are only months."""
        self._scores, self._read = scores, profile
        if self.months.part is not None:
            self.months.part.show_scores(scores)
        self._show()
        self.setVisible(bool(scores or self.title.text()))

    def _show(self) -> None:
        read = self._read if self._scores else None
        found = read() if read is not None and not self._by_months else None
        self.turn.setVisible(found is not None or (read is not None and self._by_months))
        self.turn.setText(_PROFILE if self._by_months else _MONTHS)
        profile = self.profile.part if found is None else self.profile.made()
        if profile is not None:
            profile.show_profile(found)
            profile.setVisible(found is not None)
        as_months = bool(self._scores) and found is None
        months = self.months.made() if as_months else self.months.part
        if months is not None:
            months.setVisible(as_months)

    def _on_turn(self) -> None:
        self._by_months = not self._by_months
        self._show()
