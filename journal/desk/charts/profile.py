"""Attributes as one profile: a row each, with the marks of up to three sessions on one scale."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from journal.desk.charts.profile_rows import draw_profile, draw_session
from journal.desk.charts.rows import DotRow, DotRows
from journal.desk.charts.values import ValueRow, ValueTable, table_of_rows
from journal.desk.theme import scaled
from journal.records.tastings import SCORE_TOP
from journal.reports.profile import Profile

_ROW, _LEGEND, _NAMES = 24, 22, 130  # px


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
        draw_profile(self.plot, self.profile, self._at, _scale())
        self._draw_legend()

    def draw_row(self, row: DotRow, at: float) -> None:
        """The marks of all rows are drawn together."""

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

    def _draw_legend(self) -> None:
        """Which mark is which session, a line each above the rows."""
        if self.profile is None:
            return
        pane = self.plot.pane(0.0)
        px = (pane.x[1] - pane.x[0]) / pane.wide
        left = pane.x[0] + scaled(12) * px
        for number, side in enumerate(self.profile.sides):
            at = -(number + 0.5) * scaled(_LEGEND)
            draw_session(self.plot, side.which, left, at, _scale())
            self.plot.words(left + scaled(14) * px, at, side.title, "ink", anchor=(0, 0.5))


def _scale() -> float:
    return scaled(100) / 100
