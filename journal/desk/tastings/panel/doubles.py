"""Blind doubles: two cups of one cheese as two dots joined, a row an assessor."""

from __future__ import annotations

from collections.abc import Sequence

from journal.desk.charts.rows import DotRow, DotRows
from journal.desk.theme import STEP
from journal.records.tastings import SCORE_TOP
from journal.reports.panel import Cups
from journal.wording import worded

_MOST = 3  # doubles of an assessor that are drawn: the last ones
_MARKS = [(float(value), str(value)) for value in (0, 2, 4, 6, 8, 10)]


class Doubles(DotRows):
    """Draws them on the scale from 0 to 10."""

    def __init__(self) -> None:
        super().__init__("Two cups of one cheese", row_px=4 * STEP, apart_px=2 * STEP, dot_px=9)

    def show_cups(self, people: Sequence[str], cups: Sequence[Cups]) -> None:
        """Draw the last doubles of each of these people."""
        shown = [
            one
            for name in people
            for one in sorted((c for c in cups if c.assessor == name), key=_when)[-_MOST:]
        ]
        self.show_rows([_row(one) for one in shown], (0.0, SCORE_TOP), _MARKS)


def _row(one: Cups) -> DotRow:
    low, high = min(one.given), max(one.given)
    given = [f"{value:g}" for value in one.given]
    words = worded("desk.gave-cups", who=one.assessor, cheese=one.cheese, given=given)
    dots = (low, high) if low < high else (low,)
    return DotRow(one.assessor, dots, words, (low, high), hollow=low < high)


def _when(one: Cups) -> int:
    return one.at_ms
