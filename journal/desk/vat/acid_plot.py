"""The lower panel of the day: acidity with its acid targets, the past, and the fan of what is
expected."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from PySide6.QtGui import QFontMetricsF

from journal.curves.reduce import reduce
from journal.curves.snapshot import MakeSnapshot
from journal.desk.plot import COLUMNS, ChartPlot
from journal.desk.theme import SMALL, font
from journal.desk.vat.lines import (
    FEW_POINTS,
    GAP_MIN,
    below_unit,
    draw_struck,
    most_rules,
    seen,
    sound,
    steps,
)
from journal.wording.readings import value_text

PH_KINDS = ("milk-ph", "curd-ph", "whey-ph")
_LAST_TITRATED = 8
_NAME_PX = 20.0


def draw_acidity(plot: ChartPlot, day: MakeSnapshot, forecast: str, high_px: float) -> None:
    """Draw it all over the stretch the day shows, the forecast in words, in a panel so high."""
    view = day.view()
    low, high = _range_ph(day, view)
    plot.show_range(None, (low, high))
    values = steps(low, high, (0.1, 0.2, 0.4, 0.5, 1.0), most_rules(high_px))
    plot.rules(below_unit(high_px, values, low, high), view, digits=1, unit="pH")
    past, fan = day.past.ph, day.ahead.fan
    if past is not None:
        plot.band(past.minutes, past.p10, past.p90, "past", 0.55)
    if fan is not None and len(fan.minutes) > 1:
        plot.band(fan.minutes, fan.low, fan.high, "forecast", 0.28)
        plot.line(fan.minutes, fan.mid, "acidity", width=1.6, dash="dots")
    _draw_acid_targets(plot, day, view, high, _NAME_PX / max(high_px, 1.0) * (high - low))
    for kind in PH_KINDS:
        _draw_ph(plot, day, kind)
    _draw_titrated(plot, day, low, high)
    if forecast:
        x = view[0] + 0.01 * (view[1] - view[0])
        plot.words(x, low + 0.1 * (high - low), forecast, "acidity", on_paper=True)


def _draw_acid_targets(
    plot: ChartPlot, day: MakeSnapshot, view: tuple[float, float], top: float, name_ph: float
) -> None:
    """The acid targets with their names, so high in pH: above them only below `top`, on the other
    side where another acid target or its name is in the way, left out where both sides are
    taken."""
    shown = [
        acid_target
        for acid_target in day.acid_targets()
        if acid_target.acid_target.kind.endswith("-ph")
        and acid_target.to_min >= view[0]
        and acid_target.from_min <= view[1]
    ]
    taken = [Rect(g.from_min, g.to_min, g.acid_target.low, g.acid_target.high) for g in shown]
    a_px = (view[1] - view[0]) / max(plot.vb.width(), 1.0)
    for acid_target, box in zip(shown, tuple(taken), strict=True):
        plot.box((box.left, box.right), (box.low, box.high), "planned")
        right = box.left + a_px * QFontMetricsF(font(SMALL)).horizontalAdvance(acid_target.label)
        below = Rect(box.left, right, box.low - name_ph, box.low)
        above = Rect(box.left, right, box.high, box.high + name_ph)
        first = _curve_below(day, (box.left + box.right) / 2, (box.low + box.high) / 2)
        sides = (above, below) if first else (below, above)
        free = [one for one in sides if one.high < top and not any(map(one.meets, taken))]
        if free:
            name = free[0]
            taken.append(name)
            y, anchor = (box.high, 1) if name is above else (box.low, 0)
            plot.words(box.left, y, acid_target.label, "planned", anchor=(0, anchor))


class Rect(NamedTuple):
    """A stretch of minutes and of pH."""

    left: float
    right: float
    low: float
    high: float

    def meets(self, other: Rect) -> bool:
        """Whether both lie over each other, touching edges aside."""
        beside = other.right <= self.left or other.left >= self.right
        return not beside and other.low < self.high and other.high > self.low


def _draw_ph(plot: ChartPlot, day: MakeSnapshot, kind: str) -> None:
    trace = day.whole.trace(kind)
    x, y = sound(day, trace)
    whey = kind == "whey-ph"
    if len(x) > FEW_POINTS:
        drawn = reduce(x, y, COLUMNS, gap=GAP_MIN)
        plot.line(drawn.at, drawn.value, "acidity", width=1.6, level=4)
    elif len(x):
        plot.points(x, y, "acidity", size=8, hollow=whey)
    if whey and len(x):
        plot.words(x[-1], y[-1], " whey", "acidity", anchor=(0, 1))
    draw_struck(plot, day, trace)


def _draw_titrated(plot: ChartPlot, day: MakeSnapshot, low: float, high: float) -> None:
    for kind in ("milk-acidity", "whey-acidity"):
        x, y = sound(day, day.whole.trace(kind))
        for minutes, value in zip(x[-_LAST_TITRATED:], y[-_LAST_TITRATED:], strict=True):
            at = low + 0.06 * (high - low)
            plot.points(np.array([minutes]), np.array([at]), "acidity", symbol="s", size=6)
            plot.words(minutes, at, value_text(kind, value), "acidity", anchor=(0.5, 1))


def _curve_below(day: MakeSnapshot, x: float, y: float) -> bool:
    """Whether the expected curve runs below a point, so that a name above it stands free."""
    fan = day.ahead.fan
    if fan is None or not len(fan.minutes) or not fan.minutes[0] <= x <= fan.minutes[-1]:
        return False
    return float(np.interp(x, fan.minutes, fan.mid)) < y


def _range_ph(day: MakeSnapshot, view: tuple[float, float]) -> tuple[float, float]:
    parts = [np.array([5.2, 6.7])]
    parts += [seen(sound(day, day.whole.trace(kind)), view) for kind in PH_KINDS]
    acid_targets = [g for g in day.acid_targets() if g.acid_target.kind.endswith("-ph")]
    shown = [g.acid_target for g in acid_targets if view[0] <= g.to_min and g.from_min < view[1]]
    parts += [np.array([g.low, g.high]) for g in shown]
    if day.ahead.fan is not None and len(day.ahead.fan.low):
        parts.append(np.array([day.ahead.fan.low.min(), day.ahead.fan.high.max()]))
    values = np.concatenate(parts)
    low, high = float(values.min()), float(values.max())
    return low - 0.12 * (high - low), high + 0.18 * (high - low)
