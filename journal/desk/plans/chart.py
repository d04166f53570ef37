"""The planned day as a chart: the temperature above, the ribbon with the clock, acid targets
below."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import timedelta

import numpy as np
from PySide6.QtCore import QPointF, Signal
from PySide6.QtWidgets import QWidget

from journal.curves.acid_targets import DayAcidTarget
from journal.curves.acidity import Fan
from journal.curves.comparison_set import Band
from journal.curves.day_scene import (
    USUAL_PH,
    DayScene,
    draw_acid_targets,
    is_ph,
    plan_scene,
    stage_name,
)
from journal.curves.placing import Drawn, Spot, edges, fine, place_label
from journal.curves.surface import Span
from journal.desk.charts.axes import ClockAxis
from journal.desk.charts.chart import Chart
from journal.desk.charts.held import Grip
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.reading import REACH_PX
from journal.desk.charts.values import NOWHERE, ValueRow, ValueTable, table_of_rows
from journal.desk.plans.grips import LengthGrip, TemperatureGrip
from journal.records.instants import MINUTE_MS, from_datetime, local
from journal.records.plans import Plan
from journal.reports.past_makes import PastMakes
from journal.wording import worded
from journal.wording.dates import weekday_clock, weekday_name
from journal.wording.plan_sheet import acid_target_sentence, planned_line_words, vat_minutes
from journal.wording.scales import round_values, value_range
from journal.wording.shown import write

_DAY_MIN = 1440
_BELOW = 0.16  # of the panel's height, under the scale of pH


@dataclass(frozen=True)
class PlanScene:
    """What the chart draws: a plan begun at an instant, how much of it, the current stage.

    `older` is a version to be drawn under it in grey, `fan` the usual course of such a culture,
    `faulty` the places of stages that cannot work.
    """

    plan: Plan
    start_ms: int
    zone: str
    whole: bool = False
    chosen: int = -1
    past: PastMakes = field(default_factory=PastMakes)
    older: Plan | None = None
    fan: Fan | None = None
    faulty: frozenset[int] = frozenset()

    @property
    def until_min(self) -> float:
        """The last minute shown: the day at the vat, or the whole plan."""
        return self.plan.minutes if self.whole else vat_minutes(self.plan)

    @property
    def scene(self) -> DayScene:
        """What is drawn of the plan, all of it."""
        return plan_scene(self.plan, self.chosen)

    def acid_targets(self) -> list[DayAcidTarget]:
        """Those that open within what is shown, cut there."""
        last = self.until_min
        found = [one for one in self.scene.acid_targets if one.from_min < last]
        return [replace(one, to_min=min(one.to_min, last)) for one in found]

    def clock(self, minutes: float) -> str:
        """The time of day at a minute of the plan, with the weekday when it is another day."""
        at = self.start_ms + round(minutes * MINUTE_MS)
        return weekday_clock(at, self.start_ms, self.zone, short=False)


class PlanChart(Chart):
    """Shows a PlanScene. `dragged` tells of a point or an edge that was dragged: the stage, its
    cell, what would be typed there, and whether the pointer was released."""

    dragged = Signal(int, str, str, bool)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("The planned day", "no plan selected", parent)
        self._planned: PlanScene | None = None
        self._fan_title: list[Drawn] = []
        self.clock_axis = ClockAxis()
        self.temp = self.add_plot(unit="°C", height=5)
        self.ribbon = self.add_plot(bottom=self.clock_axis, height=-64)
        self.acid = self.add_plot(unit="pH", height=4)
        self.ribbon.left_axis.setTicks([[(0.5, "day")]])
        self.ribbon.show_range(None, (-0.1, 1.1))

    def show_planned(self, planned: PlanScene | None) -> None:
        """Draw this; None: nothing yet."""
        self._planned = planned
        self.about(None if planned is None else planned.plan.name)
        if planned is None:
            self.describe("no stages yet")
        else:
            self.clock_axis.set_clock(planned.start_ms, planned.zone)
            first, last = planned.clock(0), planned.clock(planned.plan.minutes)
            targets = len(planned.acid_targets())
            self.describe(planned_line_words(planned.plan, first, last, targets))
        self.refresh()

    def draw(self) -> None:
        for plot in self.plots:
            plot.wipe()
        planned = self._planned
        if planned is None:
            return
        last = planned.until_min
        view = self.seen((0.0, last * 1.02))
        self.temp.show_range(view, None)
        self._draw_temperature(planned, view)
        bars = [bar for bar in planned.scene.stages if bar.first < last]
        self.ribbon.stages([replace(bar, last=min(bar.last, last)) for bar in bars])
        self._draw_acidity(planned, view)
        self._draw_midnights(planned, view)

    # Temperature

    def _draw_temperature(self, planned: PlanScene, view: Span) -> None:
        plot = self.temp
        x, y = _line(planned)
        past = None if planned.older is not None else planned.past.temp
        low, high = _range(y, past, view, least=6.0)
        plot.show_range(None, (low, high))
        plot.rules(round_values(low, high, (2, 5, 10, 20), above=0.1), view, unit="°C")
        if past is not None:
            plot.band(past.minutes, past.p10, past.p90, "past", 0.55)
            self._name_past(plot, past, view)
        self._draw_older(planned, view)
        plot.line(x, y, "planned", width=1.6, dash="planned")
        self._mark_chosen(planned)

    def _draw_older(self, planned: PlanScene, view: Span) -> None:
        """The older version in grey, with its name where it is to be seen."""
        if planned.older is None:
            return
        knots = np.array(planned.older.line(), float).reshape(-1, 2)
        knots = knots[knots[:, 0] <= planned.until_min]
        self.temp.line(knots[:, 0], knots[:, 1], "past_line", width=3.0, level=-5)
        words = worded("desk.older-in-grey", version=planned.older.version)
        self.temp.words(view[1], self.temp.viewRange()[1][1], words, anchor=(1, 0))

    def _name_past(self, plot: ChartPlot, past: Band, view: Span) -> None:
        seen = (past.minutes > 0.55 * view[1]) & (past.minutes < 0.8 * view[1])
        there = np.flatnonzero(np.isfinite(past.p90) & seen)
        if len(there):
            at = there[0]
            words = worded("desk.past-makes", makes=past.makes)
            plot.words(past.minutes[at], past.p90[at], words, anchor=(0, 1))

    def _mark_chosen(self, planned: PlanScene) -> None:
        """The end of the current stage, with its temperature and its time."""
        index = planned.chosen
        if not 0 <= index < len(planned.plan.stages):
            return
        end = planned.plan.starts()[index] + planned.plan.stages[index].minutes
        target = planned.plan.stages[index].target_c
        if end > planned.until_min + 1 or target is None:
            return
        self.temp.points(np.array([end]), np.array([target]), "ink", size=9, hollow=True)
        heat = write(target, "temperature")
        words = f" {worded('wording.at-time', what=heat, at=planned.clock(end))} "
        low, high = self.temp.viewRange()[1]
        off = 0.035 * (high - low)
        spots = [
            Spot(end, target + side * off, (left, 1 if side > 0 else 0))
            for side in (-1, 1)
            for left in (0, 1)
        ]
        place_label(self.temp, words, "ink", spots, [fine(*_line(planned))], on_paper=True)

    # Acidity

    def _draw_acidity(self, planned: PlanScene, view: Span) -> None:
        acid_targets = planned.acid_targets()
        acid = [one for one in acid_targets if is_ph(one)]
        bare = not acid and planned.past.ph is None and planned.fan is None
        self.ci.layout.setRowStretchFactor(2, 1 if bare else 4)
        others = [one for one in acid_targets if not is_ph(one)]
        low, high = (0.0, 1.0)
        if not bare:
            low, high = self._scale_acidity(planned, acid, view, below=bool(others))
        if bare:
            self.acid.show_range(None, (low, high))
            self.acid.left_axis.setTicks([[(0.5, "acid")]])
        drawn = [*_drawn_acid(planned), *self._fan_title]

        def marked(one: DayAcidTarget) -> str:
            return f"▲ {stage_name(one)}" if one.index in planned.faulty else stage_name(one)

        draw_acid_targets(self.acid, acid, marked, drawn, planned.faulty)
        at = low + (0.5 if bare else 0.5 * _BELOW) * (high - low)
        for one in others:
            x = max(one.from_min, 0.012 * view[1])
            x_at, y_at = np.array([x]), np.array([at])
            self.acid.points(x_at, y_at, "planned", symbol="s", size=7, hollow=True)
            words = f"  {one.label}: {acid_target_sentence(one.acid_target)}"
            self.acid.words(x, at, words, "planned", anchor=(0, 0.5))
        if not acid_targets:
            self.acid.words(0.0, at, "no acid target in these hours", anchor=(0, 0.5))

    def _scale_acidity(
        self, planned: PlanScene, acid: list[DayAcidTarget], view: Span, *, below: bool
    ) -> Span:
        """What the panel shows of pH; `below` leaves a strip under the scale, for acid targets
        that are no pH."""
        plot, past = self.acid, planned.past.ph
        self._fan_title = []
        ends = [end for one in acid for end in (one.acid_target.low, one.acid_target.high)]
        plot.show_range(None, _range(np.array([*USUAL_PH, *ends]), past, view, least=0.5))
        low, high = plot.viewRange()[1]
        steps = round_values(low, high, (0.1, 0.2, 0.4, 1.0), above=0.17)
        if below:
            plot.show_range(None, (low - _BELOW / (1 - _BELOW) * (high - low), high))
        plot.rules(steps, view, digits=1, unit="pH")
        if past is not None:
            plot.band(past.minutes, past.p10, past.p90, "past", 0.55)
            if planned.past.temp is None:  # else the same grey has its name above
                self._name_past(plot, past, view)
        elif planned.fan is not None:
            self._draw_fan(planned, planned.fan, view, low)
        low, high = plot.viewRange()[1]
        return low, high

    def _draw_fan(self, planned: PlanScene, fan: Fan, view: Span, low: float) -> None:
        """The usual course of such a culture, as far as the panel shows it."""
        bottom = np.maximum(fan.low, low)
        self.acid.band(fan.minutes, bottom, np.maximum(fan.high, low), "forecast", 0.16)
        middle = np.where(fan.mid >= low, fan.mid, np.nan)
        self.acid.line(fan.minutes, middle, "forecast", dash="dots")
        words = worded("desk.usual-course", culture_type=planned.plan.culture_type)
        top = self.acid.viewRange()[1][1]
        self.acid.words(0.01 * view[1], top, words, "forecast", anchor=(0, 0))
        self._fan_title = [edges((0.01 * view[1], 0.6 * view[1]), (top - 0.1 * (top - low), top))]

    # Days

    def _draw_midnights(self, planned: PlanScene, view: Span) -> None:
        midnights = _midnights(planned)
        for minutes, name in midnights:
            for plot in (self.temp, self.acid):
                plot.upright(minutes, "hairline")
            if len(midnights) <= 4 and minutes < 0.92 * view[1]:
                top = self.temp.viewRange()[1][1]
                self.temp.words(minutes, top, f" {name}", anchor=(0, 0))

    def table(self) -> ValueTable:
        """The stages: when each begins, how long it takes, where its temperature goes."""
        planned = self._planned
        if planned is None:
            return ValueTable()
        rows = []
        for index, (stage, start) in enumerate(
            zip(planned.plan.stages, planned.plan.starts(), strict=True)
        ):
            if start >= planned.until_min:
                break
            target = stage.target_c
            end = start + stage.minutes
            cells = (
                planned.clock(start), stage.label, write(stage.minutes, "duration"),
                "" if target is None else write(target, "temperature"),
            )  # fmt: skip
            y = NOWHERE if target is None or end > planned.until_min else target
            rows.append(ValueRow(cells, min(end, planned.until_min), y, key=index))
        return table_of_rows(("begins", "stage", "takes", "at its end"), rows)

    def grip_at(self, plot: ChartPlot, at: QPointF) -> Grip | None:
        """The point at the end of a stage, or its edge on the ribbon."""
        planned = self._planned
        if planned is None or plot is self.acid:
            return None
        starts, stages = planned.plan.starts(), planned.plan.stages
        pane = plot.pane(at.x())
        a_px = (pane.x[1] - pane.x[0]) / pane.wide
        ends = np.array([start + s.minutes for start, s in zip(starts, stages, strict=True)])
        near = np.abs(ends - at.x()) <= REACH_PX / 2 * a_px
        for index in np.flatnonzero(near & (ends <= planned.until_min + 1)).tolist():
            target = stages[index].target_c
            if plot is self.ribbon:
                return LengthGrip(index, starts[index], self.dragged.emit)
            up_px = (pane.y[1] - pane.y[0]) / pane.high
            if target is not None and abs(target - at.y()) <= REACH_PX / 2 * up_px:
                return TemperatureGrip(index, self.dragged.emit)
        return None

    def clicked_at(self, plot: ChartPlot, x: float, y: float) -> None:
        """A click goes to the stage."""
        near = self.reading.nearest(plot, x, y)
        if near is not None:
            super().clicked_at(plot, x, y)
        elif self._planned is not None and 0 <= x < self._planned.until_min:
            starts = np.array(self._planned.plan.starts())
            self.went.emit(int(np.searchsorted(starts, x, side="right")) - 1)

    def hover_text(self, plot: ChartPlot, x: float, y: float) -> str:
        planned = self._planned
        if planned is None or not 0 <= x <= planned.plan.minutes:
            return ""
        starts = np.array(planned.plan.starts())
        stage = planned.plan.stages[int(np.searchsorted(starts, x, side="right")) - 1]
        temp = float(planned.plan.temperature_at(x))
        parts = [planned.clock(x), stage.label]
        return "  ".join(parts if np.isnan(temp) else [*parts, write(float(temp), "temperature")])


def _line(planned: PlanScene) -> tuple[np.ndarray, np.ndarray]:
    """The planned line as far as it is shown."""
    knots = np.array(planned.plan.line(), float).reshape(-1, 2)
    x, y = knots[:, 0], knots[:, 1]
    inside = x <= planned.until_min + 1e-6
    return x[inside], y[inside]


def _drawn_acid(planned: PlanScene) -> list[Drawn]:
    """The curve in the panel of pH."""
    past, fan = planned.past.ph, planned.fan
    if past is not None:
        return [(past.minutes, (past.p10 + past.p90) / 2)]
    return [] if fan is None else [(fan.minutes, fan.mid)]


def _midnights(planned: PlanScene) -> list[tuple[float, str]]:
    """The midnights within what is shown, minutes from the start, and the day that begins."""
    day = local(planned.start_ms, planned.zone).replace(tzinfo=None)
    out = []
    for count in range(1, int(planned.until_min // _DAY_MIN) + 3):
        at = (day + timedelta(days=count)).replace(hour=0, minute=0, second=0, microsecond=0)
        minutes = (from_datetime(at, planned.zone) - planned.start_ms) / MINUTE_MS
        if minutes < planned.until_min:
            out.append((minutes, weekday_name(at)))
    return out


def _range(y: np.ndarray, past: Band | None, view: Span, *, least: float) -> Span:
    """What an axis shows: the values and the band, with a little room."""
    parts = [y]
    if past is not None:
        seen = (past.minutes >= view[0]) & (past.minutes <= view[1])
        parts += [past.p10[seen], past.p90[seen]]
    return value_range(parts, least=least, below=0.06, above=0.18)
