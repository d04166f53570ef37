"""The picture of a cause: what the own wheels got along the variable, this one ringed."""

from __future__ import annotations

import html

import numpy as np

from journal.desk.charts.axes import NumberAxis
from journal.desk.charts.chart import Chart
from journal.desk.charts.values import ValueRow, ValueTable, table_of_rows
from journal.desk.findings.scatter import draw_scatter, scatter_ranges
from journal.desk.theme import SMALL, colours_of, scaled
from journal.findings import FindingError, Scatter
from journal.findings.trade import PublishedRange
from journal.findings.why import SuspectedCause
from journal.reports.why import WhyAnswer
from journal.wording import worded
from journal.wording.effects import scatter_shown, scatter_words
from journal.wording.variable_values import in_unit_shown, number_in


class WhyPicture(Chart):
    """Shows the points of a cause's variable, where the journal has them."""

    def __init__(self) -> None:
        super().__init__("Your own makes", "nothing to show yet")
        self._seen: Scatter | None = None
        self._published: PublishedRange | None = None
        self._unit = ""
        self._ringed: list[int] = []
        self._named = ""
        self._is_defect = False
        self.bottom = NumberAxis("bottom")
        self.bottom.setStyle(tickLength=-4, tickTextOffset=6)
        self.plot = self.add_plot(bottom=self.bottom)

    def show_cause(self, answer: WhyAnswer, one: SuspectedCause) -> bool:
        """Show a cause; False where the journal has no points of it."""
        points = _points(answer, one)
        seen = self._seen = None if points is None else scatter_shown(points)
        found = answer.why
        self._named = found.wheel or found.make
        self._published, self._unit = one.published, "" if points is None else points.unit
        self.about((found.wheel, found.make, one.key))
        self._is_defect = answer.table is not None and answer.table.samples is not None
        if seen is not None:
            codes = seen.wheel if found.wheel else seen.make
            self._ringed = [i for i, code in enumerate(codes) if code == self._named]
            self.describe(scatter_words(seen))
        self.refresh()
        return seen is not None

    def draw(self) -> None:
        self.plot.wipe()
        seen = self._seen
        self.plot.setVisible(seen is not None)
        if seen is None:
            return
        draw_scatter(self.plot, seen, self.seen(scatter_ranges(seen)[0]))
        (first, last), (low, top) = self.plot.viewRange()
        self._draw_published(seen, low)
        if self._ringed:
            at = self._ringed
            self.plot.points(seen.x[at], seen.y[at], "ink", size=18, hollow=True, level=4)
            self.plot.words(last, top, self._named, "ink", anchor=(1, 0), bold=True)
        words = worded("desk.score-drawn", score=seen.score, defect=self._is_defect)
        self.plot.words(first, top, words, anchor=(0, 0), anywhere=True)
        unit = f", {seen.unit}" if seen.unit else ""
        style = {"color": colours_of(self).quiet.name(), "font-size": f"{scaled(SMALL)}px"}
        self.bottom.setLabel(html.escape(f"{seen.variable}{unit}"), **style)

    def table(self) -> ValueTable:
        """The points: whose each is, the variable and the score."""
        seen = self._seen
        if seen is None:
            return ValueTable()
        rows = []
        for wheel, make, x, y in zip(seen.wheel, seen.make, seen.x, seen.y, strict=True):
            name = wheel or make
            cells = (name, number_in(float(x), seen.unit), f"{y:.1f}")
            rows.append(ValueRow(cells, float(x), float(y), words=f"{name}: {y:.1f}"))
        unit = f", {seen.unit}" if seen.unit else ""
        return table_of_rows(("wheel", f"{seen.variable}{unit}", seen.score), rows)

    def _draw_published(self, seen: Scatter, low: float) -> None:
        """The published range along the foot."""
        found = self._published
        if found is None:
            return
        first, last = self.lens.shown
        ends = (
            first if found.low is None else in_unit_shown(found.low, self._unit),
            last if found.high is None else in_unit_shown(found.high, self._unit),
        )
        x0, x1 = max(ends[0], first), min(ends[1], last)
        if x0 < x1:
            foot = np.array([low, low])
            self.plot.line(np.array([x0, x1]), foot, "planned", width=6, level=4)


def _points(answer: WhyAnswer, one: SuspectedCause) -> Scatter | None:
    if answer.table is None or answer.study is None:
        return None
    try:
        seen = answer.picture(one.key)
    except FindingError:
        return None
    return seen if seen.x.size else None
