"""Each assessor's level as a dot about the panel's, with how far repeats stray as a line."""

from __future__ import annotations

from collections.abc import Sequence

from journal.desk.charts.rows import DotRow, DotRows
from journal.desk.theme import STEP
from journal.reports.panel import PersonRead
from journal.wording import worded
from journal.wording.numbers import minus, signed


class Levels(DotRows):
    """Draws the panel."""

    def __init__(self) -> None:
        super().__init__("Levels of the panel", row_px=10 * STEP)

    def show_people(self, rows: Sequence[PersonRead]) -> None:
        """Draw these."""
        widest = max((abs(r.member.level) + _stray(r) for r in rows), default=1.0)
        most = max(1, min(10, int(widest + 0.999)))
        values = range(-most, most + 1, 1 if most <= 4 else 2)
        marks = [(float(v), minus(f"{v:+d}") if v else "0") for v in values]
        self.show_rows([_row(one) for one in rows], (-most, most), marks)


def _row(row: PersonRead) -> DotRow:
    level, stray = row.member.level, _stray(row)
    line = (level - stray, level + stray) if stray else None
    words = worded("desk.points-of", name=row.name, points=signed(level, 1))
    return DotRow(row.name, (level,), words, line)


def _stray(row: PersonRead) -> float:
    return row.member.repeat_sd if row.member.doubles else 0.0
