"""The picture of one variable: each wheel's score with other things equal, the line, its band."""

from __future__ import annotations

import html
import math

import numpy as np
from PySide6.QtCore import QPointF, Signal
from PySide6.QtWidgets import QWidget

from journal.desk.axes import NumberAxis
from journal.desk.chart import Chart
from journal.desk.findings.answer import Answer
from journal.desk.findings.words import MANY, axis_words
from journal.desk.panel import Panel
from journal.desk.theme import SMALL, colours_of
from journal.findings import Scatter
from journal.records.dates import age_words

_REACH_PX = 12
_STEPS = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0)


class Picture(Chart):
    """Shows a variable's points. `opened` carries the table row of a point that was clicked."""

    opened = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("Scores against the variable", "nothing to show yet", parent)
        self._answer: Answer | None = None
        self._seen: Scatter | None = None
        self._rows = np.empty(0, int)
        self._chosen: int | None = None
        self.bottom = NumberAxis("bottom")
        self.bottom.setStyle(tickLength=-4, tickTextOffset=6)
        self.panel = self.add_panel(bottom=self.bottom)
        self.scene().sigMouseClicked.connect(self._on_clicked)

    def show_variable(self, answer: Answer | None, variable: str, chosen: int | None) -> None:
        """Draw a variable of an answer with one table row ringed; None empties the chart."""
        self._answer, self._chosen = answer, chosen
        self._seen = answer.picture(variable) if answer is not None else None
        self._rows = answer.rows_of(variable) if answer is not None else np.empty(0, int)
        self.describe(self._in_words())
        self.refresh()

    def choose(self, row: int | None) -> None:
        """Ring the point of another table row."""
        self._chosen = row
        self.refresh()

    def step(self, row: int | None, step: int) -> int | None:
        """The table row of the point `step` further along the variable."""
        if not len(self._rows):
            return None
        order = self._rows[np.lexsort((self._seen.y, self._seen.x))].tolist()
        at = order.index(row) + step if row in order else 0
        return order[min(max(at, 0), len(order) - 1)]

    def draw(self) -> None:
        self.panel.wipe()
        seen = self._seen
        self.panel.setVisible(seen is not None and seen.x.size > 0)
        if seen is None or not seen.x.size:
            return
        x, y = self._ranges(seen)
        self.panel.show_range(x, y)
        step = next((s for s in _STEPS if (y[1] - y[0]) / s <= 7), _STEPS[-1])
        values = np.arange(math.ceil(y[0] / step), math.floor(y[1] / step) + 1) * step
        values = values[values < y[1] - 0.07 * (y[1] - y[0])]  # the name of the axis stands there
        self.panel.rules(values, x, digits=0 if step >= 1 else 1)
        self._draw_line(seen)
        self._draw_points(seen)
        self._name_axes(seen, x, y)

    def hover_words(self, panel: Panel, x: float, y: float) -> str:
        at = self._near(panel.getViewBox().mapViewToScene(QPointF(x, y)))
        return f"{self.name_of(int(self._rows[at]))}: {self._seen.y[at]:.1f}" if at >= 0 else ""

    def name_of(self, row: int) -> str:
        """The wheel of a table row, and its age there."""
        days = self._answer.age_days(row)
        age = f" at {age_words(days)}" if math.isfinite(days) else ""
        return f"{self._answer.table.wheel[row]}{age}"

    # Drawing

    def _ranges(self, seen: Scatter) -> tuple[tuple[float, float], tuple[float, float]]:
        se = np.where(np.isfinite(seen.y_se), seen.y_se, 0.0)
        low = min((seen.y - se).min(), seen.low80.min(initial=np.inf))
        high = max((seen.y + se).max(), seen.high80.max(initial=-np.inf))
        room = 0.06 * max(high - low, 1.0)
        first, last = float(seen.x.min()), float(seen.x.max())
        if last - first <= 1e-9 * max(abs(first), abs(last), 1e-9):  # it never varied
            first, last = first - 0.1 * max(abs(first), 1.0), last + 0.1 * max(abs(last), 1.0)
        beyond = 0.06 * (last - first)
        x = (first - beyond, last + beyond)
        return x, (float(low) - room, float(high) + 2 * room)

    def _draw_line(self, seen: Scatter) -> None:
        if not seen.line_x.size:
            return
        self.panel.band(seen.line_x, seen.low80, seen.high80, "past", 0.55)
        line = self.panel.line(seen.line_x, seen.line_y, "ink", width=1.6, level=2)
        line.setSegmentedLineMode("off")  # so few parts draw quickly, and their joints would show

    def _draw_points(self, seen: Scatter) -> None:
        many = seen.x.size > MANY
        known = np.isfinite(seen.y_se) & (seen.y_se > 0) & (not many)
        bars = np.repeat(seen.x[known], 3)  # of many they would only hide each other
        ends = np.column_stack(
            [seen.y - seen.y_se, seen.y + seen.y_se, np.full(seen.y.size, np.nan)]
        )
        if known.any():
            self.panel.line(bars, ends[known].ravel(), "past_line", width=1, level=3)
        self.panel.points(seen.x, seen.y, "ink", size=4 if many else 7, level=5)
        at = np.flatnonzero(self._rows == self._chosen)
        if at.size:
            self._draw_chosen(float(seen.x[at[0]]), float(seen.y[at[0]]), many)

    def _draw_chosen(self, px: float, py: float, many: bool) -> None:
        """The ring, and in the corner whose it is: beside it the name would hide its neighbours."""
        self.panel.points([px], [py], "ink", size=18, hollow=True, level=6 if many else 4)
        if many:  # above the crowd
            self.panel.points([px], [py], "ink", size=6, level=8)
        (_, x1), (_, y1) = self.panel.viewRange()
        self.panel.words(x1, y1, self.name_of(self._chosen), "ink", anchor=(1, 0), bold=True)

    def _name_axes(self, seen: Scatter, x: tuple[float, float], y: tuple[float, float]) -> None:
        words = axis_words(seen, self._answer.is_defect)
        self.panel.words(x[0], y[1], words, anchor=(0, 0))
        unit = f", {seen.unit}" if seen.unit else ""
        style = {"color": colours_of(self).quiet.name(), "font-size": f"{SMALL}px"}
        self.bottom.setLabel(html.escape(f"{seen.variable}{unit}"), **style)

    def _in_words(self) -> str:
        seen = self._seen
        if seen is None or not seen.x.size:
            return "nothing to show yet"
        told = f"{seen.x.size} points of {seen.variable} against {seen.score}"
        if seen.line_y.size:
            told += f"; the line goes from {seen.line_y[0]:.1f} to {seen.line_y[-1]:.1f}"
        return told

    # Handlers

    def _near(self, scene: QPointF) -> int:
        """The point under the pointer, −1 for none."""
        if self._seen is None or not self._seen.x.size:
            return -1
        box = self.panel.getViewBox()
        (x0, x1), (y0, y1) = self.panel.viewRange()
        wide, high = box.width() / (x1 - x0), box.height() / (y1 - y0)
        at = box.mapSceneToView(scene)
        away = np.hypot((self._seen.x - at.x()) * wide, (self._seen.y - at.y()) * high)
        nearest = int(np.argmin(away))
        return nearest if away[nearest] <= _REACH_PX else -1

    def _on_clicked(self, event) -> None:
        at = self._near(event.scenePos())
        if at >= 0:
            self.opened.emit(int(self._rows[at]))
