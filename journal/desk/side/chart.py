"""Makes side by side as a chart: temperature, the difference to one of them, acidity."""

from __future__ import annotations

import numpy as np
from PySide6.QtWidgets import QWidget

from journal.curves.comparison_set import Band
from journal.curves.reduce import Reduced
from journal.desk.charts.axes import ElapsedAxis
from journal.desk.charts.chart import Chart
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.scales import nearest, round_values, value_range
from journal.records.kinds import READING_KINDS
from journal.reports.comparison import Compared, Curves
from journal.wording.counts import counted
from journal.wording.durations import elapsed

FEW_POINTS = 60  # up to here every reading of acidity has its own mark
_NEAR_MIN = 15.0  # the pointer reads a value no further away


class SideChart(Chart):
    """Shows a Compared."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("Makes compared", "nothing to compare yet", parent)
        self._compared: Compared | None = None
        self.temp = self.add_plot(unit="°C", height=5)
        self.apart = self.add_plot(unit="°C", height=3)
        self.acid = self.add_plot(bottom=ElapsedAxis(), unit="pH", height=5)

    def show_compared(self, compared: Compared | None) -> None:
        """Draw this; None empties the chart."""
        self._compared = compared
        self.describe(_in_words(compared))
        self.refresh()

    def draw(self) -> None:
        shown = self._compared
        curves = None if shown is None else shown.temp
        for plot in self.plots:
            plot.wipe()
            plot.setVisible(curves is not None)
        if shown is None or curves is None:
            return
        view = _view(shown)
        self.temp.show_range(view, None)
        self._draw_temperature(shown, curves, view)
        self._draw_difference(shown, view)
        self._draw_acidity(shown, view)
        self._draw_moment(shown, view)

    def _draw_temperature(self, shown: Compared, curves: Curves, view: tuple[float, float]) -> None:
        plot = self.temp
        low, high = _range(curves, least=6.0, above=0.28)
        plot.show_range(None, (low, high))
        plot.rules(round_values(low, high, (2, 5, 10, 20), 6, above=0.15), view, unit="°C")
        _draw_band(plot, curves.band)
        plot.line(*curves.other, "past_line", width=1.4, dash="planned", level=2)
        plot.line(*curves.mine, "temperature", width=2, level=4)
        self._name_curves(shown, curves)

    def _name_curves(self, shown: Compared, curves: Curves) -> None:
        """Each curve named at its end, the band at its top."""
        plot = self.temp
        low, high = plot.viewRange()[1]
        apart = 0.09 * (high - low)
        mine, other = _last(curves.mine), _last(curves.other)
        if mine is not None:
            plot.words(*mine, f" {shown.code}", "temperature", anchor=(0, 0.5), bold=True)
        if other is not None:
            x, y = other
            if mine is not None and abs(y - mine[1]) < apart:
                y = mine[1] + (apart if y >= mine[1] else -apart)
            plot.words(x, y, f" {shown.other_code}", "quiet", anchor=(0, 0.5))
        if curves.band is not None:
            top = int(np.nanargmax(curves.band.p90))
            at = (curves.band.minutes[top], curves.band.p90[top])
            plot.words(*at, _band_words(curves.band), anchor=(0.5, 1))

    def _draw_difference(self, shown: Compared, view: tuple[float, float]) -> None:
        plot, curve = self.apart, shown.difference
        finite = curve.value[np.isfinite(curve.value)]
        most = max(1.0, float(np.abs(finite).max()) if len(finite) else 1.0)
        plot.show_range(None, (-1.15 * most, 1.6 * most))
        step = next((s for s in (0.5, 1, 2, 5, 10, 20) if most / s < 2.5), 50)
        plot.rules([-step, 0.0, step], view, digits=1 if step < 1 else 0, unit="°C")
        plot.line(*(np.array(view), np.zeros(2)), "past_line", width=1)
        plot.line(*curve, "temperature", width=1.5, level=4)
        x, y = view[0] + 0.01 * (view[1] - view[0]), 1.55 * most
        plot.words(x, y, f" {_difference_words(shown)}", "quiet", anchor=(0, 0))

    def _draw_acidity(self, shown: Compared, view: tuple[float, float]) -> None:
        plot, curves = self.acid, shown.acid
        if curves is None:
            plot.show_range(None, (0.0, 1.0))
            plot.left_axis.setTicks([[]])
            x = view[0] + 0.01 * (view[1] - view[0])
            plot.words(x, 0.5, f"{shown.code} has hardly any acidity readings.", anchor=(0, 0.5))
            return
        kind = READING_KINDS[curves.kind]
        low, high = _range(curves, least=0.3 if kind.unit == "pH" else 0.05, above=0.16)
        plot.show_range(None, (low, high))
        digits = 1 if kind.unit == "pH" else 2
        steps = round_values(low, high, (0.02, 0.05, 0.1, 0.2, 0.5, 1.0), 6, above=0.15)
        plot.rules(steps, view, digits=digits, unit=kind.unit.partition(" ")[0])
        _draw_band(plot, curves.band)
        plot.line(*curves.other, "past_line", width=1.4, dash="planned", level=2)
        plot.line(*curves.mine, "acidity", width=1.4, level=3)
        if len(curves.mine.at) <= FEW_POINTS:
            plot.points(*curves.mine, "acidity", size=7)
        x, y = view[0] + 0.01 * (view[1] - view[0]), low + 0.04 * (high - low)
        plot.words(x, y, f" {kind.label}", "acidity", anchor=(0, 1))

    def _draw_moment(self, shown: Compared, view: tuple[float, float]) -> None:
        for plot in self.plots:
            plot.upright(0.0, "quiet")
        if shown.asked.moment == "start":
            return
        top = self.temp.viewRange()[1][1]
        late = (0 - view[0]) > 0.85 * (view[1] - view[0])
        self.temp.words(0.0, top, f" {shown.asked.moment} ", "ink", anchor=(1 if late else 0, 0))

    def hover_words(self, plot: ChartPlot, x: float, y: float) -> str:
        shown = self._compared
        if shown is None or shown.temp is None:
            return ""
        parts = [elapsed(x)]
        if plot is self.apart:
            apart = nearest(*shown.difference, x, _NEAR_MIN)
            return elapsed(x) if apart is None else f"{elapsed(x)}  {apart[1]:+.1f} °C"
        curves = shown.temp if plot is self.temp else shown.acid
        if curves is None:
            return ""
        digits = READING_KINDS[curves.kind].digits
        for code, curve in ((shown.code, curves.mine), (shown.other_code, curves.other)):
            near = nearest(*curve, x, _NEAR_MIN)
            if near is not None:
                parts.append(f"{code} {near[1]:.{digits}f}")
        between = _band_at(curves.band, x)
        if between is not None:
            parts.append(f"others {between[0]:.{digits}f} to {between[1]:.{digits}f}")
        return "  ".join(parts)


def _draw_band(plot: ChartPlot, found: Band | None) -> None:
    if found is not None:
        plot.band(found.minutes, found.p10, found.p90, "past", 0.6)


def _band_words(found: Band) -> str:
    return f"all {found.makes} makes" if found.whole_range else f"8 in 10 of {found.makes} makes"


def _difference_words(shown: Compared) -> str:
    if not shown.other_code:
        return "no make selected to compare with"
    if not len(shown.difference.at):
        return f"{shown.code} and {shown.other_code} were never read at the same time of the day"
    return f"{shown.code} minus {shown.other_code}"


def _view(shown: Compared) -> tuple[float, float]:
    """The minutes to show: those the milk was read in, with room for names at the end; without
    it those of the acidity."""
    minutes = _read_in(shown.temp)
    if not len(minutes):
        minutes = _read_in(shown.acid)
    if not len(minutes):
        return 0.0, 60.0
    first, last = min(0.0, float(minutes.min())), max(0.0, float(minutes.max()))
    room = max(last - first, 30.0)
    return first - 0.01 * room, last + 0.22 * room


def _read_in(curves: Curves | None) -> np.ndarray:
    """When this make was read, and the other makes where two of it were."""
    if curves is None:
        return np.empty(0)
    if curves.band is None:
        return curves.mine.at
    return np.concatenate([curves.mine.at, curves.band.minutes[np.isfinite(curves.band.p50)]])


def _last(curve: Reduced) -> tuple[float, float] | None:
    """A curve's last point."""
    finite = np.flatnonzero(np.isfinite(curve.value))
    return (float(curve.at[finite[-1]]), float(curve.value[finite[-1]])) if len(finite) else None


def _range(curves: Curves, *, least: float, above: float) -> tuple[float, float]:
    parts = [curves.mine.value, curves.other.value]
    if curves.band is not None:
        parts += [curves.band.p10, curves.band.p90]
    return value_range(parts, least=least, below=0.08, above=above, empty=(0.0, least))


def _band_at(found: Band | None, x: float) -> tuple[float, float] | None:
    if found is None or not len(found.minutes):
        return None
    index = int(np.abs(found.minutes - x).argmin())
    low, high = float(found.p10[index]), float(found.p90[index])
    return (low, high) if np.isfinite(low) and abs(found.minutes[index] - x) <= 5 else None


def _in_words(shown: Compared | None) -> str:
    if shown is None:
        return "nothing to compare yet"
    if shown.problem:
        return shown.problem
    beside = f", compared with {shown.other_code}" if shown.other_code else ""
    among = counted(shown.comparison_set, "make")
    return f"{shown.code} among {among}, aligned at {shown.asked.moment}{beside}"
