"""The picture of one variable: each wheel's score with other things equal, the line, its band."""

from __future__ import annotations

import html
import math
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, Signal
from PySide6.QtWidgets import QWidget

from journal.desk.charts.axes import NumberAxis
from journal.desk.charts.chart import Chart
from journal.desk.charts.held import Grip
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.values import ValueRow, ValueTable, table_of_rows
from journal.desk.findings.handle import HandleGrip, WhatIfHandle
from journal.desk.findings.scatter import draw_scatter, scatter_ranges
from journal.desk.theme import SMALL, colours_of
from journal.findings import Scatter
from journal.findings.answer import StudyAnswer
from journal.wording import worded
from journal.wording.ages import age_words
from journal.wording.effects import MANY, axis_words, scatter_shown, scatter_words
from journal.wording.variable_values import in_unit_shown, number_in


@dataclass(frozen=True, eq=False)
class PlottedVariable:
    """A variable of an answer as it is drawn: its points, and which rows of the table they are."""

    answer: StudyAnswer
    seen: Scatter
    rows: list[int]

    def name_of(self, row: int) -> str:
        """The wheel of a table row, and its age there."""
        days = self.answer.age_days(row)
        wheel = self.answer.table.wheel[row]
        if not math.isfinite(days):
            return wheel
        return worded("desk.wheel-at-age", wheel=wheel, age=age_words(days))


class Picture(Chart):
    """Shows a variable's points, and on its curve the mark of "what if"; what a click goes to is a
    row of the answer's table. `moved` carries the value the mark was moved to."""

    moved = Signal(float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("Scores against the variable", "nothing to show yet", parent)
        self.shown: PlottedVariable | None = None
        self._chosen: int | None = None
        self.bottom = NumberAxis("bottom")
        self.bottom.setStyle(tickLength=-4, tickTextOffset=6)
        self.plot = self.add_plot(bottom=self.bottom)
        self.handle = WhatIfHandle(self.plot)

    def show_variable(self, answer: StudyAnswer, variable: str, chosen: int) -> None:
        """Draw a variable of an answer with one table row ringed."""
        found, rows = answer.picture(variable), answer.rows_of(variable).tolist()
        seen = scatter_shown(found)
        self.shown, self._chosen = PlottedVariable(answer, seen, rows), chosen
        self.about((variable, len(rows)))
        self.describe(scatter_words(seen))
        if seen.x.size:
            self.plot.show_range(*scatter_ranges(seen))
        newest = answer.value_at_newest(variable)
        self.handle.show_on(seen, in_unit_shown(newest, found.unit))
        self.refresh()

    def ask_at(self, value: float) -> None:
        """Move the mark to a value that was typed."""
        self.handle.move(value)

    def step_mark(self, way: int) -> None:
        """Move the mark by so many of its steps."""
        if self.handle.there:
            self._move_to(self.handle.value + way * self.handle.step())

    def grip_at(self, plot: ChartPlot, at: QPointF) -> Grip | None:
        scene = plot.getViewBox().mapViewToScene(at)
        return HandleGrip(self._move_to) if self.handle.is_near(scene) else None

    def _move_to(self, value: float) -> None:
        self.handle.move(value)
        self.moved.emit(self.handle.value)

    def choose(self, row: int) -> None:
        """Ring the point of another table row."""
        self._chosen = row
        self.refresh()

    def step(self, row: int, step: int) -> int | None:
        """The table row of the point `step` further along the variable."""
        if self.shown is None or not self.shown.rows:
            return None
        seen, rows = self.shown.seen, self.shown.rows
        order: list[int] = [rows[i] for i in np.lexsort((seen.y, seen.x))]
        at = order.index(row) + step if row in order else 0
        return order[min(max(at, 0), len(order) - 1)]

    def draw(self) -> None:
        self.plot.wipe()
        shown = self.shown
        self.plot.setVisible(shown is not None and shown.seen.x.size > 0)
        if shown is None or not shown.seen.x.size:
            return
        seen = shown.seen
        draw_scatter(self.plot, seen, self.seen(scatter_ranges(seen)[0]))
        self._draw_chosen(shown)
        self.handle.draw()
        (first, _), (_, top) = self.plot.viewRange()
        words = axis_words(seen, shown.answer.is_defect)
        self.plot.words(first, top, words, anchor=(0, 0))
        unit = f", {seen.unit}" if seen.unit else ""
        style = {"color": colours_of(self).quiet.name(), "font-size": f"{SMALL}px"}
        self.bottom.setLabel(html.escape(f"{seen.variable}{unit}"), **style)

    def table(self) -> ValueTable:
        """The points: whose each is, the variable there, and the score with its standard error."""
        shown = self.shown
        if shown is None:
            return ValueTable()
        seen, rows = shown.seen, []
        for row, x, y, se in zip(shown.rows, seen.x, seen.y, seen.y_se, strict=True):
            name = shown.name_of(row)
            cells = (
                name,
                number_in(float(x), seen.unit),
                f"{y:.1f}",
                f"{se:.1f}" if math.isfinite(se) else "",
            )
            rows.append(ValueRow(cells, float(x), float(y), words=f"{name}: {y:.1f}", key=row))
        unit = f", {seen.unit}" if seen.unit else ""
        heads = ("wheel", f"{seen.variable}{unit}", seen.score, "± (standard error)")
        return table_of_rows(heads, rows)

    # Drawing

    def _draw_chosen(self, shown: PlottedVariable) -> None:
        """The ring, and in the corner whose it is: beside it the name would hide its neighbours."""
        seen, chosen = shown.seen, self._chosen
        if chosen not in shown.rows:
            return
        at, many = [shown.rows.index(chosen)], seen.x.size > MANY
        px, py = seen.x[at], seen.y[at]
        self.plot.points(px, py, "ink", size=18, hollow=True, level=6 if many else 4)
        if many:  # above the crowd
            self.plot.points(px, py, "ink", size=6, level=8)
        (_, x1), (_, y1) = self.plot.viewRange()
        self.plot.words(x1, y1, shown.name_of(chosen), "ink", anchor=(1, 0), bold=True)
