"""The base of every chart: panels under each other, values on hover, copy and save."""

from __future__ import annotations

import pyqtgraph as pg
from PySide6.QtCore import QCoreApplication, QEvent, QPointF, QSize, Qt
from PySide6.QtGui import (
    QContextMenuEvent,
    QPaintEvent,
    QPixmap,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from journal.desk.charts.axes import NumberAxis
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.saving import PictureActions, PictureSheet, source_of
from journal.desk.commands import Command
from journal.desk.theme import SMALL, colours_of, font
from journal.wording.shown import unit_shown

HOVER_HZ = 30


class Chart(pg.GraphicsLayoutWidget):  # type: ignore[misc] # pyqtgraph brings no types
    """A picture of panels. A chart is a subclass that adds its panels with `add_panel` and
    draws everything in `draw`, which runs again when the colours change.

    `hover_words(panel, x, y)` gives what the pointer reads, "" for nothing.
    """

    _built = False  # Qt sends a change of palette while the base is made
    _resized = False  # since it was drawn

    def __init__(self, name: str, description: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.describe(description)
        self.setFrameShape(self.Shape.NoFrame)
        self.viewport().setFocusPolicy(Qt.FocusPolicy.NoFocus)  # the chart itself has the keys
        self.setMinimumSize(QSize(240, 160))
        self.setAntialiasing(True)
        self.ci.layout.setContentsMargins(16, 12, 24, 12)
        self.ci.layout.setSpacing(0)
        self.plots: list[ChartPlot] = []
        self._built = True
        self._hover_line: pg.InfiniteLine | None = None
        self._hover_label: pg.TextItem | None = None
        self._moves = pg.SignalProxy(
            self.scene().sigMouseMoved, rateLimit=HOVER_HZ, slot=self._on_moved
        )
        self._pictures = PictureActions(self, "chart", self.sheet)
        self.picture_actions = self._pictures.actions
        self.setBackground(colours_of(self).paper)

    # What a chart gives

    def draw(self) -> None:
        """Wipe the panels and draw what is to be seen."""

    def hover_words(self, plot: ChartPlot, x: float, y: float) -> str:
        """What to say where the pointer is."""
        return ""

    # What a chart can do

    def add_plot(
        self, *, bottom: NumberAxis | None = None, unit: str = "", height: int = 1
    ) -> ChartPlot:
        """A panel below the others; `height` is its share, or fixed px when negative."""
        plot = ChartPlot(bottom, unit)
        plot.dress(colours_of(self))
        row = len(self.plots)
        self.ci.addItem(plot, row, 0)
        if height < 0:
            self.ci.layout.setRowFixedHeight(row, -height)
        else:
            self.ci.layout.setRowStretchFactor(row, height)
        if self.plots:
            plot.setXLink(self.plots[0])
        self.plots.append(plot)
        return plot

    def describe(self, sentence: str) -> None:
        """The one sentence that says what is to be seen."""
        self.setAccessibleDescription(sentence)

    def refresh(self) -> None:
        """Take the colours shown now and draw again; a chart that was closed stays empty."""
        if self.closed:
            return
        c = colours_of(self)
        self._resized = False
        self._drop_hover()
        self.setBackground(c.paper)
        for plot in self.plots:
            plot.dress(c)
        self.draw()
        self.settle()
        self.scene().prepareForPaint()  # else what moves while it is painted has it painted twice

    def settle(self) -> None:
        """Give every panel the place it has now, so that words can be measured against it."""
        self.ci.setGeometry(self.range)  # a layout shrinks when all its panels are hidden
        self.ci.layout.activate()

    def picture(self, scale: float = 2.0) -> QPixmap:
        """The chart as it is seen, `scale` pixels a point."""
        return self.sheet().picture(scale)

    def sheet(self) -> PictureSheet:
        """The chart as it is saved, with its title, units and source."""
        self._fit()
        self._drop_hover()
        units = [unit_shown(plot.unit) for plot in self.plots if plot.isVisible()]
        return PictureSheet(
            self.accessibleName(), self.accessibleDescription(), source_of(self, units),
            self.size(), self.render, colours_of(self),
        )  # fmt: skip

    # Handlers

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self._built:
            self.refresh()

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        super().resizeEvent(event)
        if event is not None and self.plots and event.size() != event.oldSize():
            self._resized = True  # words are placed by the room there is
            if self.updatesEnabled():
                self.refresh()
            else:
                QCoreApplication.postEvent(self, QEvent(QEvent.Type.LayoutRequest))

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest:
            self._fit()
        return bool(super().event(event))

    def paintEvent(self, event: QPaintEvent) -> None:
        self._fit()
        super().paintEvent(event)

    def _fit(self) -> None:
        """Draw for the size it has now: once, however often its place was laid out before."""
        if self._resized:
            self.refresh()

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self._drop_hover()

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()  # the page it stands on is scrolled

    def commands_at(self, _spot: QPointF) -> list[Command]:
        """What can be done with what is drawn there, for the menu under the pointer."""
        return []

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        on_it = self.commands_at(self.mapToScene(event.pos()))
        self._pictures.show_menu(event.globalPos(), on_it)

    def _on_moved(self, args: tuple[QPointF]) -> None:
        self._drop_hover()
        plot = next((p for p in self.plots if p.sceneBoundingRect().contains(args[0])), None)
        if plot is None:
            return
        at = plot.getViewBox().mapSceneToView(args[0])
        (x0, x1), (_y0, y1) = plot.viewRange()
        if not x0 <= at.x() <= x1:
            return
        words = self.hover_words(plot, at.x(), at.y())
        if words:
            self._show_hover(plot, at.x(), y1, words, right=at.x() > (x0 + x1) / 2)

    def _show_hover(
        self, plot: ChartPlot, x: float, top: float, words: str, *, right: bool
    ) -> None:
        c = colours_of(self)
        self._hover_line = pg.InfiniteLine(x, angle=90, pen=pg.mkPen(c.quiet, width=1))
        self._hover_label = pg.TextItem(
            words, color=c.ink, anchor=(1 if right else 0, 0), fill=c.field, border=c.hairline
        )
        self._hover_label.setFont(font(SMALL))
        self._hover_label.setZValue(30)
        self._hover_label.setPos(x, top)
        for item in (self._hover_line, self._hover_label):
            plot.addItem(item, ignoreBounds=True)
        self._hover_plot = plot

    def _drop_hover(self) -> None:
        if self._hover_line is not None and not self.closed:
            self._hover_plot.removeItem(self._hover_line)
            self._hover_plot.removeItem(self._hover_label)
            self._hover_line = self._hover_label = None
