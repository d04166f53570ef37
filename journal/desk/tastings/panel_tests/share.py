"""Beside an answer: the share of people who can tell with its range, or rank sums, as dots."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QWidget

from journal.desk.charts.rows import DotRow, DotRows
from journal.desk.labels import Hairline, Label
from journal.desk.layouts import in_column
from journal.desk.tables import Column, RowsView
from journal.desk.theme import STEP
from journal.keeping.panel_sets import OpenedRow
from journal.reports.panel_test import Dot
from journal.wording import worded
from journal.wording.numbers import percent as share_words


def _who(row: OpenedRow) -> str:
    return row.assessor


def _cups(row: OpenedRow) -> str:
    return " · ".join(row.cups)


def _named(row: OpenedRow) -> str:
    return ", ".join(row.named)


def _right(row: OpenedRow) -> str:
    which = "wording.reads-right" if row.right else "desk.not-right"
    return "" if row.right is None else worded(which)


class BesideAnswer(QWidget):
    """Draws dots under a title; below them set by set what was in the cups."""

    def __init__(self) -> None:
        super().__init__()
        self.title = Label("", role="quiet")
        self.dots = Dots()
        self.under = Label("", role="quiet", wrap=True)
        self.sets = RowsView(
            "Every set",
            (Column("assessor", _who), Column("in the cups", _cups, quiet=True, stretch=True),
             Column("named", _named), Column("", _right, quiet=True)),
        )  # fmt: skip
        self.whole = Label("", role="quiet", wrap=True)  # many cups are cut in the table
        self.sets.picked.connect(self._on_picked)
        in_column(
            self.title,
            self.dots,
            self.under,
            Hairline(),
            (self.sets, 1),
            self.whole,
            of=self,
            margins=(8 * STEP, 9 * STEP, 8 * STEP, 4 * STEP),
            gap=4 * STEP,
        )

    def show_sets(self, rows: Sequence[OpenedRow]) -> None:
        """List these sets."""
        self.sets.show_rows(rows)

    def show_dots(
        self, title: str, dots: Sequence[Dot], ends: tuple[float, float], percent: bool, under: str
    ) -> None:
        """Show these on a scale between two ends."""
        self.title.setText(title)
        self.under.setText(under)
        self.dots.show_dots(dots, ends, percent)

    def _on_picked(self, row: OpenedRow) -> None:
        self.whole.setText(worded("desk.had-cups", who=row.assessor, cups=_cups(row)))


class Dots(DotRows):
    """Dots with ranges on a common scale, a name before each."""

    def __init__(self) -> None:
        super().__init__("What the test showed", row_px=12 * STEP, names_px=116)

    def show_dots(self, dots: Sequence[Dot], ends: tuple[float, float], percent: bool) -> None:
        """Draw these."""
        message = share_words if percent else _plain
        rows = [_row(dot, message(dot.value)) for dot in dots]
        self.show_rows(rows, ends, [(value, message(value)) for value in ticks(*ends)])


def _row(dot: Dot, value: str) -> DotRow:
    line = None if dot.low is None or dot.high is None else (dot.low, dot.high)
    return DotRow(dot.name, (dot.value,), f"{dot.name} {value}", line)


def _plain(value: float) -> str:
    return f"{value:g}"


def ticks(low: float, high: float) -> list[float]:
    """Quarters of a share; of rank sums both ends and whole numbers between, evenly apart."""
    if high - low <= 1:
        return [low + k * (high - low) / 4 for k in range(5)]
    whole = round(high - low)
    steps = next((n for n in (4, 5, 3, 6, 2) if whole % n == 0), 1)
    return [low + k * (high - low) / steps for k in range(steps + 1)]
