"""The handle of "what if": a mark on the curve that is dragged along it, or moved by keys."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, Qt

from journal.desk.charts.plot import ChartPlot
from journal.findings import Scatter
from journal.wording import worded
from journal.wording.numbers import short

REACH_PX = 14
_PARTS = 100  # of the span shown: what the keys move by at least


class WhatIfHandle:
    """Draws the mark at a value, and knows where it may go: as far as the plot shows."""

    def __init__(self, plot: ChartPlot) -> None:
        self._plot = plot
        self._seen: Scatter | None = None
        self._items: tuple[pg.GraphicsObject, ...] = ()
        self.value = math.nan

    @property
    def there(self) -> bool:
        """Whether there is a curve."""
        return self._seen is not None and self._seen.line_x.size > 1

    def show_on(self, seen: Scatter | None, value: float) -> None:
        """Stand on another curve, at a value."""
        self._seen, self.value = seen, value
        if self.there:
            self.value = self.held(value)

    def held(self, value: float) -> float:
        """The value as it can be, within what is shown, with as many digits as can be seen."""
        low, high = self._plot.viewRange()[0]
        step = self.step()
        inside = min(max(value, low), high)
        return float(round(round(inside / step) * step, 12))

    def step(self) -> float:
        """What one key moves it by: 1, 2 or 5 of a digit, about a hundredth of what is shown."""
        low, high = self._plot.viewRange()[0]
        fine = max((high - low) / _PARTS, 1e-9)
        decade = 10.0 ** math.floor(math.log10(fine))
        return next(decade * n for n in (1, 2, 5, 10) if decade * n >= fine - 1e-12)

    def draw(self) -> None:
        """Draw it where it stands, after the plot was wiped."""
        self._items = ()
        if not self.there or not math.isfinite(self.value):
            return
        x, y = self._at()
        self._items = (
            self._plot.line(np.full(2, x), self._foot(y), "ink", width=1, level=6),
            self._plot.points(np.array([x]), np.array([y]), "ink", symbol="d", size=13, level=9),
            self._plot.words(x, self._plot.viewRange()[1][0], self._label(), "ink",
                             anchor=self._anchor(), on_paper=True),
        )  # fmt: skip

    def move(self, value: float) -> None:
        """Go to a value; the rest is not drawn again."""
        self.value = self.held(value)
        self._plot.take_away(self._items)
        self.draw()

    def is_near(self, scene: QPointF) -> bool:
        """Whether a place of the scene takes hold of it."""
        if not self._items:
            return False
        at = self._plot.getViewBox().mapViewToScene(QPointF(*self._at()))
        return math.hypot(at.x() - scene.x(), at.y() - scene.y()) <= REACH_PX

    def _at(self) -> tuple[float, float]:
        """Where it stands: on the curve, and beyond its ends on the straight line they go on in."""
        assert self._seen is not None
        x, y = self._seen.line_x, self._seen.line_y
        if x[0] <= self.value <= x[-1]:
            return self.value, float(np.interp(self.value, x, y))
        end, inner = (0, 1) if self.value < x[0] else (-1, -2)
        slope = (y[end] - y[inner]) / (x[end] - x[inner])
        return self.value, float(y[end] + slope * (self.value - x[end]))

    def _foot(self, y: float) -> np.ndarray:
        return np.array([self._plot.viewRange()[1][0], y])

    def _label(self) -> str:
        unit = self._seen.unit if self._seen is not None else ""
        digits = max(0, -math.floor(math.log10(self.step()) + 1e-9))
        return worded("desk.what-if", value=short(self.value, digits), unit=unit)

    def _anchor(self) -> tuple[float, float]:
        low, high = self._plot.viewRange()[0]
        return (0.0 if self.value < (low + high) / 2 else 1.0, 1.0)


class HandleGrip:
    """The mark held by the pointer."""

    shape = Qt.CursorShape.SizeHorCursor

    def __init__(self, move_to: Callable[[float], None]) -> None:
        self._move_to = move_to

    def move(self, x: float, _y: float) -> None:
        """Go where it is held."""
        self._move_to(x)

    def drop(self) -> None:
        """It stays where it was held last."""
