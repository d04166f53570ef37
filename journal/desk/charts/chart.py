"""The base of every chart: panels under each other, read and zoomed by pointer and keys, with its
values as a table; copied and saved."""

from __future__ import annotations

import math
from typing import cast

import pyqtgraph as pg
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QKeyEvent,
    QMouseEvent,
    QPaintEvent,
    QPixmap,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from journal.curves.surface import Span
from journal.desk.buttons import Button
from journal.desk.charts.axes import NumberAxis
from journal.desk.charts.hand import ChartHand
from journal.desk.charts.held import Grip
from journal.desk.charts.lens import Lens
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.reading import ChartReading
from journal.desk.charts.saving import PictureActions, PictureSheet, source_of
from journal.desk.charts.values import ValueTable, words_of
from journal.desk.commands import Command
from journal.desk.theme import STEP, colours_of
from journal.wording.languages import translated
from journal.wording.shown import unit_shown

HOVER_HZ = 30


class Chart(pg.GraphicsLayoutWidget):  # type: ignore[misc] # pyqtgraph brings no types
    """A picture of panels. A chart is a subclass that adds its panels with `add_plot`, draws
    everything in `draw`, which runs again when the colours change, and gives the same as a `table`.

    What it draws of the axis is what `seen` returns: all of it, or what one has zoomed to. `went`
    carries the key of a line of the table that was clicked, or entered by keys; `zoomed` says that
    another stretch of the axis is shown.
    """

    went = Signal(object)
    zoomed = Signal()

    _built = False  # Qt sends a change of palette while the base is made
    _resized = False  # since it was drawn

    def __init__(self, name: str, description: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(translated(name))
        self.describe(description)
        self.setFrameShape(self.Shape.NoFrame)
        self.viewport().setFocusPolicy(Qt.FocusPolicy.NoFocus)  # the chart itself has the keys
        self.setMinimumSize(QSize(240, 160))
        self.setAntialiasing(True)
        self.ci.layout.setContentsMargins(16, 12, 24, 12)
        self.ci.layout.setSpacing(0)
        self.plots: list[ChartPlot] = []
        self._built = True
        self.lens = Lens()
        self._values: ValueTable | None = ValueTable()
        self._subject: object = None
        self.reading = ChartReading(self)
        self._hand = ChartHand(self, self.reading, self.viewport())
        self._whole = Button("Show all", parent=self)
        self._whole.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # by keys it is Backspace
        self._whole.clicked.connect(self.show_all)
        self._whole.hide()
        self._moves = pg.SignalProxy(
            self.scene().sigMouseMoved, rateLimit=HOVER_HZ, slot=self._on_moved
        )
        self._pictures = PictureActions(self, "chart", self.sheet)
        self.picture_actions = self._pictures.actions
        self.setBackground(colours_of(self).paper)

    # What a chart gives

    def draw(self) -> None:
        """Wipe the panels and draw what is to be seen."""

    def table(self) -> ValueTable:
        """What is drawn, as rows."""
        return ValueTable()

    def hover_text(self, plot: ChartPlot, x: float, y: float) -> str:
        """What to say where the pointer is, "" for nothing: here the line of the table whose mark
        is near."""
        near = self.reading.nearest(plot, x, y)
        return "" if near is None else words_of(self.values, self.values.rows[near])

    def clicked_at(self, plot: ChartPlot, x: float, y: float) -> None:
        """A click: select the value that is near, and go where it leads."""
        near = self.reading.nearest(plot, x, y)
        if near is not None:
            key = self.values.rows[near].key
            self.reading.select(near)
            if key is not None:
                self.go_to(key)

    def go_to(self, key: object) -> None:
        """Go where a line of the table leads."""
        self.went.emit(key)

    def grip_at(self, plot: ChartPlot, at: QPointF) -> Grip | None:
        """What can be dragged there, in the units of the plot."""
        return None

    # What a chart can do

    @property
    def widget(self) -> QWidget:
        """The chart itself, for those who know it by what they need of it."""
        return cast(QWidget, self)

    def is_closed(self) -> bool:
        """It was closed, and draws nothing any more."""
        return bool(self.closed)

    def to_scene(self, at: QPoint) -> QPointF:
        """A point of the widget in the scene."""
        spot: QPointF = self.mapToScene(at)
        return spot

    def add_plot(
        self, *, bottom: NumberAxis | None = None, unit: str = "", height: int = 1
    ) -> ChartPlot:
        """A panel below the others; `height` is its share, or fixed px when negative."""
        plot = ChartPlot(bottom, unit)
        plot.restyle(colours_of(self))
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

    def about(self, subject: object) -> None:
        """What it shows: of another one all is shown, and no value is selected."""
        if subject != self._subject:
            self._subject = subject
            self.lens.show_all()
            self.reading.row = None

    def seen(self, usual: Span, limits: Span | None = None) -> Span:
        """What to draw of the axis, where `usual` is shown as a rule and `limits` is all there
        is."""
        return self.lens.set_range(usual, limits)

    def show_all(self) -> None:
        """Show all again."""
        self.lens.show_all()
        self.refresh()
        self.zoomed.emit()

    def along(self, at: QPoint) -> float | None:
        """The place of the axis under a point of the chart."""
        if not self.plots:
            return None
        x: float = self.plots[0].getViewBox().mapSceneToView(self.to_scene(at)).x()
        return x

    def shown_at(self) -> float | None:
        """The place of the selected value."""
        row = self.reading.current()
        return None if row is None else row.x

    def stretch(self) -> tuple[Span, float]:
        """What is drawn of the axis, and over how many px."""
        if not self.plots:
            return self.lens.shown, float(self.width())
        first, last = self.plots[0].viewRange()[0]
        return (first, last), self.plots[0].getViewBox().width()

    @property
    def values(self) -> ValueTable:
        """What is drawn, as a table: made when it is first asked for."""
        if self._values is None:
            self._values = self.table()
        return self._values

    def has_values(self) -> bool:
        """There is anything to read."""
        return len(self.values.x) > 0

    def show_values(self) -> None:
        """The values as a table, in a window of its own."""
        from journal.desk.charts.values_dialog import ValuesDialog

        if len(self.values.x):
            shown = ValuesDialog(
                self.accessibleName(), self.values, self.reading.row, self.window()
            )
            shown.picked.connect(self._on_row_picked)
            shown.open()

    def plot_at(self, scene: QPointF) -> ChartPlot | None:
        """The plot under a point of the scene."""
        plots = (p for p in self.plots if p.isVisible() and p.sceneBoundingRect().contains(scene))
        return next(plots, None)

    def refresh(self) -> None:
        """Take the colours shown now and draw again; a chart that was closed stays empty."""
        if self.closed:
            return
        c = colours_of(self)
        self._resized = False
        self.reading.drop()
        self.setBackground(c.paper)
        for plot in self.plots:
            plot.restyle(c)
        self.draw()
        self._values = None
        for plot in self.plots:
            plot.take_room()  # of all, before words are placed in any: they share the height
        self.settle()
        self._place_button()
        for plot in self.plots:
            if plot.isVisible():
                plot.clear_labels()
                plot.draw_axes_anew()
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
        self.reading.drop()
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
        self.reading.drop()

    def wheelEvent(self, event: QWheelEvent) -> None:
        self._hand.wheel(event)

    def viewportEvent(self, event: QEvent) -> bool:
        if self._built and self._hand.gesture(event):
            return True
        handled: bool = super().viewportEvent(event)
        return handled

    def mousePressEvent(self, event: QMouseEvent) -> None:
        super().mousePressEvent(event)
        self._hand.press(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if not self._hand.move(event):
            super().mouseMoveEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        super().mouseReleaseEvent(event)
        self._hand.release(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not self._hand.key(event):
            event.ignore()  # the page's own keys

    def commands_at(self, _spot: QPointF) -> list[Command]:
        """What can be done with what is drawn there, for the menu under the pointer."""
        return []

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        at, spot = event.globalPos(), self.mapToScene(event.pos())
        row = self.reading.current()
        if event.reason() == QContextMenuEvent.Reason.Keyboard and row is not None:
            view = self.plots[row.panel].getViewBox()
            (low, high) = view.viewRange()[1]
            y = (low + high) / 2 if math.isnan(row.y) else row.y
            spot = view.mapViewToScene(QPointF(row.x, y))
            at = self.mapToGlobal(self.mapFromScene(spot))
        self._pictures.show_menu(at, [*self.commands_at(spot), *self.look_commands()])

    def look_commands(self) -> list[Command]:
        """What can be done with what is shown of it."""
        return self._hand.commands()

    def _on_row_picked(self, number: int) -> None:
        self.setFocus()
        self.reading.select(number)

    def _place_button(self) -> None:
        """The way back, at the lower right, while a part is shown."""
        self._whole.setVisible(self.lens.window is not None and self.isEnabled())
        size = self._whole.sizeHint()
        self._whole.setGeometry(
            self.width() - size.width() - 2 * STEP, self.height() - size.height() - 2 * STEP,
            size.width(), size.height(),
        )  # fmt: skip
        shown = not self._whole.isHidden()
        over = self.mapToScene(self._whole.geometry()).boundingRect() if shown else QRectF()
        for plot in self.plots:
            if plot.bottom_axis is not None:
                plot.bottom_axis.covered = over

    def _on_moved(self, args: tuple[QPointF]) -> None:
        self.reading.drop()
        plot = self.plot_at(args[0])
        if plot is None:
            return
        at = plot.getViewBox().mapSceneToView(args[0])
        low, high = plot.viewRange()[0]
        if low <= at.x() <= high:
            self.reading.show_at(plot, at.x(), at.y())
