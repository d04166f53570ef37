"""The day as a chart: temperature above, the ribbon with the clock, acidity below."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QWidget

from journal.curves.reduce import reduce
from journal.desk.axes import ClockAxis
from journal.desk.chart import Chart
from journal.desk.panel import COLUMNS, Panel
from journal.desk.theme import colours_of
from journal.desk.vat.day import Day, value_text
from journal.desk.vat.noted import NoteMarks, words_near
from journal.desk.vat.ribbon import DAY_ROW, PLAN_ROW, Ribbon, late_words, stage_at, strips_of
from journal.records.instants import MINUTE_MS, clock
from journal.records.traces import DOUBTFUL, STRUCK, Trace

_NAME_WIDE = 0.17  # of the day, what a name on the chart takes
GAP_MIN = 45.0  # a line is not drawn over a longer silence
FEW_POINTS = 150  # up to here every reading has its own mark
_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
          "eleven", "twelve")  # fmt: skip


class VatChart(Chart):
    """Shows a Day. `dropped` carries the path of a file let fall on it."""

    dropped = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("The day at the vat", "no make is running", parent)
        self._day: Day | None = None
        self.clock_axis = ClockAxis()
        self.temp = self.add_panel(unit="°C", height=5)
        self.ribbon = self.add_panel(bottom=self.clock_axis, height=-82)
        self.acid = self.add_panel(unit="pH", height=4)
        self.ribbon.left_axis.setTicks([[(PLAN_ROW, "plan"), (DAY_ROW, "day")]])
        self.ribbon.show_range(None, (-0.15, 2.15))
        self.setAcceptDrops(True)

    def show_day(self, day: Day | None) -> None:
        """Draw this day; None empties the chart."""
        self._day = day
        if day is not None:
            self.clock_axis.set_clock(day.whole.make.started_ms, day.whole.make.zone)
            self.describe(_in_words(day))
        self.refresh()

    def draw(self) -> None:
        for panel in self.panels:
            panel.wipe()
            panel.setVisible(self._day is not None)
        if self._day is None:
            return
        view = self._day.view()
        self.temp.show_range(view, None)
        self._draw_temperature(self._day, view)
        self._draw_ribbon(self._day)
        self._draw_acidity(self._day, view)
        self._draw_now(self._day, view)
        self._draw_notes(self._day, view)

    def _draw_notes(self, day: Day, view: tuple[float, float]) -> None:
        if day.notes:
            low, high = self.temp.viewRange()[1]
            self.temp.keep(NoteMarks(day.notes, (*view, low, high), colours_of(self)), 7)

    # Temperature

    def _draw_temperature(self, day: Day, view: tuple[float, float]) -> None:
        panel, c = self.temp, day.corridor
        trace = day.whole.trace("milk-temp")
        x, y = _sound(day, trace)
        low, high = _range_c(day, y, view)
        panel.show_range(None, (low, high))
        panel.rules(_steps(low, high, (2, 5, 10, 20)), view, unit="°C")
        past = day.past.temp
        self._past_at: float | None = None  # where its name stands
        if past is not None:
            panel.band(past.minutes, past.p10, past.p90, "past", 0.55)
            self._name_past(panel, past, day, view)
        panel.line(c.minutes, c.low, "planned", width=1, dash="fine")
        panel.line(c.minutes, c.high, "planned", width=1, dash="fine")
        panel.line(c.minutes, c.mid, "planned", width=1.5, dash="planned")
        self._name_plan(panel, day, view)
        self._draw_trace(day, x, y)
        _draw_struck(panel, day, trace)

    def _draw_trace(self, day: Day, x: np.ndarray, y: np.ndarray) -> None:
        if not len(x):
            return
        drawn = reduce(x, y, COLUMNS, gap=GAP_MIN)
        self.temp.line(drawn.at, drawn.value, "temperature", width=2, level=4)
        if len(x) <= FEW_POINTS:
            self.temp.points(x, y, "temperature", size=4)
        if day.running:
            self.temp.points(x[-1:], y[-1:], "temperature", size=10)
            self.temp.words(
                x[-1], y[-1], f" {y[-1]:.1f}", "temperature", anchor=(0, 0), bold=True, size=14
            )

    def _name_past(self, panel: Panel, past, day: Day, view: tuple[float, float]) -> None:
        there = np.flatnonzero(np.isfinite(past.p90) & (past.minutes > 0.12 * view[1]))
        if not len(there):
            return
        count = _WORDS[past.makes] if past.makes < len(_WORDS) else str(past.makes)
        x = float(past.minutes[there[0]])
        c = day.corridor
        finite = np.isfinite(c.high)
        above = float(np.interp(x, c.minutes[finite], c.high[finite])) if finite.any() else 0.0
        y = max(float(past.p90[there[0]]), above)
        panel.words(x, y, f"past {count} makes", anchor=(0, 1))
        self._past_at = x

    def _name_plan(self, panel: Panel, day: Day, view: tuple[float, float]) -> None:
        c = day.corridor
        first = day.now_min if day.running else 0.7 * view[1]
        known = np.flatnonzero(np.isfinite(c.mid) & (c.minutes > first) & (c.minutes < view[1]))
        if not len(known):
            return
        x = min(max(c.minutes[known[0]], first + 0.06 * view[1]), 0.8 * view[1])
        if self._past_at is not None and abs(x - self._past_at) < _NAME_WIDE * view[1]:
            x = self._past_at + _NAME_WIDE * view[1]
        under = np.linspace(x, x + _NAME_WIDE * view[1], 12)
        finite = np.isfinite(c.high)
        y = float(np.interp(under, c.minutes[finite], c.high[finite]).max())
        past = day.past.temp
        if past is not None and past.minutes[0] <= x <= past.minutes[-1]:
            y = float(np.nanmax([y, *np.interp(under, past.minutes, past.p90)]))
        words = "planned, from here on" if day.running else "planned"
        panel.words(x, y, words, "planned", anchor=(0, 1))

    # Ribbon

    def _draw_ribbon(self, day: Day) -> None:
        late, late_min = late_words(day)
        late = late if late_min < day.view()[1] else ""
        ribbon = Ribbon(strips_of(day), late, late_min, colours_of(self))
        self.ribbon.keep(ribbon, 4)

    # Acidity

    def _draw_acidity(self, day: Day, view: tuple[float, float]) -> None:
        panel = self.acid
        low, high = _range_ph(day, view)
        panel.show_range(None, (low, high))
        panel.rules(_steps(low, high, (0.1, 0.2, 0.4, 1.0)), view, digits=1, unit="pH")
        past, fan = day.past.ph, day.ahead.fan
        if past is not None:
            panel.band(past.minutes, past.p10, past.p90, "past", 0.55)
        if fan is not None and len(fan.minutes) > 1:
            panel.band(fan.minutes, fan.low, fan.high, "forecast", 0.28)
            panel.line(fan.minutes, fan.mid, "acidity", width=1.6, dash="dots")
        for gate in day.gates():
            if gate.gate.kind.endswith("-ph"):
                ys = (gate.gate.low, gate.gate.high)
                panel.box((gate.from_min, gate.to_min), ys, "planned")
                above = _curve_below(day, (gate.from_min + gate.to_min) / 2, sum(ys) / 2)
                panel.words(gate.from_min, ys[above], gate.label, "planned", anchor=(0, int(above)))
        for kind in ("milk-ph", "curd-ph", "whey-ph"):
            self._draw_ph(day, kind)
        self._draw_titrated(day, low, high)
        self._say_forecast(day, view, low, high)

    def _draw_ph(self, day: Day, kind: str) -> None:
        trace = day.whole.trace(kind)
        x, y = _sound(day, trace)
        whey = kind == "whey-ph"
        if len(x) > FEW_POINTS:
            drawn = reduce(x, y, COLUMNS, gap=GAP_MIN)
            self.acid.line(drawn.at, drawn.value, "acidity", width=1.6, level=4)
        elif len(x):
            self.acid.points(x, y, "acidity", size=8, hollow=whey)
        if whey and len(x):
            self.acid.words(x[-1], y[-1], " whey", "acidity", anchor=(0, 1))
        _draw_struck(self.acid, day, trace)

    def _draw_titrated(self, day: Day, low: float, high: float) -> None:
        for kind in ("milk-acidity", "whey-acidity"):
            x, y = _sound(day, day.whole.trace(kind))
            for minutes, value in zip(x[-8:], y[-8:], strict=True):
                at = low + 0.06 * (high - low)
                self.acid.points([minutes], [at], "acidity", symbol="s", size=6)
                self.acid.words(minutes, at, value_text(kind, value), "acidity", anchor=(0.5, 1))

    def _say_forecast(self, day: Day, view: tuple[float, float], low: float, high: float) -> None:
        words = forecast_words(day)
        if words:
            self.acid.words(
                view[1] * 0.01, low + 0.1 * (high - low), words, "acidity", on_paper=True
            )

    # Now

    def _draw_now(self, day: Day, view: tuple[float, float]) -> None:
        if not (day.running and view[0] <= day.now_min <= view[1]):
            return
        for panel in self.panels:
            panel.upright(day.now_min, "quiet")
        top = self.temp.viewRange()[1][1]
        right = day.now_min < 0.12 * view[1]
        words = f" now {clock(day.now_ms, day.whole.make.zone)} "
        self.temp.words(day.now_min, top, words, "ink", anchor=(0 if right else 1, 0))

    def hover_words(self, panel: Panel, x: float, y: float) -> str:
        day = self._day
        if day is None:
            return ""
        make = day.whole.make
        parts = [clock(make.started_ms + round(x * MINUTE_MS), make.zone)]
        kinds = ("milk-temp",) if panel is not self.acid else ("milk-ph", "curd-ph", "whey-ph")
        for kind in kinds:
            near = _nearest(day, kind, x)
            if near is not None:
                parts.append(value_text(kind, near) + (" in whey" if kind == "whey-ph" else ""))
        if panel is self.temp:
            planned = _planned(day, x)
            if planned is not None:
                parts.append(f"planned {planned:.1f}")
        if panel is self.ribbon:
            parts = [parts[0], stage_at(day, x)]
        return "  ".join(part for part in (*parts, words_near(day.notes, x)) if part)

    # Files let fall on it

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if event.mimeData().hasUrls() and self._day is not None:
            event.acceptProposedAction()

    def dragMoveEvent(self, event: QDragEnterEvent) -> None:
        event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        path = event.mimeData().urls()[0].toLocalFile()
        if path:
            event.acceptProposedAction()
            self.dropped.emit(path)


def forecast_words(day: Day) -> str:
    """What is expected of the next gate, in a sentence."""
    found, zone = day.ahead.gate, day.whole.make.zone
    if found is None:
        return ""
    if found.reached_at_ms is None:
        return f"pH {found.ph:.2f} for the {day.ahead.gate_label} is not expected on this course"
    at = clock(found.reached_at_ms, zone)
    if found.high_at_ms is None:
        return f"pH {found.ph:.2f} for the {day.ahead.gate_label} expected at {at}, perhaps never"
    between = f"between {clock(found.low_at_ms, zone)} and {clock(found.high_at_ms, zone)}"
    return (
        f"pH {found.ph:.2f} for the {day.ahead.gate_label} expected at {at}, "
        f"8 times in 10 {between}"
    )


def _sound(day: Day, trace: Trace) -> tuple[np.ndarray, np.ndarray]:
    kept = trace.sound()
    return kept.minutes_from(day.whole.make.started_ms), kept.value


def _draw_struck(panel: Panel, day: Day, trace: Trace) -> None:
    """Struck readings as small crosses, doubtful ones as triangles."""
    x = trace.minutes_from(day.whole.make.started_ms)
    struck = (trace.flags & STRUCK) != 0
    doubtful = ((trace.flags & DOUBTFUL) != 0) & ~struck
    if struck.any():
        panel.points(x[struck], trace.value[struck], "quiet", symbol="x", size=8)
    if doubtful.any():
        panel.points(x[doubtful], trace.value[doubtful], "attention", symbol="t1", size=10)


def _nearest(day: Day, kind: str, x: float) -> float | None:
    minutes, value = _sound(day, day.whole.trace(kind))
    if not len(minutes):
        return None
    at = int(np.clip(np.searchsorted(minutes, x), 1, len(minutes) - 1)) if len(minutes) > 1 else 0
    if at and x - minutes[at - 1] < minutes[at] - x:
        at -= 1
    return float(value[at]) if abs(minutes[at] - x) <= 15 else None


def _curve_below(day: Day, x: float, y: float) -> bool:
    """Whether the expected curve runs below a point, so that a name above it stands free."""
    fan = day.ahead.fan
    if fan is None or not len(fan.minutes) or not fan.minutes[0] <= x <= fan.minutes[-1]:
        return False
    return float(np.interp(x, fan.minutes, fan.mid)) < y


def _planned(day: Day, x: float) -> float | None:
    c = day.corridor
    i = int(np.searchsorted(c.minutes, x))
    if not 0 < i < len(c.minutes) or not np.isfinite(c.mid[i - 1 : i + 1]).all():
        return None
    return float(np.interp(x, c.minutes[i - 1 : i + 1], c.mid[i - 1 : i + 1]))


def _range_c(day: Day, y: np.ndarray, view: tuple[float, float]) -> tuple[float, float]:
    seen = day.corridor.minutes <= view[1]
    values = np.concatenate([day.corridor.low[seen], day.corridor.high[seen], y])
    values = values[np.isfinite(values)]
    if not len(values):
        return 0.0, 40.0
    low, high = float(values.min()), float(values.max())
    room = max(high - low, 6.0)
    return low - 0.04 * room, high + 0.16 * room


def _range_ph(day: Day, view: tuple[float, float]) -> tuple[float, float]:
    parts = [np.array([5.2, 6.7])]
    for kind in ("milk-ph", "curd-ph", "whey-ph"):
        parts.append(_sound(day, day.whole.trace(kind))[1])
    gates = [g.gate for g in day.gates() if g.gate.kind.endswith("-ph") and g.from_min < view[1]]
    parts += [np.array([g.low, g.high]) for g in gates]
    if day.ahead.fan is not None and len(day.ahead.fan.low):
        parts.append(np.array([day.ahead.fan.low.min(), day.ahead.fan.high.max()]))
    values = np.concatenate(parts)
    low, high = float(values.min()), float(values.max())
    return low - 0.12 * (high - low), high + 0.18 * (high - low)


def _steps(low: float, high: float, sizes: tuple[float, ...]) -> list[float]:
    """Round values inside the range, three to six of them."""
    step = next((s for s in sizes if (high - low) / s <= 7), sizes[-1])
    first, last = np.ceil(low / step), np.floor(high / step)
    return [float(i * step) for i in np.arange(first, last + 1)]


def _in_words(day: Day) -> str:
    make = day.whole.make
    count = sum(len(t) for t in day.whole.traces.values())
    stage = day.standing.stage.label if day.standing.stage else "no stage"
    last = f", milk last at {day.standing.last_c:.1f} °C" if day.standing.last_c is not None else ""
    return f"{make.code}: {stage} is running, {count} readings{last}. {forecast_words(day)}".strip()
