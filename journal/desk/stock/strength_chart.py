"""A bath's strength over time: known and calculated, the one aimed at, and what lay in it."""

from __future__ import annotations

import numpy as np
from PySide6.QtWidgets import QWidget

from journal.desk.charts.axes import ClockAxis
from journal.desk.charts.chart import Chart
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.values import ValueRow, ValueTable, table_of_rows
from journal.desk.stock.section import Detail
from journal.records.brines import BRINE_HIGH_PCT, BRINE_LOW_PCT
from journal.records.instants import DAY_MS, MINUTE_MS
from journal.wording import worded
from journal.wording.dates import short_day


class StrengthChart(Chart):
    """Shows the course of one bath: marks where its strength is known, a line to guide the eye."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("Strength of the brine", "no brine selected", parent)
        self._detail = Detail()
        self._now_ms, self._zone = 0, "UTC"
        self.axis = ClockAxis()
        self.plot = self.add_plot(bottom=self.axis, unit="% salt")
        self.setFixedHeight(180)

    def show_course(self, detail: Detail, now_ms: int, zone: str) -> None:
        """Draw this bath."""
        self._detail, self._now_ms, self._zone = detail, now_ms, zone
        self.about(detail.course[0] if detail.course else None)
        if detail.course:
            at_ms, pct = detail.course[-1]
            self.describe(worded("desk.strength-since", pct=pct, day=short_day(at_ms, zone)))
        self.refresh()

    def draw(self) -> None:
        self.plot.wipe()
        course = self._detail.course
        if not course:
            return
        zero = course[0][0]
        self.axis.set_clock(zero, self._zone)
        at = np.array([(ms - zero) / MINUTE_MS for ms, _ in course])
        pct = np.array([value for _, value in course])
        last = max((self._now_ms - zero) / MINUTE_MS, at[-1], 7 * DAY_MS / MINUTE_MS)
        x = self.seen((-0.02 * last, 1.16 * last))
        low = min(float(pct.min()) - 0.8, BRINE_LOW_PCT - 1)
        high = max(float(pct.max()) + 0.8, BRINE_HIGH_PCT - 2)
        self.plot.show_range(x, (low, high))
        step = 2.0 if high - low <= 12 else 5.0
        first = np.ceil((low + 0.4) / step) * step
        rules = np.arange(first, high - 0.24 * (high - low), step)
        self.plot.rules([float(v) for v in rules], x, unit="%")
        self._draw_stays(zero, last, low, high)
        wanted = self._detail.wanted_pct
        if wanted is not None:
            self.plot.line(np.array(x), np.array([wanted, wanted]), "planned", dash="planned")
        self.plot.line(np.append(at, last), np.append(pct, pct[-1]), "ink", width=1.4)
        self.plot.points(at, pct, "ink", size=7, hollow=True)
        self.plot.words(
            last, pct[-1], f" {pct[-1]:.1f} %", "ink", anchor=(0, 0.5), bold=True, on_paper=True
        )

    def _draw_stays(self, zero: int, last: float, low: float, high: float) -> None:
        """What lay in it, as dark strokes along the bottom."""
        base = low + 0.05 * (high - low)
        for come, went in self._detail.stays:
            begin = (come - zero) / MINUTE_MS
            end = last if went is None else (went - zero) / MINUTE_MS
            end = max(end, begin + 0.004 * last)
            self.plot.line(np.array([begin, end]), np.array([base, base]), "done", width=5)
        if self._detail.stays:
            first = min(come for come, _ in self._detail.stays)
            self.plot.words(
                (first - zero) / MINUTE_MS,
                base,
                "cheese in it",
                anchor=(0, 1),
                on_paper=True,
            )

    def table(self) -> ValueTable:
        """The strength wherever it is known."""
        course = self._detail.course
        rows = [
            ValueRow(
                (short_day(ms, self._zone), f"{pct:.1f} %"), (ms - course[0][0]) / MINUTE_MS, pct
            )
            for ms, pct in course
        ]
        return table_of_rows(("since", "salt"), rows)

    def hover_text(self, plot: ChartPlot, x: float, y: float) -> str:
        course = self._detail.course
        if not course:
            return ""
        at_ms = course[0][0] + x * MINUTE_MS
        known = [one for one in course if one[0] <= at_ms] or [course[0]]
        return f"{short_day(round(at_ms), self._zone)}  {known[-1][1]:.1f} %"
