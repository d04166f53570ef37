"""Two or three ribbons opened to their full curves, over the band of all the others."""

from __future__ import annotations

from functools import partial

import numpy as np
from PySide6.QtWidgets import QWidget

from journal.curves.comparison_set import Band, band_of
from journal.curves.course import CourseReadings
from journal.curves.placing import Spot, place_label
from journal.curves.reduce import Reduced, reduce
from journal.curves.surface import BandSurface, Span
from journal.desk.charts.axes import ElapsedAxis
from journal.desk.charts.chart import Chart
from journal.desk.charts.lens import Lens
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.reading import REACH_PX
from journal.desk.charts.values import ValueCurve, ValueTable, table_of_curves
from journal.desk.theme import STEP
from journal.records.kinds import READING_KINDS
from journal.reports.comparison import table_of
from journal.reports.ribbons import Lane, RibbonScene, position_text, time_text
from journal.wording import worded
from journal.wording.durations import from_start
from journal.wording.readings import figure_text, value_text
from journal.wording.scales import nearest, round_values, value_range

_COLUMNS, _FEW_POINTS, _NEAR_MIN = 900, 60, 15.0
_DASHES = ("", "planned", "dots")
_AT_NAMES = ("", " – –", " ···")


class CurvesChart(Chart):
    """Draws the opened lanes of a scene; what no opened lane is makes the band. What is shown of
    the axis is the ribbons', and stands under theirs."""

    def __init__(self, lens: Lens, parent: QWidget | None = None) -> None:
        super().__init__("Curves of the opened makes", "no make is opened", parent)
        self.lens = lens
        self._edges: Span | None = None  # px that the ribbons lie between
        self.shown = RibbonScene()
        self.open_ids: tuple[int, ...] = ()
        self.temp = self.add_plot(unit="°C", height=5)
        self.acid = self.add_plot(bottom=ElapsedAxis(), unit="pH", height=4)
        self.bands: dict[str, Band | None] = {}

    def show_opened(self, scene: RibbonScene, open_ids: tuple[int, ...]) -> None:
        """Draw these makes of the scene."""
        self.shown, self.open_ids = scene, open_ids
        self.reading.row = None
        self.bands = {}
        if self.opened:
            kind = self.opened[0].course.acid.kind
            self.bands = {"milk-temp": self._band("milk-temp"), kind: self._band(kind)}
        codes = ", ".join(lane.ribbon.row.code for lane in self.opened)
        beside = self.bands.get("milk-temp")
        parts = [codes or worded("desk.no-make")]
        parts += [] if beside is None else [worded("desk.over-the-band", others=beside.makes)]
        self.describe(", ".join([*parts, time_text(scene)]))
        self.refresh()

    def stand_under(self, left: float, right: float) -> None:
        """Draw between these px, where the ribbons are drawn."""
        self._edges = left, right
        self.refresh()

    def point_at(self, at: float | None) -> None:
        """Read where the pointer of the ribbons stands."""
        low, high = self.lens.shown
        if self.opened and at is not None and low <= at <= high and not self.underMouse():
            self.reading.show_at(self.temp, at, 0.0)
        else:
            self.reading.drop()

    @property
    def opened(self) -> list[Lane]:
        """The lanes whose curves are drawn, in the order they were opened."""
        lanes = {lane.make_id: lane for lane in self.shown.lanes}
        return [lanes[one] for one in self.open_ids if one in lanes]

    def draw(self) -> None:
        for plot in self.plots:
            plot.wipe()
            plot.setVisible(bool(self.opened))
        if not self.opened:
            return
        self._take_edges()
        view = self.seen(self.shown.positions)
        self.temp.show_range(view, None)
        self.draw_panel(self.temp, "milk-temp", view)
        self.draw_panel(self.acid, self.opened[0].course.acid.kind, view)
        if self.shown.zero:
            for plot in self.plots:
                plot.upright(0.0, "planned", dash="fine")

    def hover_text(self, plot: ChartPlot, x: float, y: float) -> str:
        if not self.opened:
            return ""
        own = self.opened[0].course.acid.kind
        kind = "milk-temp" if plot is self.temp else own
        parts = [position_text(self.shown, x)]
        for lane in self.opened:
            read = [
                value_text(one, near[1])
                for one in ("milk-temp", own)
                if (near := nearest(*self._curve(lane, one), x, _NEAR_MIN)) is not None
            ]
            parts += [f"{lane.ribbon.row.code} {', '.join(read)}"] if read else []
        found = self.bands.get(kind)
        if found is not None and len(found.minutes):
            i = int(np.abs(found.minutes - x).argmin())
            if np.isfinite(found.p10[i]):
                low, high = (figure_text(kind, end[i]) for end in (found.p10, found.p90))
                parts.append(
                    worded("desk.others-between", makes=found.count[i], low=low, high=high)
                )
        return "  ".join(parts) if len(parts) > 1 else from_start(x)

    def clicked_at(self, plot: ChartPlot, x: float, y: float) -> None:
        """A click on a curve goes to its make."""
        if not self.opened:
            return
        kind = "milk-temp" if plot is self.temp else self.opened[0].course.acid.kind
        pane = plot.pane(x)
        apart = {}
        for lane in self.opened:
            curve = self._curve(lane, kind)
            if len(curve.at):
                px = (curve.at - x) / (pane.x[1] - pane.x[0]) * pane.wide
                py = (curve.value - y) / (pane.y[1] - pane.y[0]) * pane.high
                apart[lane.make_id] = float(np.nanmin(np.hypot(px, py)))
        if apart and min(apart.values()) <= REACH_PX:
            self.went.emit(min(apart, key=apart.__getitem__))

    def table(self) -> ValueTable:
        """What was read of each opened make, by the common axis."""
        curves = []
        for lane in self.opened:
            acid = lane.course.acid.kind
            for panel, kind in enumerate(("milk-temp", acid)):
                at, value = self._curve(lane, kind)
                head = f"{lane.ribbon.row.code}, {READING_KINDS[kind].label}"
                curves.append(ValueCurve(head, at, value, partial(value_text, kind), panel))
        return table_of_curves("time", partial(position_text, self.shown), curves)

    def _take_edges(self) -> None:
        if self._edges is not None:
            left, right = self._edges
            first = max(left - self.temp.left_axis.width(), 0.0)
            last = max(self.width() - right, 0.0)
            self.ci.layout.setContentsMargins(first, 3 * STEP, last, 3 * STEP)
            self.settle()
            self.temp.layout.activate()
            off = self.temp.getViewBox().sceneBoundingRect()
            self.ci.layout.setContentsMargins(
                max(first + left - off.left(), 0.0), 3 * STEP,
                max(last + off.right() - right, 0.0), 3 * STEP,
            )  # fmt: skip

    def draw_panel(self, plot: BandSurface, kind: str, view: Span) -> None:
        """Draw what was read of a kind, on the screen or on paper."""
        least = 6.0 if kind == "milk-temp" else 0.3 if kind.endswith("-ph") else 0.05
        curves = [(lane, self._curve(lane, kind)) for lane in self.opened]
        found = self.bands.get(kind)
        parts = [curve.value for _, curve in curves]
        if found is not None:
            seen = (found.minutes >= view[0]) & (found.minutes <= view[1])
            parts += [found.p10[seen], found.p90[seen]]
        low, high = value_range(parts, least=least, below=0.08, above=0.18, empty=(0.0, least))
        plot.show_range(None, (low, high))
        reading = READING_KINDS[kind]
        sizes = (2, 5, 10, 20) if kind == "milk-temp" else (0.02, 0.05, 0.1, 0.2, 0.5, 1.0)
        digits = 0 if kind == "milk-temp" else 1 if reading.unit == "pH" else 2
        steps = round_values(low, high, sizes, 5, above=0.12)
        plot.rules(steps, view, digits=digits, unit=reading.unit.partition(" ")[0])
        _draw_band(plot, found)
        role = "temperature" if kind == "milk-temp" else "acidity"
        for number, (lane, curve) in enumerate(curves):
            dash = _DASHES[number % len(_DASHES)]
            plot.line(*curve, role, width=2 if not number else 1.6, dash=dash, level=4)
            if len(self._read(lane, kind).minutes) <= _FEW_POINTS:
                plot.points(*curve, role, size=5, hollow=number > 0)
        self._name(plot, curves, role, view, found)

    def _name(
        self,
        plot: BandSurface,
        curves: list[tuple[Lane, Reduced]],
        role: str,
        view: Span,
        found: Band | None,
    ) -> None:
        """Each curve named where the part of it that is shown ends, and the band, on none of
        them."""
        pane = plot.pane(view[0])
        near = 0.04 * (pane.y[1] - pane.y[0])
        drawn = [(curve.at, curve.value) for _, curve in curves]
        for number, (lane, curve) in enumerate(curves):
            shown = (curve.at >= view[0]) & (curve.at <= view[1]) & np.isfinite(curve.value)
            known = np.flatnonzero(shown)
            if not len(known):
                continue
            x, y = float(curve.at[known[-1]]), float(curve.value[known[-1]])
            spots = (
                [Spot(x, y, (0, 0.5))]
                if plot.measure(lane.ribbon.row.code)[0]
                < ((view[1] - x) / (view[1] - view[0]) * pane.wide)
                else []
            )
            spots += [Spot(x, y + off, (1, 1 if off > 0 else 0)) for off in (near, -near)]
            words = f" {lane.ribbon.row.code}{_AT_NAMES[number % 3]} "
            drawn.append(place_label(plot, words, role, spots, drawn))
        if found is None:
            return
        high = np.where((found.minutes >= view[0]) & (found.minutes <= view[1]), found.p90, np.nan)
        if np.isfinite(high).any():
            top = int(np.nanargmax(high))
            x, y = float(found.minutes[top]), float(high[top])
            drawn += [(found.minutes, end) for end in (found.p10, found.p90)]
            spots = [Spot(x, y + 0.4 * near, (left, 1)) for left in (0.5, 0, 1)]
            spots.append(Spot(x, float(found.p10[top]) - near, (0.5, 0)))
            words = worded("desk.others-here", makes=found.makes)
            words = words if found.whole_range else worded("desk.most-of-others", others=words)
            place_label(plot, words, "quiet", spots, drawn)

    def _curve(self, lane: Lane, kind: str) -> Reduced:
        read = self._read(lane, kind)
        if read.kind != kind:
            return Reduced(np.empty(0), np.empty(0))
        first, last = (float(lane.axis.to_minutes(edge)) for edge in self._between())
        low = max(int(np.searchsorted(read.minutes, first)) - 1, 0)
        high = int(np.searchsorted(read.minutes, last, side="right"))
        positions = lane.axis.to_position(read.minutes[low:high])
        return reduce(positions, read.value[low:high], _COLUMNS, gap=read.gap_min)

    def _read(self, lane: Lane, kind: str) -> CourseReadings:
        return lane.course.temp if kind == "milk-temp" else lane.course.acid

    def _between(self) -> Span:
        """What is worth drawing: a little more than is shown, but for what lies after the day."""
        (low, high), last = self.lens.shown, self.shown.positions[1]
        return low, high if high >= last else min(high + 0.1 * (high - low), last)

    def _band(self, kind: str) -> Band | None:
        """The band of the lanes that are not opened and did not fail, None for fewer than two."""
        lanes = [lane for lane in self.shown.lanes
                 if lane.make_id not in self.open_ids and not lane.ribbon.row.failed]  # fmt: skip
        reads = [self._read(lane, kind) for lane in lanes]
        pairs = [(read, lane.axis) for read, lane in zip(reads, lanes, strict=True)
                 if read.kind == kind and len(read.minutes)]  # fmt: skip
        if len(pairs) < 2:
            return None
        grid = np.linspace(*self.shown.positions, 400)
        table = table_of([read for read, _ in pairs], [axis for _, axis in pairs], grid, kind)
        return band_of(grid, table)


def _draw_band(plot: BandSurface, found: Band | None) -> None:
    """Eight in ten of the others as a wash; where fewer than five reach, only dotted edges from the
    least to the greatest."""
    if found is None:
        return
    few = found.few
    low, high = (np.where(few, np.nan, end) for end in (found.p10, found.p90))
    plot.band(found.minutes, low, high, "past", 0.6)
    for end in (found.p10, found.p90):
        plot.line(found.minutes, np.where(few, end, np.nan), "past_line", width=1, dash="dots")
    plot.line(found.minutes, found.p50, "past_line", width=1.2)
