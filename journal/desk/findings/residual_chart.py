"""Each make beside what its variables say, in the order they were made: a bad one is seen."""

from __future__ import annotations

import numpy as np
from PySide6.QtWidgets import QWidget

from journal.desk.charts.axes import NumberAxis
from journal.desk.charts.chart import Chart
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.values import ValueRow, ValueTable, table_of_rows
from journal.findings.answer import StudyAnswer
from journal.findings.residuals import MakeResidual
from journal.wording import worded
from journal.wording.numbers import signed
from journal.wording.scales import round_values, step_for

_STEPS = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)
_MOST_NAMED = 5


class ResidualChart(Chart):
    """Draws how far each make lies off; those that lie far off are ringed and named."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("Makes beside what their variables say", "nothing to show yet", parent)
        self.shown: list[MakeResidual] = []
        self.bottom = NumberAxis("bottom")
        self.plot = self.add_plot(bottom=self.bottom)

    def show_answer(self, answer: StudyAnswer) -> None:
        """Draw the makes of an answer, oldest first."""
        started = {code: make.started_ms for code, make in answer.makes.items()}
        self.shown = sorted(answer.study.residuals, key=lambda one: started.get(one.make, 0))
        far = [one for one in self.shown if one.is_far]
        names = [f"{one.make} {signed(one.off, 1)}" for one in far] or [worded("wording.none")]
        self.describe(worded("desk.residuals-chart", makes=len(self.shown), names=names))
        self.refresh()

    def draw(self) -> None:
        self.plot.wipe()
        self.plot.setVisible(bool(self.shown))
        if not self.shown:
            return
        off = np.array([one.off for one in self.shown])
        at = np.arange(len(off), dtype=float)
        high = 1.25 * max(float(np.abs(off).max()), 0.5)
        x = self.seen((-0.7, len(off) - 0.3))
        self.plot.show_range(x, (-high, high))
        step = step_for(2 * high, _STEPS, 5)
        self.plot.rules(
            round_values(-high, high, (step,), above=0.12), x, digits=0 if step >= 1 else 1
        )
        self.plot.line(np.array(x), np.zeros(2), "past_line", width=1)
        self.plot.line(np.repeat(at, 3), np.column_stack([0 * off, off, off + np.nan]).ravel(),
                       "past_line", width=1)  # fmt: skip
        self.plot.points(at, off, "ink", size=6)
        far = sorted((i for i, one in enumerate(self.shown) if one.is_far), key=self._nearest)
        for i in far[:_MOST_NAMED]:
            self.plot.points(at[[i]], off[[i]], "attention", size=14, hollow=True, level=4)
            side = 0.0 if i < len(off) / 2 else 1.0
            self.plot.words(at[i], off[i], f" {self.shown[i].make} ", "ink",
                            anchor=(side, 0.5), bold=True)  # fmt: skip
        self.plot.words(x[0], high, "points off what its variables say", anchor=(0, 0),
                        anywhere=True)  # fmt: skip
        self.bottom.setTicks([[(0.0, self.shown[0].make), (at[-1], self.shown[-1].make)]])

    def table(self) -> ValueTable:
        """Each make, how many points it lies off, and whether that is far."""
        far = ("", worded("desk.far-off"))
        rows = [
            ValueRow((one.make, signed(one.off, 1), far[one.is_far]), i, one.off)
            for i, one in enumerate(self.shown)
        ]
        return table_of_rows(("make", "points off", ""), rows)

    def hover_text(self, plot: ChartPlot, x: float, y: float) -> str:
        i = round(x)
        if not 0 <= i < len(self.shown):
            return ""
        return f"{self.shown[i].make}: {signed(self.shown[i].off, 1)}"

    def _nearest(self, i: int) -> float:
        return -abs(self.shown[i].sds)
