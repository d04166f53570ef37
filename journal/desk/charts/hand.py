"""Mouse, touch and keys on a chart: zoom, pan, drag what can be dragged, click to go there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QApplication, QWidget

from journal.curves.surface import Pane
from journal.desk.charts.held import Grip, HeldChart
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.reading import ChartReading
from journal.desk.charts.zooming import QtKey, ZoomHand
from journal.desk.commands import Command, is_key


@dataclass
class _Grip:
    """A grip, where it was taken, and the scale it was taken on."""

    grip: Grip
    at: QPointF
    pane: Pane
    lets_go: bool = False  # all is shown again when it is let go

    def move(self, away: QPoint) -> None:
        (x0, x1), (y0, y1) = self.pane.x, self.pane.y
        self.grip.move(
            self.at.x() + away.x() * (x1 - x0) / self.pane.wide,
            self.at.y() - away.y() * (y1 - y0) / self.pane.high,
        )


class ChartHand:
    """Hears the mouse, the fingers and the keys of a chart."""

    def __init__(self, chart: HeldChart, reading: ChartReading, view: QWidget) -> None:
        self._chart, self._reading, self._view = chart, reading, view
        self.zooming = ZoomHand(chart, view)
        self._pressed: QPoint | None = None
        self._dragged = False
        self._grip: _Grip | None = None
        self.zooming.with_values |= {
            (QtKey.Key_Left, False): lambda: reading.step(-1),
            (QtKey.Key_Right, False): lambda: reading.step(1),
            (QtKey.Key_Home, False): lambda: self._end(-1),
            (QtKey.Key_End, False): lambda: self._end(1),
            (QtKey.Key_Return, False): self._enter,
            (QtKey.Key_Enter, False): self._enter,
        }

    def commands(self) -> list[Command]:
        """What can be done with what a chart shows, for its menu."""
        return self.zooming.commands()

    # The mouse

    def press(self, event: QMouseEvent) -> None:
        """A button went down."""
        if event.button() != Qt.MouseButton.LeftButton:
            return
        self._pressed, self._dragged = event.position().toPoint(), False
        self.zooming.hold()
        self._start = self._chart.lens.shown
        plot, at = self._spot(event.position().toPoint())
        grip = self._chart.grip_at(plot, at) if plot is not None else None
        self._grip = None if grip is None or plot is None else _Grip(grip, at, plot.pane(at.x()))

    def move(self, event: QMouseEvent) -> bool:
        """The pointer moved; whether it dragged something along."""
        here = event.position().toPoint()
        if self._pressed is None:
            self._show_shape(here)
            return False
        away = here - self._pressed
        if not self._dragged and away.manhattanLength() < QApplication.startDragDistance():
            return False
        self._dragged = True
        if self._grip is None:
            self.zooming.drag(away.x())
            return True
        if self._chart.lens.window is None:  # the scale stays while something is held on it
            self._chart.lens.window = self._start
            self._grip.lets_go = True
        self._grip.move(away)
        return True

    def release(self, event: QMouseEvent) -> None:
        """A button went up: ends a drag, else it was a click."""
        if event.button() != Qt.MouseButton.LeftButton or self._pressed is None:
            return
        grip, dragged = self._grip, self._dragged
        self._pressed, self._dragged, self._grip = None, False, None
        self._view.unsetCursor()
        if dragged and grip is not None:
            if grip.lets_go:
                self._chart.lens.show_all()
            grip.grip.drop()
        elif not dragged:
            plot, at = self._spot(event.position().toPoint())
            if plot is not None:
                self._chart.clicked_at(plot, at.x(), at.y())

    def wheel(self, event: QWheelEvent) -> None:
        """The wheel zooms, or moves."""
        self.zooming.wheel(event)

    def gesture(self, event: QEvent) -> bool:
        """Two fingers on a screen or a touchpad; whether the event was theirs."""
        return self.zooming.gesture(event)

    # Keys

    def key(self, event: QKeyEvent) -> bool:
        """A key, where the chart knows it."""
        if is_key(event, "leave") and self._reading.row is not None:
            self._reading.leave()
            return True
        way = {QtKey.Key_Up: -1, QtKey.Key_Down: 1}.get(QtKey(event.key()))
        if way is not None and self._chart.values.in_lines and self._chart.has_values():
            self._reading.step(way)
            return True
        return self.zooming.key(event)

    def _end(self, side: int) -> None:
        self._reading.row = None
        self._reading.step(-side)

    def _enter(self) -> None:
        row = self._reading.current()
        if row is not None and row.key is not None:
            self._chart.go_to(row.key)

    def _spot(self, at: QPoint) -> tuple[ChartPlot | None, QPointF]:
        scene = self._chart.to_scene(at)
        plot = self._chart.plot_at(scene)
        return plot, QPointF() if plot is None else plot.getViewBox().mapSceneToView(scene)

    def _show_shape(self, here: QPoint) -> None:
        plot, at = self._spot(here)
        grip = self._chart.grip_at(plot, at) if plot is not None else None
        if grip is None:
            self._view.unsetCursor()
        else:
            self._view.setCursor(cast(Qt.CursorShape, grip.shape))
