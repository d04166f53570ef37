"""The curve of one make: temperature in its allowed range above, acidity with its acid targets
below."""

from __future__ import annotations

from functools import partial

import numpy as np
from PySide6.QtWidgets import QWidget

from journal.curves.day import AllowedRange, last_reading_min
from journal.curves.day_scene import (
    DayScene,
    draw_acid_targets,
    draw_acidity,
    draw_log,
    draw_plan,
    draw_struck,
    make_scene,
    stage_name,
)
from journal.curves.surface import Span
from journal.desk.charts.axes import ClockAxis
from journal.desk.charts.chart import Chart
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.values import ValueCurve, ValueTable, table_of_curves
from journal.records.instants import MINUTE_MS
from journal.records.kinds import PH_KINDS, READING_KINDS
from journal.records.makes import Make
from journal.records.whole import WholeMake
from journal.wording import worded
from journal.wording.dates import clock
from journal.wording.readings import value_text
from journal.wording.scales import nearest, round_values, value_range

_AFTER_THE_VAT = ("press", "brine", "dry", "smoke")
_NAME_SHARE = 0.075  # a stage shorter than this of the width goes unnamed
_NEAR_MIN = 15.0  # so far from the pointer a reading is still meant


class MakeChart(Chart):
    """Shows one whole make at the vat."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("The make's curve", "no make selected", parent)
        self._make: WholeMake | None = None
        self.clock_axis = ClockAxis()
        self.temp = self.add_plot(unit="°C", height=5)
        self.acid = self.add_plot(bottom=self.clock_axis, unit="pH", height=4)

    def show_make(self, whole: WholeMake | None, sentence: str = "") -> None:
        """Draw this make; None empties the chart."""
        self._make = whole
        self.about(None if whole is None else whole.make.id)
        if whole is not None:
            self.clock_axis.set_clock(whole.make.started_ms, whole.make.zone)
            self._now = None if whole.make.finished_ms is not None else last_reading_min(whole)
            self._scene = make_scene(whole, self._now)
            self.describe(f"{whole.make.code}. {sentence}")
        self.refresh()

    def draw(self) -> None:
        for plot in self.plots:
            plot.wipe()
            plot.setVisible(self._make is not None)
        if self._make is None:
            return
        usual = self._view(self._make)
        view = self.seen(usual, (0.0, max(usual[1], self._scene.stages[-1].last * 1.03)))
        self.temp.show_range(view, None)
        self._draw_temperature(self._make, self._scene, view)
        self._draw_acidity(self._make, self._scene, view)

    def _view(self, whole: WholeMake) -> Span:
        """The hours at the vat: up to the press, or as far as the stages go."""
        bars = list(zip(whole.plan.stages, self._scene.stages, strict=False))
        after = (bar.first for stage, bar in bars[1:] if stage.kind in _AFTER_THE_VAT)
        end = next(after, bars[-1][1].last)
        return 0.0, max(end, self._now or 0.0, 30.0) * 1.03

    def _draw_temperature(self, whole: WholeMake, scene: DayScene, view: Span) -> None:
        plot, lines, log = self.temp, scene.plan, scene.log
        inside = (lines.minutes >= view[0]) & (lines.minutes <= view[1])
        parts = [lines.low[inside], lines.high[inside]]
        parts += [] if log is None else [log.until(view[1])]
        low, high = value_range(parts, least=6.0, below=0.16, above=0.22)
        plot.show_range(None, (low, high))
        plot.rules(
            round_values(low, high, (2, 5, 10, 20), 6, below=0.08, above=0.1), view, unit="°C"
        )
        self._name_stages(scene, view, low)
        draw_plan(plot, lines)
        self._name_allowed(plot, lines, view)
        if log is not None:
            draw_log(plot, log)
        draw_struck(plot, whole.trace("milk-temp"), whole.make.started_ms)

    def _name_allowed(self, plot: ChartPlot, lines: AllowedRange, view: Span) -> None:
        """Say what the dashed and the dotted lines are, where the plan holds a temperature."""
        for share in (0.6, 0.4, 0.8, 0.2):
            x = view[0] + share * (view[1] - view[0])
            i = int(np.searchsorted(lines.minutes, x))
            if 0 < i < len(lines.minutes) and np.isfinite(lines.high[i - 1 : i + 1]).all():
                y = float(np.interp(x, lines.minutes[i - 1 : i + 1], lines.high[i - 1 : i + 1]))
                words = "planned, dotted: its allowed range"
                plot.words(x, y, words, "planned", anchor=(0.5, 1))
                return

    def _name_stages(self, scene: DayScene, view: Span, low: float) -> None:
        """A tick where each stage began, its name beside it where there is room."""
        plot = self.temp
        tick = np.array([low, low + 0.05 * (plot.viewRange()[1][1] - low)])
        for bar in scene.stages:
            if not view[0] <= bar.first < view[1]:
                continue
            plot.line(np.array([bar.first, bar.first]), tick, "quiet", width=1)
            if min(bar.last, view[1]) - bar.first > _NAME_SHARE * (view[1] - view[0]):
                plot.words(bar.first, low, f" {bar.label}", anchor=(0, 1))

    def _draw_acidity(self, whole: WholeMake, scene: DayScene, view: Span) -> None:
        plot, targets = self.acid, scene.ph_targets(view[1])
        ends = [(t.acid_target.low, t.acid_target.high) for t in targets]
        read = [one.value for one in scene.acid]
        low, high = value_range([*read, ends, (5.4, 6.7)], least=0.6, below=0.16, above=0.22)
        plot.show_range(None, (low, high))
        steps = round_values(low, high, (0.1, 0.2, 0.5, 1.0), 6, below=0.08, above=0.1)
        plot.rules(steps, view, digits=1, unit="pH")
        drawn = [(one.minutes, one.value) for one in scene.acid]
        draw_acid_targets(plot, targets, stage_name, drawn)
        draw_acidity(plot, scene.acid)
        for kind in PH_KINDS:
            draw_struck(plot, whole.trace(kind), whole.make.started_ms)
        if not scene.acid:
            plot.words(sum(view) / 2, (low + high) / 2, "no acidity readings", anchor=(0.5, 0.5))

    def table(self) -> ValueTable:
        """Readings and what was planned for them, by the clock."""
        whole = self._make
        if whole is None:
            return ValueTable()
        scene, make = self._scene, whole.make
        log = () if scene.log is None else (scene.log,)
        curves = [
            ValueCurve(
                READING_KINDS[one.kind].label, one.minutes, one.value,
                partial(value_text, one.kind), int(one is not scene.log),
            )
            for one in (*log, *scene.acid)
        ]  # fmt: skip
        text = partial(value_text, "milk-temp")
        curves.append(
            ValueCurve("planned", scene.plan.minutes, scene.plan.mid, text, 0, follows=True)
        )
        return table_of_curves("time", partial(_clock_at, make), curves, partial(_instant, make))

    def hover_text(self, plot: ChartPlot, x: float, y: float) -> str:
        whole = self._make
        if whole is None:
            return ""
        scene = self._scene
        stage = next((bar.label for bar in scene.stages if bar.first <= x < bar.last), "")
        parts = [_clock_at(whole.make, x), stage]
        for one in (*(() if scene.log is None else (scene.log,)), *scene.acid):
            near = nearest(one.minutes, one.value, x, _NEAR_MIN)
            if near is not None:
                value = value_text(one.kind, near[1])
                parts.append(worded("desk.in-whey", value=value) if one.hollow else value)
        return "  ".join(part for part in parts if part)


def _clock_at(make: Make, minutes: float) -> str:
    return clock(_instant(make, minutes), make.zone)


def _instant(make: Make, minutes: float) -> int:
    return make.started_ms + round(minutes * MINUTE_MS)
