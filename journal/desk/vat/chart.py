"""The day at the vat: temperature above, the ribbon with the clock, acidity below."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from PySide6.QtCore import QPointF, Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QMouseEvent
from PySide6.QtWidgets import QWidget

from journal.curves.snapshot import MakeSnapshot
from journal.curves.surface import Span
from journal.desk.charts.axes import ClockAxis
from journal.desk.charts.chart import Chart
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.values import ValueCurve, ValueTable, table_of_curves
from journal.desk.commands import Command
from journal.desk.drops import is_for_window
from journal.desk.theme import colours_of, scaled
from journal.desk.vat.acid_plot import draw_acid_panel
from journal.desk.vat.groups import READINGS, STAGE
from journal.desk.vat.lines import nearest, sound
from journal.desk.vat.milk_plot import draw_temperature, planned_c
from journal.desk.vat.note_marks import NoteMarks
from journal.desk.vat.noted import words_near
from journal.desk.vat.ribbon import DAY_ROW, PLAN_ROW, Ribbon, late_at, stage_at, strips_of, to_come
from journal.records.instants import MINUTE_MS
from journal.records.kinds import PH_KINDS, READING_KINDS, TEMP_KINDS
from journal.records.makes import Make
from journal.wording import worded
from journal.wording.dates import dated_clock
from journal.wording.readings import value_text
from journal.wording.shown import shown_figure
from journal.wording.vat_day import chart_words, forecast_words, late_words

_RIBBON_PX, _SLIM_RIBBON_PX = 82, 56
_MARGINS_PX = 24
_JUST_PAST_MIN, _AHEAD_MIN = 20.0, 160.0  # the next hours


class VatChart(Chart):
    """Shows a make at a moment; a slim one leaves out the plan's row, for the make beside it.
    `dropped` carries the path of a file let fall on it, `pressed` says that it was clicked."""

    dropped = Signal(str)
    pressed = Signal()

    def __init__(self, *, slim: bool = False, parent: QWidget | None = None) -> None:
        super().__init__("The day at the vat", "no make is running", parent)
        self.slim = slim
        self._day: MakeSnapshot | None = None
        self._follows = False  # the hours about now, as now goes on
        self._moment_ms: int | None = None
        self.clock_axis = ClockAxis()
        self.temp = self.add_plot(unit="°C", height=5)
        self.ribbon = self.add_plot(
            bottom=self.clock_axis, height=-(scaled(_SLIM_RIBBON_PX if slim else _RIBBON_PX))
        )
        self.acid = self.add_plot(unit="pH", height=4)
        rows = [(DAY_ROW, "day")] if slim else [(PLAN_ROW, "plan"), (DAY_ROW, "day")]
        self.ribbon.left_axis.setTicks([rows])
        self.ribbon.show_range(None, (-0.15, 1.1 if slim else 2.15))
        self.setAcceptDrops(not slim)
        self.offers: Callable[[str, float], list[Command]] = _nothing

    def show_day(self, day: MakeSnapshot | None, moment_ms: int | None = None) -> None:
        """Draw this day, with a moment of it picked out; None empties the chart."""
        self._day, self._moment_ms = day, moment_ms
        self.about(None if day is None else day.make_id)
        if day is not None:
            self.clock_axis.set_clock(day.whole.make.started_ms, day.whole.make.zone)
            moment = self.shown_moment()
            parts = [worded("desk.shown-moment", moment=moment)] if moment else []
            self.describe(" ".join([chart_words(day), *parts]))
        self.refresh()

    def draw(self) -> None:
        for plot in self.plots:
            plot.wipe()
            plot.setVisible(self._day is not None)
        if self._day is None:
            return
        day = self._window(self._day)
        view = day.view()
        self.temp.show_range(view, None)
        room = self.height() - _MARGINS_PX - (scaled(_SLIM_RIBBON_PX if self.slim else _RIBBON_PX))
        draw_temperature(self.temp, day, room * 5 / 9, names=not self.slim)
        self._draw_ribbon(day)
        words = "" if self.slim else forecast_words(day)
        draw_acid_panel(self.acid, day, words, room * 4 / 9)
        self._draw_now(day, view)
        self._draw_moment(day, view)
        self._draw_notes(day, view)

    def _window(self, day: MakeSnapshot) -> MakeSnapshot:
        """The day over the stretch that is shown of it."""
        usual = day.view()
        limits = min(0.0, usual[0]), max(day.end_min * 1.03, usual[1])
        if self._follows and self.lens.window is not None:
            self.lens.set_range(usual, limits)
            self.lens.show(_next_hours(day))
        shown = self.seen(usual, limits)
        self._follows = self._follows and self.lens.window is not None
        return day if shown == usual else replace(day, window=shown)

    def show_next_hours(self) -> None:
        """Show what is just ahead, and go on with the clock until something else is shown."""
        if self._day is not None and self._day.running:
            self._follows = True
            self.lens.show(_next_hours(self._day))
            self.refresh()

    def has_next_hours(self) -> bool:
        """The make still runs."""
        return self._day is not None and self._day.running

    def look_commands(self) -> list[Command]:
        next_hours = Command(
            "next_hours", "The next hours", self.show_next_hours, (),
            self.has_next_hours, "look",
        )  # fmt: skip
        return [next_hours, *super().look_commands()]

    def table(self) -> ValueTable:
        """Readings and what was planned for them, by the clock."""
        day = self._day
        if day is None:
            return ValueTable()
        make, plan = day.whole.make, day.allowed_range
        curves = []
        for kind in (*TEMP_KINDS, *PH_KINDS):
            panel = self.plots.index(self.temp if kind in TEMP_KINDS else self.acid)
            at, value = sound(day, day.whole.trace(kind))
            name, text = READING_KINDS[kind].label, partial(value_text, kind)
            curves.append(ValueCurve(name, at, value, text, panel))
        planned = partial(value_text, "milk-temp")
        curves.append(ValueCurve("planned", plan.minutes, plan.mid, planned, 0, follows=True))
        return table_of_curves("time", partial(_clock_at, make), curves, partial(_instant, make))

    def clicked_at(self, plot: ChartPlot, x: float, y: float) -> None:
        """A click shows that moment; near a reading the one of the reading."""
        near = self.reading.nearest(plot, x, y)
        if near is not None:
            super().clicked_at(plot, x, y)
        elif self._day is not None and not self.slim:
            self.went.emit(_instant(self._day.whole.make, x))

    def _draw_notes(self, day: MakeSnapshot, view: tuple[float, float]) -> None:
        if day.notes:
            low, high = self.temp.viewRange()[1]
            self.temp.save(NoteMarks(day.notes, (*view, low, high), colours_of(self)), 7)

    def _draw_ribbon(self, day: MakeSnapshot) -> None:
        late_min = late_at(day)
        late = late_words(day.delay_min) if late_min < day.view()[1] and not self.slim else ""
        strips = strips_of(day)
        if self.slim:
            strips = [one for one in strips if one.row == DAY_ROW] + to_come(day)
        self.ribbon.save(Ribbon(strips, late, late_min, day.view()[1], colours_of(self)), 4)

    # Now, and a moment

    def _draw_now(self, day: MakeSnapshot, view: tuple[float, float]) -> None:
        if not (day.running and view[0] <= day.now_min <= view[1]):
            return
        for plot in self.plots:
            plot.upright(day.now_min, "quiet")
        top = self.temp.viewRange()[1][1]
        words = f" {worded('desk.now-at', time=_clock_on(day.whole.make, day.now_ms))} "
        self.temp.words(day.now_min, top, words, "ink", anchor=(_side(day.now_min, view), 0))

    def _draw_moment(self, day: MakeSnapshot, view: tuple[float, float]) -> None:
        if self._moment_ms is None:
            return
        x = (self._moment_ms - day.whole.make.started_ms) / MINUTE_MS
        for plot in self.plots:
            plot.upright(x, "ink", width=1.4)
        low, high = self.temp.viewRange()[1]
        words = f" {worded('desk.moment-shown', moment=self.shown_moment())} "
        y = high - 0.1 * (high - low)
        self.temp.words(x, y, words, "ink", anchor=(_side(x, view), 0), bold=True, on_paper=True,
                        anywhere=True)  # fmt: skip

    def shown_moment(self) -> str:
        """What was at the moment picked out: "10:42  cook  33.6 °C  pH 6.51"."""
        day = self._day
        if day is None or self._moment_ms is None:
            return ""
        x = (self._moment_ms - day.whole.make.started_ms) / MINUTE_MS
        parts = [_clock_on(day.whole.make, self._moment_ms), stage_at(day, x), *_read_at(day, x)]
        return "  ".join(part for part in (*parts, words_near(day.notes, x)) if part)

    def hover_text(self, plot: ChartPlot, x: float, y: float) -> str:
        day = self._day
        if day is None:
            return ""
        parts = [_clock_at(day.whole.make, x)]
        parts += [stage_at(day, x), *_read_at(day, x)]
        planned = planned_c(day, x)
        if planned is not None:
            parts.append(worded("desk.planned", figure=shown_figure(planned, "temperature", 1)))
        return "  ".join(part for part in (*parts, words_near(day.notes, x)) if part)

    def commands_at(self, spot: QPointF) -> list[Command]:
        """What can be done with the stage or the reading drawn there."""
        plot = self.plot_at(spot)
        if self._day is None or plot is None:
            return []
        x = plot.getViewBox().mapSceneToView(spot).x()
        return self.offers(STAGE if plot is self.ribbon else READINGS, x)

    # Files let fall on it, and clicks

    def mousePressEvent(self, event: QMouseEvent) -> None:
        super().mousePressEvent(event)
        self.pressed.emit()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        urls = event.mimeData().urls()
        if urls and self._day is not None and not is_for_window(urls[0].toLocalFile()):
            event.acceptProposedAction()
        else:
            event.ignore()

    def dragMoveEvent(self, event: QDragEnterEvent) -> None:
        event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        path = event.mimeData().urls()[0].toLocalFile()
        if path:
            event.acceptProposedAction()
            self.dropped.emit(path)


def _next_hours(day: MakeSnapshot) -> Span:
    return day.now_min - _JUST_PAST_MIN, day.now_min + _AHEAD_MIN


def _clock_at(make: Make, minutes: float) -> str:
    return _clock_on(make, _instant(make, minutes))


def _clock_on(make: Make, at_ms: int) -> str:
    return dated_clock(at_ms, make.started_ms, make.zone)


def _instant(make: Make, minutes: float) -> int:
    return make.started_ms + round(minutes * MINUTE_MS)


def _nothing(_what: str, _at_min: float) -> list[Command]:
    return []


_WHOSE = {"whey-ph": "desk.in-whey", "bath-temp": "desk.in-bath"}


def _read_at(
    day: MakeSnapshot, x: float, kinds: tuple[str, ...] = (*TEMP_KINDS, *PH_KINDS)
) -> list[str]:
    """What was read about a minute."""
    found = [(kind, nearest(day, kind, x)) for kind in kinds]
    texts = [(kind, value_text(kind, near)) for kind, near in found if near is not None]
    return [worded(_WHOSE[kind], value=text) if kind in _WHOSE else text for kind, text in texts]


def _side(x: float, view: tuple[float, float]) -> int:
    """On which side of a line its words stand: right of it (0) near the left edge, else left."""
    return 0 if x - view[0] < 0.3 * (view[1] - view[0]) else 1
