"""Attributes as one profile: a row each, with the marks of up to three sessions on one scale."""

from __future__ import annotations

import numpy as np
from PySide6.QtWidgets import QWidget

from journal.desk.charts.rows import DotRow, DotRows
from journal.desk.charts.values import ValueRow, ValueTable, table_of_rows
from journal.desk.theme import scaled
from journal.records.tastings import SCORE_TOP
from journal.reports.profile import BEST, LAST, LATEST, THIS, Profile

_ROW, _LEGEND, _NAMES = 24, 22, 130  # px
_MARKS = {  # role, symbol, size, hollow, level: where all three are one they are still told apart
    BEST: ("quiet", "d", 17, True, 4),
    LAST: ("planned", "o", 12, True, 5),
    THIS: ("ink", "o", 7, False, 6),
    LATEST: ("ink", "o", 7, False, 6),
}


class ProfileChart(DotRows):
    """Shows a profile: a dot is the session, a ring the one before, a diamond the best ever."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(
            "Attributes as a profile", row_px=scaled(_ROW), names_px=scaled(_NAMES),
            head_px=3 * scaled(_LEGEND), parent=parent,
        )  # fmt: skip
        self.profile: Profile | None = None

    def show_profile(self, profile: Profile | None) -> None:
        """Draw this; None draws nothing."""
        self.profile = profile
        sides = () if profile is None else profile.sides
        self._head_px = len(sides) * scaled(_LEGEND)
        rows = []
        for name in () if profile is None else profile.attributes:
            dots = tuple(side.means[name] for side in sides if name in side.means)
            rows.append(DotRow(name, dots, profile.row_text(name) if profile else ""))
        marks = [(at, f"{at:g}") for at in (0.0, SCORE_TOP / 2, SCORE_TOP)]
        self.show_rows(rows, (0.0, SCORE_TOP), marks)
        if profile is not None:
            titles = "; ".join(side.title for side in sides)
            self.describe(f"{profile.wheel}: {titles}. {self.accessibleDescription()}")

    def draw(self) -> None:
        super().draw()
        if self.profile is None:
            return
        this = self.profile.sides[0]
        known = [(row, at) for row, at in zip(self.rows, self._at, strict=True)
                 if row.name in this.means]  # fmt: skip
        x = np.array([this.means[row.name] for row, _ in known])
        self.plot.line(x, np.array([at for _, at in known]), "ink", width=1.2, level=3)
        self._draw_legend()

    def draw_row(self, row: DotRow, at: float) -> None:
        for side in self.profile.sides if self.profile is not None else ():
            if row.name in side.means:
                self._mark(side.which, side.means[row.name], at)

    def table(self) -> ValueTable:
        """Each attribute with what it got at each of the sessions."""
        profile = self.profile
        if profile is None:
            return ValueTable()
        rows = []
        for row, at in zip(self.rows, self._at, strict=True):
            means = [side.means.get(row.name) for side in profile.sides]
            cells = ["" if mean is None else f"{mean:.1f}" for mean in means]
            known = next(mean for mean in means if mean is not None)
            rows.append(ValueRow((row.name, *cells), known, at, words=row.words))
        heads = ("attribute", *(side.title for side in profile.sides))
        return table_of_rows(heads, rows, in_lines=True)

    def _mark(self, which: str, value: float, at: float) -> None:
        role, symbol, size, hollow, level = _MARKS[which]
        self.plot.points(
            np.array([value]), np.array([at]), role, symbol=symbol, size=scaled(size),
            hollow=hollow, level=level,
        )  # fmt: skip

    def _draw_legend(self) -> None:
        """Which mark is which session, a line each above the rows."""
        if self.profile is None:
            return
        pane = self.plot.pane(0.0)
        px = (pane.x[1] - pane.x[0]) / pane.wide
        left = pane.x[0] + scaled(12) * px
        for number, side in enumerate(self.profile.sides):
            at = -(number + 0.5) * scaled(_LEGEND)
            self._mark(side.which, left, at)
            self.plot.words(left + scaled(14) * px, at, side.title, "ink", anchor=(0, 0.5))
