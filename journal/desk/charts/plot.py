"""One panel of a chart: a plot that draws lines, bands, points, acid targets and words by role."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainterPath, QPolygonF
from PySide6.QtWidgets import QGraphicsItem, QGraphicsPathItem, QGraphicsRectItem

from journal.curves.reduce import reduce
from journal.curves.surface import COLUMNS, Pane, Span, StageBar
from journal.desk.charts.axes import NumberAxis
from journal.desk.charts.clearing import GROUND, PlotGround, clear_labels
from journal.desk.charts.strip import StageStrips
from journal.desk.theme import SMALL, Colours, colours, font, scaled
from journal.wording.languages import phrase
from journal.wording.scales import UNITS_SHOWN, finite_runs, named, ruled

_LEAST_PX = (200.0, 90.0)  # a plot that was not laid out yet is taken to be so large
_MANY = 400  # points of a line that are drawn one by one, which is quicker
_WORDS_PX = 2  # about a label's words
LEFT_WIDTH = 64  # px; one width for all left axes, so that panels stand under each other
Drawn = TypeVar("Drawn", bound=QGraphicsItem)
_DASHES = {"planned": (5, 4), "fine": (1, 3), "dots": (1.2, 2.6), "unknown": (3, 5)}


class ChartPlot(pg.PlotItem):  # type: ignore[misc] # pyqtgraph brings no types
    """A plot in the chart's hand: a `PlotSurface` of the screen. `wipe` empties it."""

    def __init__(self, bottom: NumberAxis | None = None, unit: str = "") -> None:
        left = NumberAxis("left")
        axes = {"left": left} | ({"bottom": bottom} if bottom is not None else {})
        super().__init__(axisItems=axes, enableMenu=False)
        self.unit = unit
        self._colours = colours(dark=False)
        self._drawn: list[pg.GraphicsObject] = []
        self._named: list[pg.TextItem] = []
        self._anywhere: list[pg.TextItem] = []  # of those, what need not stand near its mark
        self.left_axis = left
        self.bottom_axis = bottom
        left.setWidth(scaled(LEFT_WIDTH))
        self.setMouseEnabled(False, False)
        self.hideButtons()
        self.getViewBox().disableAutoRange()
        self.getViewBox().setDefaultPadding(0)
        if bottom is None:
            self.hideAxis("bottom")
        self.setContentsMargins(0, 0, 0, 0)

    def restyle(self, c: Colours) -> None:
        """Take the colours of the side shown; what is drawn must be drawn again."""
        self._colours = c
        self.left_axis.restyle(c)
        self.left_axis.setGrid(False)
        if self.bottom_axis is not None:
            self.bottom_axis.restyle(c)

    def wipe(self) -> None:
        """Take everything away that was drawn."""
        for item in self._drawn:
            self.removeItem(item)
        self._drawn.clear()
        self._named.clear()
        self._anywhere.clear()

    def setVisible(self, visible: bool) -> None:
        """Show or hide it; shown again, its axes have their room before anything is placed."""
        shown = visible and not self.isVisible()
        super().setVisible(visible)
        if shown:
            self.take_room()

    def take_room(self) -> None:
        """Give the axes the room they need."""
        for axis in (self.left_axis, self.bottom_axis):
            if axis is not None and axis.isVisible():
                axis.take_room()

    def clear_labels(self) -> None:
        """Move the words off what is drawn, now that all is."""
        self.layout.activate()
        (x, y), view = self.viewRange(), self.getViewBox()
        field = PlotGround((x[0], x[1]), (y[0], y[1]), view.width(), view.height())
        clear_labels(field, self._drawn, self._named, self._anywhere)

    def take_away(self, items: Sequence[pg.GraphicsObject]) -> None:
        """Take some of it away; what was wiped before is passed over."""
        for item in items:
            if any(item is one for one in self._drawn):
                self.removeItem(item)
                self._drawn = [one for one in self._drawn if one is not item]
                self._named = [one for one in self._named if one is not item]

    def draw_axes_anew(self) -> None:
        """Write the ticks again: what has no room yet, while a chart is laid out, is left out."""
        for axis in (self.left_axis, self.bottom_axis):
            if axis is not None:
                axis.picture = None
                axis.update()

    def show_range(self, x: Span | None, y: Span | None) -> None:
        """Show exactly this much of either axis."""
        if x is not None:
            self.setXRange(*x, padding=0)
        if y is not None:
            self.setYRange(*y, padding=0)

    def pane(self, x: float) -> Pane:
        """The whole plot: it has one scale."""
        chart = self.getViewWidget()
        if chart is not None:
            chart.settle()
            self.layout.activate()
        shown, values = self.viewRange()
        view = self.getViewBox()
        wide, high = max(view.width(), _LEAST_PX[0]), max(view.height(), _LEAST_PX[1])
        return Pane((shown[0], shown[1]), (values[0], values[1]), wide, high)

    def measure(self, text: str) -> tuple[float, float]:
        """Width and height of words, px."""
        metrics = QFontMetricsF(font(SMALL))
        around = 2 * _WORDS_PX
        return metrics.horizontalAdvance(text) + around, metrics.height() + around

    def rules(self, values: Sequence[float], x: Span, digits: int = 0, unit: str = "") -> None:
        """Hairlines across the page at `values`, each named at the left; the unit above them."""
        ticks = named(values, digits)
        if unit in UNITS_SHOWN:
            values, ticks, unit = ruled(values, self.viewRange()[1], digits, unit)
        if unit:
            low, high = self.viewRange()[1]
            line = min(self.measure(unit)[1] / self.pane(x[0]).high, 0.4)
            most = max((value for value in values if value <= high), default=low)
            high = max(high, (most - 1.25 * line * low) / (1 - 1.25 * line))  # over the last number
            self.show_range(None, (low, high))
            top = high - 0.35 * line * (high - low)
            ticks.append((top, unit))
        self.left_axis.setTicks([ticks])
        if len(values):  # one item for all: each costs the scene more than its line
            at, lines = np.tile(np.array(x, float), len(values)), np.repeat(values, 2)
            pen = self._pen("hairline")
            self._add(pg.PlotCurveItem(at, lines, pen=pen, connect="pairs"), GROUND)

    def line(
        self,
        x: np.ndarray,
        y: np.ndarray,
        role: str,
        *,
        width: float = 1.5,
        dash: str = "",
        level: int = 0,
    ) -> pg.PlotCurveItem:
        """A line through points ascending in x; NaN breaks it. Long ones are reduced first."""
        x, y = np.asarray(x, float), np.asarray(y, float)
        if len(x) > 2 * COLUMNS and not np.isnan(y).any():
            x, y = reduce(x, y, COLUMNS)
        item = pg.PlotCurveItem(
            x, y, pen=self._pen(role, width, dash), connect="finite", antialias=True
        )
        if width > 1 and not dash and len(x) > _MANY:  # of few points the joints would show
            item.setSegmentedLineMode("on")
        return self._add(item, level)

    def band(
        self, x: np.ndarray, low: np.ndarray, high: np.ndarray, role: str, share: float = 1.0
    ) -> None:
        """A wash between two lines; NaN in either breaks it."""
        path = QPainterPath()
        for piece in finite_runs(np.asarray(low, float) + np.asarray(high, float), 2):
            corners = [QPointF(a, b) for a, b in zip(x[piece], high[piece], strict=True)]
            corners += [
                QPointF(a, b) for a, b in zip(x[piece][::-1], low[piece][::-1], strict=True)
            ]
            path.addPolygon(QPolygonF(corners))
        item = QGraphicsPathItem(path)
        item.setPen(pg.mkPen(None))
        item.setBrush(self._colours.wash(role, share))
        self._add(item, -10)

    def bars(
        self, x: np.ndarray, low: np.ndarray, high: np.ndarray, role: str, *, width: float
    ) -> None:
        """Upright bars about `x`, so wide in its units, from `low` to `high`."""
        colour = getattr(self._colours, role)
        item = pg.BarGraphItem(
            x=x, y0=low, y1=high, width=width, pen=pg.mkPen(None), brush=pg.mkBrush(colour)
        )
        self._add(item, 1)

    def points(
        self,
        x: np.ndarray,
        y: np.ndarray,
        role: str,
        *,
        symbol: str = "o",
        size: float = 8,
        hollow: bool = False,
        level: int = 5,
    ) -> pg.ScatterPlotItem:
        """Marks of `size` px; hollow ones are filled with paper."""
        colour = getattr(self._colours, role)
        fill = self._colours.paper if hollow else colour
        item = pg.ScatterPlotItem(
            np.asarray(x, float),
            np.asarray(y, float),
            symbol=symbol,
            size=size,
            pen=pg.mkPen(colour, width=1.4),
            brush=pg.mkBrush(fill),
            antialias=True,
        )
        return self._add(item, level)

    def box(self, x: Span, y: Span, role: str, *, fill: str = "") -> QGraphicsRectItem:
        """A rectangle of the axes' own units: an acid target."""
        item = QGraphicsRectItem(QRectF(x[0], y[0], x[1] - x[0], y[1] - y[0]))
        item.setPen(self._pen(role, 1.3))
        item.setBrush(pg.mkBrush(getattr(self._colours, fill) if fill else None))
        self._add(item, 2)
        return item

    def stages(self, bars: Sequence[StageBar]) -> None:
        """Stages beside each other, named where there is room."""
        self._add(StageStrips(bars, self._colours), 4)

    def words(
        self,
        x: float,
        y: float,
        text: str,
        role: str = "quiet",
        *,
        anchor: tuple[float, float] = (0, 1),
        bold: bool = False,
        size: int = SMALL,
        on_paper: bool = False,
        anywhere: bool = False,
    ) -> pg.TextItem:
        """A label beside what it names; `anchor` (0,0) puts its top left corner at (x, y).
        `on_paper` keeps lines from running through it; `anywhere` lets it stand far off where
        there is no room near by."""
        item = pg.TextItem(
            phrase(text),
            color=getattr(self._colours, role),
            anchor=anchor,
            fill=self._colours.paper if on_paper else None,
        )
        item.setFont(font(size, bold=bold))
        item.textItem.document().setDocumentMargin(_WORDS_PX)
        item.updateTextPos()
        item.setPos(x, y)
        self._named.append(item)
        if anywhere:
            self._anywhere.append(item)
        return self._add(item, 8)

    def upright(self, x: float, role: str = "ink", *, width: float = 1.0, dash: str = "") -> None:
        """A line from top to bottom."""
        item = pg.InfiniteLine(x, angle=90, pen=self._pen(role, width, dash))
        self._add(item, GROUND if role == "hairline" else 6)

    def save(self, item: QGraphicsItem, level: int = 0) -> None:
        """Add an item of your own; it goes with the next wipe."""
        self._add(item, level)

    def _pen(self, role: str, width: float = 1.0, dash: str = "") -> pg.QtGui.QPen:
        pen = pg.mkPen(getattr(self._colours, role), width=width)
        if dash:
            pen.setDashPattern(list(_DASHES[dash]))
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        return pen

    def _add(self, item: Drawn, level: int) -> Drawn:
        item.setZValue(level)
        self.addItem(item, ignoreBounds=True)
        self._drawn.append(item)
        return item
