"""The lower panel of the day: acidity with its acid targets, the past, and the fan of what is
expected."""

from __future__ import annotations

import numpy as np

from journal.curves.acid_targets import DayAcidTarget
from journal.curves.day_scene import (
    USUAL_PH,
    Readings,
    draw_acid_targets,
    draw_acidity,
    is_ph,
    readings_of,
    stage_name,
)
from journal.curves.placing import Drawn, Spot, place_label
from journal.curves.snapshot import MakeSnapshot
from journal.curves.surface import Span
from journal.desk.charts.plot import ChartPlot
from journal.desk.vat.entry import KINDS_IN_TURN
from journal.desk.vat.lines import below_unit, draw_flagged, most_rules, seen, sound
from journal.records.kinds import PH_KINDS, READING_KINDS
from journal.wording.readings import value_text
from journal.wording.scales import round_values, value_range

_LAST_VALUES = 8


def draw_acid_panel(plot: ChartPlot, day: MakeSnapshot, forecast: str, high_px: float) -> None:
    """Draw it all over the stretch the day shows, the forecast in words, in a panel so high."""
    view = day.view()
    acid = [readings_of(day.whole, kind) for kind in PH_KINDS]
    low, high = _range_ph(day, acid, view)
    plot.show_range(None, (low, high))
    values = round_values(low, high, (0.1, 0.2, 0.4, 0.5, 1.0), most_rules(high_px))
    plot.rules(below_unit(high_px, values, low, high), view, digits=1, unit="pH")
    past, fan = day.past.ph, day.ahead.fan
    if past is not None:
        plot.band(past.minutes, past.p10, past.p90, "past", 0.55)
    if fan is not None and len(fan.minutes) > 1:
        plot.band(fan.minutes, fan.low, fan.high, "forecast", 0.28)
        plot.line(fan.minutes, fan.mid, "acidity", width=1.6, dash="dots")
    targets = [t for t in day.acid_targets() if is_ph(t) and _is_within(t, view)]
    drawn = _drawn(day, acid)
    for one in acid:
        if one.kind == "whey-ph" and len(one.minutes):
            spot = Spot(one.minutes[-1], one.value[-1], (0, 1))
            drawn.append(place_label(plot, " whey", "acidity", [spot], []))
    draw_acid_targets(plot, targets, stage_name, drawn)
    draw_acidity(plot, acid)
    for one in acid:
        draw_flagged(plot, day, day.whole.trace(one.kind))
    _draw_values(plot, day, low, high)
    if forecast:
        x = view[0] + 0.01 * (view[1] - view[0])
        if plot.measure(forecast)[0] > 0.98 * plot.pane(x).wide:
            forecast = forecast.replace(" (", "\n(")
        plot.words(x, low + 0.1 * (high - low), forecast, "acidity", on_paper=True, anywhere=True)


def _drawn(day: MakeSnapshot, acid: list[Readings]) -> list[Drawn]:
    """What the names of acid targets must not cover: readings, and the expected course."""
    fan = day.ahead.fan
    course = [] if fan is None else [(fan.minutes, fan.mid)]
    return [*((one.minutes, one.value) for one in acid), *course]


def _is_within(target: DayAcidTarget, view: Span) -> bool:
    return target.to_min >= view[0] and target.from_min <= view[1]


def _draw_values(plot: ChartPlot, day: MakeSnapshot, low: float, high: float) -> None:
    """What is typed beside the temperature and is no pH: its last values at the bottom."""
    for kind in (kind for kind in READING_KINDS if kind in KINDS_IN_TURN and kind not in PH_KINDS):
        x, y = sound(day, day.whole.trace(kind))
        for minutes, value in zip(x[-_LAST_VALUES:], y[-_LAST_VALUES:], strict=True):
            at = low + 0.06 * (high - low)
            plot.points(np.array([minutes]), np.array([at]), "acidity", symbol="s", size=6)
            plot.words(minutes, at, value_text(kind, value), "acidity", anchor=(0.5, 1))


def _range_ph(day: MakeSnapshot, acid: list[Readings], view: Span) -> Span:
    targets = [t.acid_target for t in day.acid_targets() if is_ph(t) and _is_within(t, view)]
    parts: list[np.ndarray] = [np.array(USUAL_PH)]
    parts += [seen((one.minutes, one.value), view) for one in acid]
    parts += [np.array([target.low, target.high]) for target in targets]
    fan = day.ahead.fan
    if fan is not None and len(fan.low):
        parts.append(np.array([fan.low.min(), fan.high.max()]))
    return value_range(parts, least=0.0, below=0.12, above=0.18)
