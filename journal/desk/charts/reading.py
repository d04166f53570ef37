"""What is read of a chart at the pointer or with the arrow keys: a line through all panels, and its
words."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF

from journal.desk.charts.held import HeldChart
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.values import ValueRow, words_of
from journal.desk.spoken import announce
from journal.desk.theme import SMALL, colours_of, font

REACH_PX = 14  # so near a mark must be to be meant, where it has a height
_WIDE_PX = 24  # and so near along the axis, where it has none
_ON_TOP = 30


class ChartReading:
    """The line and the words over a chart, and the selected line of its table."""

    def __init__(self, chart: HeldChart) -> None:
        self._chart = chart
        self._items: list[tuple[ChartPlot, pg.GraphicsObject]] = []
        self.label: pg.TextItem | None = None
        self.row: int | None = None

    def show_at(self, plot: ChartPlot, x: float, y: float) -> str:
        """Read what is there; "" where nothing is."""
        self.drop()
        words = self._chart.hover_text(plot, x, y)
        if words:
            self._draw(plot, x, words)
        return words

    def step(self, by: int) -> None:
        """Move so many values further on, in the order of the axis, and read them."""
        order = self._order()
        if not len(order):
            return
        if self.row is None or self.row >= len(order):
            index = 0 if by > 0 else len(order) - 1
        else:
            index = int(np.flatnonzero(order == self.row)[0]) + by
        self.select(int(order[min(max(index, 0), len(order) - 1)]))

    def select(self, number: int) -> None:
        """Select a line of the table: scroll to it, draw it and announce it."""
        chart = self._chart
        row = chart.values.rows[number]
        low, high = chart.lens.shown
        if not low <= row.x <= high:
            chart.lens.pan(row.x - (low + high) / 2)
            chart.refresh()
            chart.zoomed.emit()
        self.drop()
        self.row = number
        plot = chart.plots[row.panel]
        words = chart.hover_text(plot, row.x, row.y) or words_of(chart.values, row)
        self._draw(plot, row.x, words)
        announce(chart.widget, words)

    def current(self) -> ValueRow | None:
        """The selected line."""
        rows = self._chart.values.rows
        return rows[self.row] if self.row is not None and self.row < len(rows) else None

    def nearest(self, plot: ChartPlot, x: float, y: float) -> int | None:
        """The line of the table whose mark is near a point of a plot."""
        values = self._chart.values
        if not len(values.x):
            return None
        pane = plot.pane(x)
        px = np.abs(values.x - x) / (pane.x[1] - pane.x[0]) * pane.wide
        here = values.panel == self._chart.plots.index(plot)
        py = np.abs(values.y - y) / (pane.y[1] - pane.y[0]) * pane.high
        high = np.isfinite(values.y)
        apart = np.where(high, np.hypot(px, np.where(high, py, 0.0)), px)
        reach = np.where(high, REACH_PX, _WIDE_PX)
        near = (apart <= reach) & (here | ~high)
        return int(np.argmin(np.where(near, apart, np.inf))) if near.any() else None

    def drop(self) -> None:
        """Take the line and the words away."""
        if not self._chart.is_closed():
            for plot, item in self._items:
                plot.removeItem(item)
        self._items, self.label = [], None

    def leave(self) -> None:
        """Stand on no line."""
        self.drop()
        self.row = None

    def _order(self) -> np.ndarray:
        values = self._chart.values
        if values.in_lines:
            return np.arange(len(values.x))
        found: np.ndarray = np.lexsort((values.panel, values.x))
        return found

    def _draw(self, plot: ChartPlot, x: float, words: str) -> None:
        c = colours_of(self._chart.widget)
        for one in self._chart.plots:
            if one.isVisible():
                self._add(one, pg.InfiniteLine(x, angle=90, pen=pg.mkPen(c.quiet, width=1)))
        self.label = pg.TextItem(words, color=c.ink, fill=c.field, border=c.hairline)
        self.label.setFont(font(SMALL))
        self.label.setZValue(_ON_TOP)
        pane = plot.pane(x)
        at = (x - pane.x[0]) / (pane.x[1] - pane.x[0]) * pane.wide
        if self.label.boundingRect().width() > pane.wide:
            self.label.setTextWidth(pane.wide)
        wide = self.label.boundingRect().width()
        left = at - wide if at > pane.wide / 2 else at  # beside the line, or as near as it fits
        left = min(max(left, 0.0), pane.wide - wide)
        self.label.setAnchor(((at - left) / wide, 0))
        self.label.setPos(QPointF(x, plot.viewRange()[1][1]))
        self._add(plot, self.label)

    def _add(self, plot: ChartPlot, item: pg.GraphicsObject) -> None:
        plot.addItem(item, ignoreBounds=True)
        self._items.append((plot, item))
