"""The curve of one make: temperature in its allowed range above, acidity with its acid targets
below."""

from __future__ import annotations

import numpy as np
from PySide6.QtWidgets import QWidget

from journal.curves.day import AllowedRange, allowed_range, last_reading_min, stage_times
from journal.curves.reduce import reduce
from journal.desk.axes import ClockAxis
from journal.desk.chart import Chart
from journal.desk.plot import COLUMNS, ChartPlot
from journal.records.instants import MINUTE_MS
from journal.records.traces import STRUCK
from journal.records.whole import WholeMake
from journal.wording.dates import clock

GAP_MIN = 45.0  # a line is not drawn over a longer silence
FEW_POINTS = 150
_PH = ("milk-ph", "curd-ph", "whey-ph")
_AFTER_THE_VAT = ("press", "brine", "dry")
_NAME_SHARE = 0.075  # a stage shorter than this of the width goes unnamed


Pair = tuple[float, float]


class MakeChart(Chart):
    """Shows one whole make at the vat."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("The make's curve", "no make selected", parent)
        self._whole: WholeMake | None = None
        self.clock_axis = ClockAxis()
        self.temp = self.add_plot(unit="°C", height=5)
        self.acid = self.add_plot(bottom=self.clock_axis, unit="pH", height=4)

    def show_make(self, whole: WholeMake | None, sentence: str = "") -> None:
        """Draw this make; None empties the chart."""
        self._whole = whole
        if whole is not None:
            self.clock_axis.set_clock(whole.make.started_ms, whole.make.zone)
            self._now = None if whole.make.finished_ms is not None else last_reading_min(whole)
            self._begins, self._end = stage_times(whole, self._now)
            self.describe(f"{whole.make.code}. {sentence}")
        self.refresh()

    def draw(self) -> None:
        for plot in self.plots:
            plot.wipe()
            plot.setVisible(self._whole is not None)
        if self._whole is None:
            return
        view = self._view(self._whole)
        self.temp.show_range(view, None)
        self._draw_temperature(self._whole, view)
        self._draw_acidity(self._whole, view)

    def _view(self, whole: WholeMake) -> tuple[float, float]:
        """The hours at the vat: up to the press, or as far as the stages go."""
        stages = whole.plan.stages[: len(self._begins)]
        after = next((i for i, s in enumerate(stages) if i and s.kind in _AFTER_THE_VAT), None)
        end = self._end if after is None else self._begins[after]
        return 0.0, max(end, self._now or 0.0, 30.0) * 1.03

    def _draw_temperature(self, whole: WholeMake, view: tuple[float, float]) -> None:
        plot, lines = self.temp, allowed_range(whole, "day", self._now)
        trace = whole.trace("milk-temp").sound()
        x, y = trace.minutes_from(whole.make.started_ms), trace.value
        low, high = _range(np.concatenate([lines.low[lines.minutes <= view[1]],
                                           lines.high[lines.minutes <= view[1]],
                                           y[x <= view[1]]]), 6.0)  # fmt: skip
        plot.show_range(None, (low, high))
        plot.rules(_steps(low, high, (2, 5, 10, 20)), view, unit="°C")
        self._name_stages(whole, view, low)
        plot.allowed(lines.minutes, lines.low, lines.high)
        plot.line(lines.minutes, lines.mid, "planned", width=1.4, dash="planned")
        self._name_allowed(plot, lines, view)
        if len(x):
            drawn = reduce(x, y, COLUMNS, gap=GAP_MIN)
            plot.line(drawn.at, drawn.value, "temperature", width=2, level=4)
            if len(x) <= FEW_POINTS:
                plot.points(x, y, "temperature", size=4)
        _draw_struck(plot, whole, "milk-temp")

    def _name_allowed(
        self, plot: ChartPlot, lines: AllowedRange, view: tuple[float, float]
    ) -> None:
        """Say what the dashed and the dotted lines are, where the plan holds a temperature."""
        for share in (0.6, 0.4, 0.8, 0.2):
            x = view[0] + share * (view[1] - view[0])
            i = int(np.searchsorted(lines.minutes, x))
            if 0 < i < len(lines.minutes) and np.isfinite(lines.high[i - 1 : i + 1]).all():
                y = float(np.interp(x, lines.minutes[i - 1 : i + 1], lines.high[i - 1 : i + 1]))
                words = "planned, dotted: its allowed range"
                plot.words(x, y, words, "planned", anchor=(0.5, 1))
                return

    def _name_stages(self, whole: WholeMake, view: tuple[float, float], low: float) -> None:
        """A tick where each stage began, its name beside it where there is room."""
        plot, ends = self.temp, [*self._begins[1:], self._end]
        for stage, begin, end in zip(whole.plan.stages, self._begins, ends, strict=False):
            if not view[0] <= begin < view[1]:
                continue
            tick = np.array([low, low + 0.05 * (plot.viewRange()[1][1] - low)])
            plot.line(np.array([begin, begin]), tick, "quiet", width=1)
            if min(end, view[1]) - begin > _NAME_SHARE * view[1]:
                plot.words(begin, low, f" {stage.label}", anchor=(0, 1))

    def _draw_acidity(self, whole: WholeMake, view: tuple[float, float]) -> None:
        plot = self.acid
        acid_targets = self._acid_targets(whole, view)
        traces = [(kind, whole.trace(kind).sound()) for kind in _PH]
        values = [trace.value for _, trace in traces] + [np.array(g[1]) for g in acid_targets]
        low, high = _range(np.concatenate([*values, np.array([5.4, 6.7])]), 0.6)
        plot.show_range(None, (low, high))
        plot.rules(_steps(low, high, (0.1, 0.2, 0.5, 1.0)), view, digits=1, unit="pH")
        for (first, last), ph, label in acid_targets:
            plot.box((first, last), ph, "planned")
            plot.words(first, ph[1], label, "planned", anchor=(0, 1))
        for kind, trace in traces:
            x = trace.minutes_from(whole.make.started_ms)
            if len(x) > FEW_POINTS:
                drawn = reduce(x, trace.value, COLUMNS, gap=GAP_MIN)
                plot.line(drawn.at, drawn.value, "acidity", width=1.6, level=4)
            elif len(x):
                plot.points(x, trace.value, "acidity", size=8, hollow=kind == "whey-ph")
            _draw_struck(plot, whole, kind)
        if not any(len(trace) for _, trace in traces):
            plot.words(view[1] / 2, (low + high) / 2, "no acidity readings", anchor=(0.5, 0.5))

    def _acid_targets(
        self, whole: WholeMake, view: tuple[float, float]
    ) -> list[tuple[Pair, Pair, str]]:
        """The pH acid targets that fall in the view: minutes, pH, the stage's name."""
        out = []
        ends = [*self._begins[1:], self._end]
        for stage, begin, end in zip(whole.plan.stages, self._begins, ends, strict=False):
            acid_target = stage.acid_target
            if acid_target is None or not acid_target.kind.endswith("-ph"):
                continue
            first = begin + (acid_target.from_min or 0.0)
            last = end if acid_target.to_min is None else begin + acid_target.to_min
            if first < view[1]:
                out.append(
                    (
                        (first, max(last, first + 1)),
                        (acid_target.low, acid_target.high),
                        stage.label,
                    )
                )
        return out

    def hover_words(self, plot: ChartPlot, x: float, y: float) -> str:
        whole = self._whole
        if whole is None:
            return ""
        parts = [clock(whole.make.started_ms + round(x * MINUTE_MS), whole.make.zone)]
        kinds = ("milk-temp",) if plot is self.temp else _PH
        for kind in kinds:
            near = _nearest(whole, kind, x)
            if near is not None:
                parts.append(f"{near:.1f} °C" if kind == "milk-temp" else f"pH {near:.2f}")
        return "  ".join(parts)


def _nearest(whole: WholeMake, kind: str, x: float) -> float | None:
    trace = whole.trace(kind).sound()
    minutes = trace.minutes_from(whole.make.started_ms)
    if not len(minutes):
        return None
    at = int(np.clip(np.searchsorted(minutes, x), 0, len(minutes) - 1))
    if at and x - minutes[at - 1] < minutes[at] - x:
        at -= 1
    return float(trace.value[at]) if abs(minutes[at] - x) <= 15 else None


def _draw_struck(plot: ChartPlot, whole: WholeMake, kind: str) -> None:
    trace = whole.trace(kind)
    struck = (trace.flags & STRUCK) != 0
    if struck.any():
        x = trace.minutes_from(whole.make.started_ms)[struck]
        plot.points(x, trace.value[struck], "quiet", symbol="x", size=8)


def _range(values: np.ndarray, least: float) -> tuple[float, float]:
    values = values[np.isfinite(values)]
    if not len(values):
        return 0.0, 40.0
    low, high = float(values.min()), float(values.max())
    room = max(high - low, least)
    return low - 0.16 * room, high + 0.22 * room


def _steps(low: float, high: float, sizes: tuple[float, ...]) -> list[float]:
    """Round values inside the range, three to six of them."""
    step = next((s for s in sizes if (high - low) / s <= 6), sizes[-1])
    room = high - low
    first, last = np.ceil((low + 0.08 * room) / step), np.floor((high - 0.1 * room) / step)
    return [float(i * step) + 0.0 for i in np.arange(first, last + 1)]
