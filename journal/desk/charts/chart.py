"""The base of every chart: panels under each other, values on hover, copy and save."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pyqtgraph as pg
from PySide6.QtCore import QBuffer, QEvent, QPointF, QRect, QRectF, QSize, QSizeF, Qt
from PySide6.QtGui import (
    QAction,
    QContextMenuEvent,
    QGuiApplication,
    QPainter,
    QPixmap,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from journal.desk import dialogs
from journal.desk.charts.axes import NumberAxis
from journal.desk.charts.plot import ChartPlot
from journal.desk.commands import Command
from journal.desk.menus import Menu
from journal.desk.messages import report
from journal.desk.theme import SMALL, colours_of, font

HOVER_HZ = 30


class Chart(pg.GraphicsLayoutWidget):  # type: ignore[misc] # pyqtgraph brings no types
    """A picture of panels. A chart is a subclass that adds its panels with `add_panel` and
    draws everything in `draw`, which runs again when the colours change.

    `hover_words(panel, x, y)` gives what the pointer reads, "" for nothing.
    """

    _built = False  # Qt sends a change of palette while the base is made

    def __init__(self, name: str, description: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.describe(description)
        self.setFrameShape(self.Shape.NoFrame)
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
        self._build_actions()
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
        self._drop_hover()
        out = QPixmap(self.size() * scale)
        out.setDevicePixelRatio(scale)
        out.fill(colours_of(self).paper)
        painter = QPainter(out)
        self.render(painter, QRectF(QPointF(0, 0), QSizeF(self.size())))
        painter.end()
        return out

    def save_png(self, path: str) -> None:
        """Write the chart as a PNG; raises OSError."""
        written = QBuffer()
        self.picture().save(written, "PNG")
        Path(path).write_bytes(written.data().data())

    def save_svg(self, path: str) -> None:
        """Write the chart as an SVG drawing; raises OSError."""
        from PySide6.QtSvg import QSvgGenerator

        self._drop_hover()
        written, writer = QBuffer(), QSvgGenerator()
        writer.setOutputDevice(written)
        writer.setSize(self.size())
        writer.setViewBox(QRect(0, 0, self.width(), self.height()))
        writer.setTitle(self.accessibleName())
        writer.setDescription(self.accessibleDescription())
        painter = QPainter(writer)
        self.render(painter)
        painter.end()
        Path(path).write_bytes(written.data().data())

    # Handlers

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self._built:
            self.refresh()

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        super().resizeEvent(event)
        if event is not None and self.plots and event.size() != event.oldSize():
            self.refresh()  # words are placed by the room there is

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self._drop_hover()

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()  # the page it stands on is scrolled

    def commands_at(self, _spot: QPointF) -> list[Command]:
        """What can be done with what is drawn there, for the menu under the pointer."""
        return []

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        menu = Menu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        if menu.offer(self.commands_at(self.mapToScene(event.pos()))):
            menu.addSeparator()
        menu.addActions(self.picture_actions)
        menu.popup(event.globalPos())

    def _build_actions(self) -> None:
        self.picture_actions = [
            self._action("Copy the chart", self._on_copy),
            self._action("Save the chart as PNG…", self._on_save_png),
            self._action("Save the chart as SVG…", self._on_save_svg),
        ]

    def _action(self, title: str, slot: Callable[[], None]) -> QAction:
        action = QAction(title, self)
        action.triggered.connect(slot)
        return action

    def _on_copy(self) -> None:
        QGuiApplication.clipboard().setPixmap(self.picture())

    def _on_save_png(self) -> None:
        self._save(dialogs.PICTURES_PNG, ".png", self.save_png)

    def _on_save_svg(self) -> None:
        self._save(dialogs.PICTURES_SVG, ".svg", self.save_svg)

    def _save(self, kinds: str, ending: str, write: Callable[[str], None]) -> None:
        path = dialogs.ask_save(self, "Save the chart", kinds, f"chart{ending}")
        if not path:
            return
        path = path if Path(path).suffix else path + ending
        try:
            write(path)
        except OSError as error:
            report(self, f"The chart was not saved: {path}: {error.strerror or error}. Choose "
                   "another folder.", attention=True)  # fmt: skip
        else:
            report(self, f"Saved as {path}.", attention=False)

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
