"""All makes on one timeline: scores, yields, the versions of plans, the seasons of the milk."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np
from PySide6.QtWidgets import QWidget

from journal.desk.charts.axes import NumberAxis, Ticks
from journal.desk.charts.chart import Chart
from journal.desk.charts.days import month_names, month_starts
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.values import ValueRow, ValueTable, table_of_rows
from journal.keeping import MakeRow
from journal.records.instants import local
from journal.records.seasons import is_south, season_of
from journal.reports.make_filter import own_score
from journal.wording import worded
from journal.wording.dates import format_day, short_day
from journal.wording.makes import make_row_words
from journal.wording.scales import round_values, value_range
from journal.wording.shown import YIELD, figure, unit_shown

_PX_A_TICK, _REACH_PX = 70, 9
_MONTH_DAYS = 30.44
# Where the milk of a season is fatter or thinner is for the scores to show.
_SEASON_BEGINS = (3, 6, 9, 12)
_MOST_PLANS = 4
_SIZES = (0.1, 0.2, 0.5, 1, 2, 5, 10)  # between rules of scores and yields


class DaysAxis(NumberAxis):
    """Days of the calendar as ordinals, ticking at the first of months."""

    def tickValues(self, minVal: float, maxVal: float, size: float) -> Ticks:
        first, last = (date.fromordinal(max(1, math.ceil(v))) for v in (minVal, maxVal - 1))
        days = month_starts(first, last, size / _PX_A_TICK)
        if len(days) < 2:  # so near that days are told apart
            step = max(1, math.ceil((maxVal - minVal) / max(size / _PX_A_TICK, 1)))
            at = range(first.toordinal(), last.toordinal() + 1, step)
            return [(1.0, [float(day) for day in at])]
        return [(_MONTH_DAYS, [float(on.toordinal()) for on in days])]

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        days = [date.fromordinal(round(value)) for value in values]
        if spacing < _MONTH_DAYS:
            return [format_day(on, short=True, year=False) for on in days]
        return month_names(days)


class AllMakesChart(Chart):
    """Draws the makes that the list shows; a click goes to a make, by its id."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("All makes", "no makes yet", parent)
        self._rows: list[MakeRow] = []
        self.south: bool | None = None
        self._at: np.ndarray = np.empty(0)
        self._mine: int | None = None
        self._plans: list[str] = []
        self.score = self.add_plot(unit="score", height=5)
        self.weight = self.add_plot(unit=YIELD, height=4)
        self.plans = self.add_plot(bottom=DaysAxis("bottom"), unit="version", height=3)

    def show_makes(self, rows: Sequence[MakeRow], mine: int | None) -> None:
        """Draw these makes; `mine` is the one that is open."""
        self._rows = sorted(rows, key=_began)
        self._at = np.array([_day_of(row) for row in self._rows], float)
        self._mine = mine
        counts = Counter(row.plan for row in self._rows)
        self._plans = [plan for plan, _ in counts.most_common(_MOST_PLANS)]
        scored = sum(own_score(row) is not None for row in self._rows)
        versions = len({(row.plan, row.plan_version) for row in self._rows})
        self.describe(
            worded("desk.all-makes-chart", rows=len(self._rows), scored=scored, versions=versions)
        )
        self.refresh()

    def _is_south(self) -> bool:
        """Whose seasons are named: as one chose, else those of the newest make's zone."""
        if self.south is not None:
            return self.south
        return bool(self._rows) and is_south(self._rows[-1].zone)

    def turn_seasons(self, south: bool | None) -> None:
        """Name the seasons of the south or of the north; None: of the makes' zone."""
        self.south = south
        self.refresh()

    def draw(self) -> None:
        for plot in self.plots:
            plot.wipe()
            plot.setVisible(bool(self._rows))
        if not self._rows:
            return
        first, last = float(self._at[0]), float(self._at[-1])
        room = max(0.02 * (last - first), 10.0)
        view = self.seen((first - room, last + room))
        self.score.show_range(view, None)
        self._draw(self.score, [own_score(row) for row in self._rows], view, "ink", "score", 3.0)
        self._draw(self.weight, [_yield(row) for row in self._rows], view, "acidity",
                   unit_shown(YIELD), figure(3.0, YIELD, 1).value)  # fmt: skip
        top = self.weight.viewRange()[1][1]
        self.weight.words(view[0], top, " yield", anchor=(0, 0))
        self._draw_failed()
        self._draw_versions(view)

    def table(self) -> ValueTable:
        """The makes by their day: plan, version, score, yield."""
        rows = []
        for row, x in zip(self._rows, self._at, strict=True):
            score, green = own_score(row), row.yield_pct
            given = "" if score is None else f"{score:.1f}"
            cells = (
                short_day(row.started_ms, row.zone), row.code, row.plan, str(row.plan_version),
                worded("wording.make-failed") if row.failed else given,
                "" if green is None else figure(green, YIELD, 1).whole,
            )  # fmt: skip
            marks = [(0, score), (1, _yield(row)), (2, -float(self._line_of(row.plan)))]
            words = make_row_words(row)
            rows += [
                ValueRow(cells, x, value, panel, words, row.id)
                for panel, value in marks
                if value is not None
            ][:1]
        return table_of_rows(("day", "make", "plan", "version", "score", "yield"), rows)

    def hover_text(self, plot: ChartPlot, x: float, y: float) -> str:
        row = self._near(plot, x, y)
        return "" if row is None else make_row_words(row)

    def clicked_at(self, plot: ChartPlot, x: float, y: float) -> None:
        row = self._near(plot, x, y)
        if row is not None:
            self.went.emit(row.id)

    def _line_of(self, plan: str) -> int:
        """Which line of the plans' panel is the plan's; the last one's for those run least."""
        return self._plans.index(plan) if plan in self._plans else max(len(self._plans) - 1, 0)

    def _draw(
        self, plot: ChartPlot, values: list[float | None], view: tuple[float, float], role: str,
        unit: str, least: float,
    ) -> None:  # fmt: skip
        y = np.array([np.nan if value is None else value for value in values])
        low, high = value_range([y], least=least, below=0.12, above=0.3, empty=(0.0, 10.0))
        plot.show_range(None, (low, high))
        self._draw_seasons(plot, view, (low, high))
        steps = round_values(low, high, _SIZES, 6, below=0.05, above=0.18)
        digits = 0 if all(step == round(step) for step in steps) else 1
        plot.rules(steps, view, digits=digits, unit=unit)
        known = np.isfinite(y)
        size = 8 if known.sum() < 300 else 4
        plot.points(self._at[known], y[known], role, size=size, hollow=role != "ink")
        for row, at, value in zip(self._rows, self._at, y, strict=True):
            if row.id == self._mine and np.isfinite(value):
                plot.points(np.array([at]), np.array([value]), "ink", size=13, hollow=True, level=6)
                late = at > view[0] + 0.85 * (view[1] - view[0])
                words = f" {row.code} "
                plot.words(at, value, words, "ink", anchor=(1 if late else 0, 1), bold=True)

    def _draw_failed(self) -> None:
        """Failed makes on the floor of the scores."""
        low, high = self.score.viewRange()[1]
        at = np.array([x for row, x in zip(self._rows, self._at, strict=True) if row.failed])
        if len(at):
            floor = np.full(len(at), low + 0.05 * (high - low))
            self.score.points(at, floor, "attention", symbol="t1", size=9)

    def _draw_seasons(
        self, plot: ChartPlot, view: tuple[float, float], shown: tuple[float, float]
    ) -> None:
        """Every other season as a wash, named at the top where there is room."""
        span = view[1] - view[0]
        if span > 8 * 366:
            return
        year = date.fromordinal(max(1, round(view[0]))).year - 1
        for number in range(4 * math.ceil(span / 365 + 2)):
            month = _SEASON_BEGINS[number % 4]
            name = season_of(month, south=self._is_south())
            begin = date(year + number // 4, month, 1)
            end = (begin + timedelta(days=92)).replace(day=1)
            low, high = max(begin.toordinal(), view[0]), min(end.toordinal(), view[1])
            if high <= low:
                continue
            if number % 2:
                edge = np.array([low, high])
                plot.band(edge, np.full(2, shown[0]), np.full(2, shown[1]), "past", 0.25)
            if plot is self.score and high - low > 0.08 * span:
                plot.words((low + high) / 2, shown[1], name, anchor=(0.5, 0))

    def _draw_versions(self, view: tuple[float, float]) -> None:
        """A line for each of the plans run most, a mark a make, and its number where a version was
        run first."""
        plans, plot = self._plans, self.plans
        plot.show_range(None, (-len(plans) + 0.3, 1.0))
        plot.left_axis.setTicks([[(0.75, "version")]])
        began = {(row.plan, row.plan_version): row.id for row in reversed(self._rows)}
        for line, plan in enumerate(plans):
            mine = [(r, at) for r, at in zip(self._rows, self._at, strict=True) if r.plan == plan]
            at = np.array([x for _, x in mine])
            y = np.full(len(at), -float(line))
            plot.line(at[[0, -1]], y[[0, -1]], "past_line", width=1)
            plot.points(at, y, "past_line", symbol="s", size=4)
            plot.words(view[0], -line + 0.42, f" {plan}", "planned", anchor=(0, 0.5), on_paper=True)
            for row, x in mine:
                if began[row.plan, row.plan_version] == row.id:
                    words = str(row.plan_version)
                    plot.words(x, -line, words, "planned", anchor=(0.5, 1))

    def _near(self, plot: ChartPlot, x: float, y: float) -> MakeRow | None:
        if not len(self._at):
            return None
        values = [self._value(plot, row) for row in self._rows]
        heights = np.array([np.nan if value is None else value for value in values])
        pane = plot.pane(x)
        dx = (self._at - x) / (pane.x[1] - pane.x[0]) * pane.wide
        dy = (heights - y) / (pane.y[1] - pane.y[0]) * pane.high * (plot is not self.plans)
        apart = np.hypot(dx, np.where(np.isfinite(dy), dy, np.inf))
        best = int(np.argmin(apart))
        return self._rows[best] if apart[best] <= _REACH_PX else None

    def _value(self, plot: ChartPlot, row: MakeRow) -> float | None:
        """Where a make stands up in a plot; among the plans anywhere on its day."""
        if plot is self.score:
            return own_score(row)
        return _yield(row) if plot is self.weight else 0.0


def _yield(row: MakeRow) -> float | None:
    """In the unit that is shown."""
    return None if row.yield_pct is None else figure(row.yield_pct, YIELD, 1).value


def _began(row: MakeRow) -> tuple[int, int]:
    return row.started_ms, row.id


def _day_of(row: MakeRow) -> int:
    return local(row.started_ms, row.zone).date().toordinal()
