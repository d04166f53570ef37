"""The upper panel of the day: temperature with its allowed range, over the band of past makes."""

from __future__ import annotations

import numpy as np

from journal.curves.day_scene import FEW_POINTS, GAP_MIN, draw_plan
from journal.curves.page_state import begins_at_c
from journal.curves.reading_age import LEFT_MIN, fresh_for
from journal.curves.reduce import reduce
from journal.curves.snapshot import MakeSnapshot
from journal.curves.surface import COLUMNS, Span
from journal.desk.charts.plot import ChartPlot
from journal.desk.vat.lines import XYPoints, below_unit, draw_flagged, most_rules, seen, sound
from journal.records.plans import Plan
from journal.wording import worded
from journal.wording.scales import round_values, value_range
from journal.wording.shown import shown_figure

_NAME_WIDE = 0.17  # of the stretch shown, what a name takes


def draw_temperature(
    plot: ChartPlot, day: MakeSnapshot, high_px: float, *, names: bool = True
) -> None:
    """Draw it all over the stretch the day shows, in a panel so high; `names` says what the lines
    are."""
    view, c = day.view(), day.allowed_range
    trace = day.whole.trace("milk-temp")
    x, y = sound(day, trace)
    low, high = _range_c(day, seen((x, y), view), view)
    plot.show_range(None, (low, high))
    values = round_values(low, high, (2, 5, 10, 20), most_rules(high_px))
    plot.rules(below_unit(high_px, values, low, high), view, unit="°C")
    past = day.past.temp
    if past is not None:
        plot.band(past.minutes, past.p10, past.p90, "past", 0.55)
    draw_plan(plot, c)
    if names:
        past_at = _name_past(plot, day, view)
        _name_plan(plot, day, view, past_at)
    _draw_trace(plot, day, x, y)
    _draw_bath(plot, day, (low, high))
    draw_flagged(plot, day, trace)


def planned_c(day: MakeSnapshot, x: float) -> float | None:
    """The day's plan at a minute, None where it names no temperature."""
    found = day.range_at(x)
    return None if found is None else found[1]


def _draw_trace(plot: ChartPlot, day: MakeSnapshot, x: np.ndarray, y: np.ndarray) -> None:
    if not len(x):
        return
    drawn = reduce(x, y, COLUMNS, gap=GAP_MIN)
    known, unknown = known_and_not(day, drawn.at, drawn.value)
    plot.line(*known, "temperature", width=2, level=4)
    if len(unknown[0]):
        plot.line(*unknown, "quiet", width=1.5, dash="unknown", level=3)
    if len(x) <= FEW_POINTS:
        plot.points(x, y, "temperature", size=4)
    if day.running and day.view()[0] <= x[-1] <= day.view()[1]:
        plot.points(x[-1:], y[-1:], "temperature", size=10)
        last = f" {shown_figure(float(y[-1]), 'temperature', 1)}"
        if day.page_state.is_old(day.now_ms):  # what it is now nobody knows
            plot.line(
                np.array([x[-1], day.now_min]), y[[-1, -1]], "quiet", width=1.5, dash="unknown"
            )
            last += worded("desk.so-long-ago", minutes=day.now_min - x[-1])
        plot.words(x[-1], y[-1], last, "temperature", anchor=(0, 0), bold=True, size=14)


def _draw_bath(plot: ChartPlot, day: MakeSnapshot, shown: Span) -> None:
    """The bath's own line, as far as it lies in the panel, and what it was last."""
    x, y = sound(day, day.whole.trace("bath-temp"))
    if not len(x):
        return
    drawn = reduce(x, y, COLUMNS, gap=GAP_MIN)
    inside = np.where((drawn.value >= shown[0]) & (drawn.value <= shown[1]), drawn.value, np.nan)
    plot.line(drawn.at, inside, "quiet", width=1.5, level=3)
    if day.view()[0] <= x[-1] <= day.view()[1]:
        last = f" {worded('desk.bath-at', figure=shown_figure(float(y[-1]), 'temperature', 1))}"
        spot = min(float(y[-1]), shown[0] + 0.97 * (shown[1] - shown[0]))
        plot.words(x[-1], max(spot, shown[0]), last, "quiet", anchor=(0, 0.5))


def known_and_not(day: MakeSnapshot, x: np.ndarray, y: np.ndarray) -> tuple[XYPoints, XYPoints]:
    """The line where it was read often enough to be known, and the stretches between where it was
    not, each with its breaks (NaN)."""
    wide = np.flatnonzero(np.diff(x) > _fresh_min(day, x[:-1]))
    wide = wide[np.isfinite(y[wide]) & np.isfinite(y[wide + 1])]
    known = np.insert(x, wide + 1, x[wide]), np.insert(y, wide + 1, np.nan)
    ends = np.stack([wide, wide + 1, wide + 1], axis=1).ravel()
    between = y[ends]
    between[2::3] = np.nan
    return known, (x[ends], between)


def _fresh_min(day: MakeSnapshot, x: np.ndarray) -> np.ndarray:
    """For how long a reading at each minute speaks for what comes after it."""
    plan, begins = day.whole.plan, np.array(day.begins)
    stages = plan.stages[: len(begins)]
    index = np.clip(np.searchsorted(begins, x, side="right") - 1, 0, len(begins) - 1)
    ramp = np.array([stage.ramp_length_min for stage in stages])
    climbing, held = (
        np.array([_good_for(plan, i, since) for i in range(len(stages))]) for since in (0.0, np.inf)
    )
    out: np.ndarray = np.where(x - begins[index] < ramp[index], climbing[index], held[index])
    return out


def _good_for(plan: Plan, index: int, since_min: float) -> float:
    stage = plan.stages[index]
    found = fresh_for(stage, begins_at_c(plan, index), since_min, stage.target_c or 0.0)
    return LEFT_MIN if found is None else found.minutes


def _name_past(plot: ChartPlot, day: MakeSnapshot, view: Span) -> float | None:
    """Name the band; returns where the name stands."""
    past = day.past.temp
    if past is None:
        return None
    first = view[0] + 0.12 * (view[1] - view[0])
    there = np.flatnonzero(np.isfinite(past.p90) & (past.minutes > first))
    if not len(there):
        return None
    x = float(past.minutes[there[0]])
    under = np.linspace(x, x + _NAME_WIDE * (view[1] - view[0]), 12)
    c = day.allowed_range
    finite = np.isfinite(c.high)
    above = np.interp(under, c.minutes[finite], c.high[finite]) if finite.any() else 0.0
    y = float(np.nanmax(np.maximum(np.interp(under, past.minutes, past.p90), above)))
    plot.words(x, y, worded("desk.past-makes-drawn", makes=past.makes), anchor=(0, 1))
    return x


def _name_plan(plot: ChartPlot, day: MakeSnapshot, view: Span, past_at: float | None) -> None:
    c, wide = day.allowed_range, view[1] - view[0]
    first = day.now_min if day.running else view[0] + 0.7 * wide
    known = np.flatnonzero(np.isfinite(c.mid) & (c.minutes > first) & (c.minutes < view[1]))
    if not len(known):
        return
    x = max(c.minutes[known[0]], first + 0.06 * wide)
    if x > view[0] + 0.8 * wide:
        return  # what is left of the day is too short for it
    if past_at is not None and abs(x - past_at) < _NAME_WIDE * wide:
        x = past_at + _NAME_WIDE * wide
    under = np.linspace(x, x + _NAME_WIDE * wide, 12)
    finite = np.isfinite(c.high)
    y = float(np.interp(under, c.minutes[finite], c.high[finite]).max())
    past = day.past.temp
    if past is not None and past.minutes[0] <= x <= past.minutes[-1]:
        y = float(np.nanmax([y, *np.interp(under, past.minutes, past.p90)]))
    words = "planned, from here on" if day.running else "planned"
    plot.words(x, y, words, "planned", anchor=(0, 1))


def _range_c(day: MakeSnapshot, y: np.ndarray, view: Span) -> Span:
    c = day.allowed_range
    inside = (c.minutes >= view[0]) & (c.minutes <= view[1])
    return value_range([c.low[inside], c.high[inside], y], least=6.0, below=0.04, above=0.16)
