"""A sum's picture: a curve with the answer marked on it, or published limits."""

from __future__ import annotations

import numpy as np

from journal.desk.charts.axes import NumberAxis
from journal.desk.charts.chart import Chart
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.values import ValueRow, ValueTable, table_of_rows
from journal.topics.topic import SumPicture
from journal.topics.written import four_figures
from journal.wording import worded
from journal.wording.scales import finite, round_values

_SIZES = tuple(step * 10.0**power for power in range(-4, 5) for step in (1, 2, 5))
_LOG_SIZES = (1.0,)
_HIGH, _BAR = 240, 36
_EDGE = 48


class SumChart(Chart):
    """Draws one `SumPicture`."""

    def __init__(self) -> None:
        super().__init__("The sum as a picture")
        self._picture: SumPicture | None = None
        self.axis = NumberAxis("bottom")
        self.plot = self.add_plot(bottom=self.axis)
        self.hide()

    def show_picture(self, picture: SumPicture | None) -> None:
        """Draw it; without one it takes no room."""
        self._picture = picture
        self.about(None if picture is None else picture.says)
        self.setVisible(picture is not None)
        if picture is not None:
            self.setFixedHeight(_EDGE + _BAR * len(picture.bars) if picture.bars else _HIGH)
            self.describe(picture.says)
            self.axis.setLabel(picture.x_title)
            self.refresh()

    def draw(self) -> None:
        self.plot.wipe()
        if self._picture is None:
            return
        if self._picture.bars:
            self._draw_bars(self._picture)
        else:
            self._draw_lines(self._picture)

    def _draw_lines(self, picture: SumPicture) -> None:
        xs = finite([line.x for line in picture.lines] + [[mark[0] for mark in picture.marks]])
        parts = [line.y for line in picture.lines] + [line.high for line in picture.lines]
        ys = finite([self._y(part) for part in parts])
        ys = np.append(ys, self._y([mark[1] for mark in picture.marks]))
        x = (float(xs.min()) if picture.least_x is None else picture.least_x, float(xs.max()))
        room = 0.12 * (ys.max() - ys.min() or 1.0)
        x = self.seen(x)
        y = (float(ys.min() - room), float(ys.max() + 2 * room))
        self.plot.show_range(x, y)
        rules = round_values(*y, _LOG_SIZES if picture.log else _SIZES, 5, above=0.16)
        self.plot.rules(rules, x, digits=_digits(rules), unit="")
        left = [(v, four_figures(10**v) if picture.log else four_figures(v)) for v in rules]
        self.plot.left_axis.setTicks([left])
        self.plot.words(x[0], y[1], picture.y_title, anchor=(0, 0), anywhere=True)
        for line in picture.lines:
            at, values = np.array(line.x), self._y(line.y)
            if line.high:
                self.plot.band(at, values, self._y(line.high), "past", 0.6)
            else:
                self.plot.line(at, values, "ink", width=1.6)
            if line.name:
                self._name(line.name, at, self._y(line.high) if line.high else values)
        for mark_x, mark_y, words in picture.marks:
            self._mark(mark_x, float(self._y([mark_y])[0]), words, x)
        if picture.at is not None:
            self.plot.upright(picture.at, "ink", dash="planned")

    def _y(self, values: object) -> np.ndarray:
        array = np.array(values, dtype=float)
        log = self._picture is not None and self._picture.log
        return np.log10(array) if log else array

    def _name(self, name: str, at: np.ndarray, values: np.ndarray) -> None:
        known = np.flatnonzero(np.isfinite(values))
        if len(known):
            last = known[-1]
            self.plot.words(at[last], values[last], name, "quiet", anchor=(1, 1), on_paper=True)

    def _mark(self, x: float, y: float, words: str, shown: tuple[float, float]) -> None:
        self.plot.points(np.array([x]), np.array([y]), "ink", size=9)
        right = x > sum(shown) / 2
        anchor = (1.15 if right else -0.15, 1.1)
        self.plot.words(x, y, words, "ink", anchor=anchor, bold=True, on_paper=True)

    def _draw_bars(self, picture: SumPicture) -> None:
        ends = [end for _, low, high, _ in picture.bars for end in (low, high)]
        x = (min(ends) - 0.06 * (max(ends) - min(ends)), max(ends) * 1.04)
        x = self.seen(x)
        self.plot.show_range(x, (-0.1, len(picture.bars) + 0.1))
        self.plot.left_axis.setTicks([[]])
        at = picture.at
        for row, (name, low, high, stands_out) in enumerate(picture.bars):
            y = len(picture.bars) - row - 0.75
            line = np.array([low, high])
            self.plot.line(
                line, np.array([y, y]), "attention" if stands_out else "past_line", width=5
            )
            span = worded("wording.from-to", first=four_figures(low), last=four_figures(high))
            words = f"{'▲ ' if stands_out else ''}{name}  {span}"
            self.plot.words(x[0], y, words, "ink" if stands_out else "quiet", anchor=(0, 1.1))
        if at is not None:
            self.plot.upright(at, "ink", dash="planned")

    def table(self) -> ValueTable:
        """The points of the curves and the marks, or the ends of the bars."""
        picture = self._picture
        if picture is None:
            return ValueTable()
        if picture.bars:
            bars = [
                ValueRow((name, four_figures(low), four_figures(high)), (low + high) / 2,
                         len(picture.bars) - row - 0.75)
                for row, (name, low, high, _) in enumerate(picture.bars)
            ]  # fmt: skip
            return table_of_rows(("limit", "from", "to"), bars)
        rows = [
            ValueRow((four_figures(x), words, four_figures(y)), x, float(self._y([y])[0]))
            for x, y, words in picture.marks
        ]
        for line in picture.lines:
            for x, y in zip(line.x, line.high or line.y, strict=True):
                cells = (four_figures(x), line.name, four_figures(y))
                rows.append(ValueRow(cells, float(x), float(self._y([y])[0])))
        return table_of_rows((picture.x_title, "", picture.y_title), sorted(rows, key=_along))

    def hover_text(self, plot: ChartPlot, x: float, y: float) -> str:
        picture = self._picture
        if picture is None or picture.bars or not picture.lines:
            return super().hover_text(plot, x, y)
        line = picture.lines[0]
        at = int(np.argmin(np.abs(np.array(line.x) - x)))
        return f"{four_figures(line.x[at])}   {four_figures(line.y[at])}"


def _along(row: ValueRow) -> float:
    return row.x


def _digits(rules: list[float]) -> int:
    """Decimals that tell the rules apart."""
    step = min(np.diff(rules), default=1.0)
    return max(0, -int(np.floor(np.log10(step)))) if step > 0 else 0
