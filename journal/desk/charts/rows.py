"""Dots on one scale, a row each with its name before it: levels, shares, the cups of a double."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from statistics import fmean

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.curves.surface import Span
from journal.desk.charts.axes import NumberAxis
from journal.desk.charts.chart import Chart
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.values import ValueRow, ValueTable, table_of_rows
from journal.desk.theme import STEP, TEXT, colours_of, font

_FOOT, _ASIDE = 6 * STEP, 3 * STEP


@dataclass(frozen=True)
class DotRow:
    """A row: its name, its dots, the line drawn through them, and what the pointer reads. Rows of
    one name beside each other share it."""

    name: str
    dots: tuple[float, ...]
    words: str
    line: Span | None = None
    hollow: bool = False


class DotRows(Chart):
    """Shows rows of dots between two ends, under each other at a fixed height."""

    def __init__(
        self,
        name: str,
        *,
        row_px: int,
        apart_px: int = 0,
        dot_px: int = 13,
        names_px: int = 100,
        head_px: int = 0,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(name, "", parent)
        self.rows: list[DotRow] = []
        self._row_px, self._apart_px, self._dot_px = row_px, apart_px, dot_px
        self._names_px, self._head_px = names_px, head_px
        self._ends: Span = (0.0, 1.0)
        self._marks: list[tuple[float, str]] = []
        self.ci.layout.setContentsMargins(0, 0, 2 * _ASIDE, 0)
        self.bottom = NumberAxis("bottom")
        self.bottom.setHeight(_FOOT)
        self.plot = self.add_plot(bottom=self.bottom)
        self.plot.left_axis.setStyle(tickFont=font(TEXT), tickTextOffset=_ASIDE)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_rows(
        self, rows: Sequence[DotRow], ends: Span, marks: Sequence[tuple[float, str]]
    ) -> None:
        """Draw these between two ends; `marks` are the values with a line across, each named."""
        self.rows, self._ends, self._marks = list(rows), ends, list(marks)
        self._at = self._middles()
        self.setFixedHeight(round(self._deep) + _FOOT)
        self.about(tuple(row.name for row in rows))
        self.describe("; ".join(row.words for row in rows))
        self.refresh()

    def draw(self) -> None:
        plot = self.plot
        plot.wipe()
        if not self.rows:
            return
        low, high = self._ends
        room = 0.03 * (high - low)
        plot.show_range(self.seen((low - room, high + room)), (-self._deep, 0.0))
        for value, _ in self._marks:
            role = "quiet" if value == 0 and low < 0 else "hairline"
            plot.line(
                np.full(2, value), np.array([-self._deep, -self._head_px]), role, width=1, level=-20
            )
        self.bottom.setTicks([self._marks])
        self._name_rows()
        for row, at in zip(self.rows, self._at, strict=True):
            self.draw_row(row, at)

    def draw_row(self, row: DotRow, at: float) -> None:
        """Draw what stands in a row at its height."""
        plot, (low, high) = self.plot, self._ends
        if row.line is not None:
            ends = np.clip(np.array(row.line), low, high)
            plot.line(ends, np.full(2, at), "ink", width=1.6)
        dots = np.clip(np.array(row.dots), low, high)
        plot.points(dots, np.full(len(dots), at), "ink", size=self._dot_px, hollow=row.hollow)

    def table(self) -> ValueTable:
        """Each row with its name, by the middle of its dots; one without is walked at the lower
        end."""
        rows = [
            ValueRow((row.name, row.words), fmean(row.dots or self._ends[:1]), at, words=row.words)
            for row, at in zip(self.rows, self._at if self.rows else (), strict=True)
        ]
        return table_of_rows(("row", "values"), rows, in_lines=True)

    def hover_text(self, plot: ChartPlot, x: float, y: float) -> str:
        if not self.rows:
            return ""
        nearest = int(np.argmin(np.abs(np.array(self._at) - y)))
        return self.rows[nearest].words

    def _middles(self) -> list[float]:
        """Where the rows stand, px below the upper edge as negative numbers."""
        out, top = [], float(self._head_px)
        for _name, group in groupby(self.rows, key=_name_of):
            count = len(list(group))
            first = top + (self._apart_px + self._row_px) / 2
            out += [-(first + k * self._row_px) for k in range(count)]
            top += count * self._row_px + self._apart_px
        self._deep = max(top, 1.0)
        return out

    def names(self) -> list[tuple[float, str]]:
        """Each name in the middle of its rows, cut where it is too long."""
        metrics, out = QFontMetricsF(font(TEXT)), []
        found = zip(self.rows, self._at, strict=True)
        for name, group in groupby(found, key=lambda pair: pair[0].name):
            at = [place for _, place in group]
            cut = metrics.elidedText(name, Qt.TextElideMode.ElideRight, self._names_px)
            out.append((sum(at) / len(at), cut))
        return out

    def _name_rows(self) -> None:
        axis, names = self.plot.left_axis, self.names()
        metrics = QFontMetricsF(font(TEXT))
        axis.setWidth(max(metrics.horizontalAdvance(name) for _, name in names) + _ASIDE + 2)
        axis.setTextPen(colours_of(self).ink)
        axis.setTicks([names])


def _name_of(row: DotRow) -> str:
    return row.name
