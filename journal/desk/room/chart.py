"""A wheel's weight over its age."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from PySide6.QtWidgets import QWidget

from journal.curves.placing import Spot, fine, place_label
from journal.desk.charts.axes import NumberAxis
from journal.desk.charts.chart import Chart
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.values import ValueRow, ValueTable, table_of_rows
from journal.desk.theme import scaled
from journal.records.instants import DAY_MS, local
from journal.records.traces import Floats
from journal.records.wheels import Weighing
from journal.reports.drying import ExpectedWeight
from journal.reports.wheels import lost_pct
from journal.wording import worded
from journal.wording.dates import format_day, short_day
from journal.wording.scales import nearest, round_values, step_for
from journal.wording.shown import write
from journal.wording.wheels import lost_words, weighings_words

_DAY_STEPS = (1, 2, 7, 14, 28, 56, 91, 182, 365, 730)
_AXIS_PX = 46  # ages, and their dates under them
_TICKS_MOST, _RULES_MOST, _TICK_WIDE = 8, 5.5, 64  # px
_KG_STEPS = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0)
_UNNAMED = {"below": 0.08, "above": 0.16}  # of a panel's height; the unit stands at the top left


@dataclass(frozen=True)
class WheelView:
    """What is drawn of a wheel: days are counted from the make's start."""

    code: str
    started_ms: int
    age_days: float
    green_kg: float | None
    weighings: Sequence[Weighing]
    expected: ExpectedWeight | None = None
    zone: str = "UTC"


class RoomChart(Chart):
    """Shows one wheel."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("The wheel's weight", "no wheel selected", parent)
        self._view: WheelView | None = None
        self.days = NumberAxis("bottom")
        self.days.setHeight(scaled(_AXIS_PX))
        self.weight = self.add_plot(bottom=self.days, unit="kg")

    def show_wheel(self, view: WheelView | None) -> None:
        """Draw this wheel; None empties the chart."""
        self._view = view
        self.about(None if view is None else view.code)
        if view is not None:
            last = view.weighings[-1].weight_kg if view.weighings else None
            lost = lost_pct(view.green_kg, last)
            self.describe(weighings_words(view.code, len(view.weighings), last, lost))
        self.refresh()

    def draw(self) -> None:
        for plot in self.plots:
            plot.wipe()
            plot.setVisible(self._view is not None)
        view = self._view
        if view is None:
            return
        last = max(view.age_days, 7.0)
        x = self.seen((-0.015 * last, 1.04 * last))
        self.weight.show_range(x, None)
        self._draw_weight(view, x)
        most = min(_TICKS_MOST, max(2, self.width() // _TICK_WIDE))
        self.days.setTicks([_dated(view, day_ticks(x, most))])

    def _draw_weight(self, view: WheelView, x: tuple[float, float]) -> None:
        plot = self.weight
        if not view.weighings:
            plot.show_range(None, (0.0, 1.0))
            plot.left_axis.setTicks([[]])
            plot.words(sum(x) / 2, 0.5, "not weighed yet", anchor=(0.5, 0.5))
            return
        days = np.array([(w.at_ms - view.started_ms) / DAY_MS for w in view.weighings])
        kg = np.array([w.weight_kg for w in view.weighings])
        band = view.expected
        seen = kg if band is None else np.concatenate([kg, band.low, band.high])
        room = max(float(np.ptp(seen)), 0.08 * float(seen.max()))
        low, high = float(seen.min()) - 0.35 * room, float(seen.max()) + 0.3 * room
        plot.show_range(None, (low, high))
        step = step_for(high - low, _KG_STEPS, _RULES_MOST)
        plot.rules(
            round_values(low, high, (step,), **_UNNAMED),
            x,
            digits=2 if step < 0.5 else 1,
            unit="kg",
        )
        if band is not None:
            plot.band(band.days, band.low, band.high, "past", 0.6)
            plot.line(band.days, band.middle, "planned", dash="planned")
        plot.line(days, kg, "ink", width=1.4)
        plot.points(days, kg, "ink", size=7, hollow=True)
        plot.points(days[-1:], kg[-1:], "ink", size=8)
        self._name(view, days, kg)

    def _name(self, view: WheelView, days: Floats, kg: Floats) -> None:
        """Say what the last weight is and where the band comes from, on none of the lines."""
        plot, band, lost = self.weight, view.expected, lost_pct(view.green_kg, float(kg[-1]))
        words = write(float(kg[-1]), "mass", digits=2) + (
            f", {lost_words(lost)}" if lost is not None else ""
        )
        low, high = plot.pane(0.0).y
        near, far = 0.03 * (high - low), 0.12 * (high - low)
        drawn = [fine(days, kg)]
        if band is not None:
            drawn += [fine(band.days, line) for line in (band.low, band.middle, band.high)]
        spots = [
            Spot(days[-1], kg[-1] + off, (left, 1 if off > 0 else 0))
            for off in (near, -near, far, -far)
            for left in (1, 0)
        ]
        drawn.append(place_label(plot, words, "ink", spots, drawn))
        if band is not None:
            which = "desk.expected-from-here" if band.wheels else "desk.expected-from-published"
            spots = [
                Spot(band.days[at], edge[at] + off, (left, 1 if off > 0 else 0))
                for edge, off in ((band.high, near), (band.low, -near))
                for left, at in ((0.5, len(band.days) // 2), (0, 0), (1, -1))
            ]
            place_label(plot, worded(which, wheels=band.wheels), "quiet", spots, drawn)

    def table(self) -> ValueTable:
        """Each weighing: its day, the wheel's age, its weight and what was lost."""
        view = self._view
        if view is None:
            return ValueTable()
        rows = []
        for one in view.weighings:
            days = (one.at_ms - view.started_ms) / DAY_MS
            lost = lost_pct(view.green_kg, one.weight_kg)
            cells = (
                short_day(one.at_ms, view.zone), worded("wording.many-day", number=round(days)),
                write(one.weight_kg, "mass", digits=3), "" if lost is None else lost_words(lost),
            )  # fmt: skip
            rows.append(ValueRow(cells, days, one.weight_kg))
        return table_of_rows(("weighed", "age", "weight", "lost"), rows)

    def hover_text(self, plot: ChartPlot, x: float, y: float) -> str:
        view = self._view
        if view is None or x < 0:
            return ""
        day = short_day(view.started_ms + round(x * DAY_MS), view.zone)
        parts = [worded("wording.many-day", number=round(x)), day]
        near = nearest(self.values.x, self.values.y, x)
        if near is not None:
            weight = write(near[1], "mass", digits=3)
            parts.append(worded("desk.weighed-at", days=round(near[0]), weight=weight))
        return "  ".join(parts)


def day_ticks(shown: tuple[float, float], most: int = _TICKS_MOST) -> list[int]:
    """Whole days, weeks or months of four weeks within what is shown."""
    first, last = max(shown[0], 0.0), shown[1]
    step = next((s for s in _DAY_STEPS if (last - first) / s <= most), _DAY_STEPS[-1])
    return list(range(math.ceil(first / step) * step, int(last) + 1, step))


def _dated(view: WheelView, days: list[int]) -> list[tuple[float, str]]:
    """Ages with their dates under them, the unit at the last."""
    on = [local(view.started_ms + day * DAY_MS, view.zone).date() for day in days]
    dates = [format_day(date, short=True, year=False) for date in on]
    names = [*map(str, days[:-1]), *(worded("wording.many-day", number=day) for day in days[-1:])]
    return [(float(d), f"{a}\n{b}") for d, a, b in zip(days, names, dates, strict=True)]
