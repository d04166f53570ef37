"""What a hand does on a chart: wheel, pinch and keys zoom, a drag moves it, a click goes there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import cast

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent, QNativeGestureEvent, QWheelEvent
from PySide6.QtWidgets import (
    QAbstractScrollArea,
    QApplication,
    QGestureEvent,
    QPinchGesture,
    QWidget,
)

from journal.desk.charts.held import Grip, HeldChart
from journal.desk.charts.lens import STEP
from journal.desk.charts.plot import ChartPlot
from journal.desk.charts.reading import ChartReading
from journal.desk.charts.surface import Pane
from journal.desk.commands import Command

_A_NOTCH = 120.0
_NUDGE, _PAGE = 0.1, 0.8  # of what is shown
_SHIFT, _CTRL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier
_PAD = Qt.KeyboardModifier.KeypadModifier
Key = Qt.Key


@dataclass
class _Held:
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
        self._chart, self._reading = chart, reading
        self._widget, self._view = chart.widget, view
        self._pressed: QPoint | None = None
        self._dragged = False
        self._grip: _Held | None = None
        self._keys: dict[tuple[Key, bool], Callable[[], object]] = {
            (Key.Key_Plus, False): self.closer,
            (Key.Key_Plus, True): self.closer,  # where it is a key with Shift
            (Key.Key_Equal, False): self.closer,
            (Key.Key_Minus, False): self.farther,
            (Key.Key_Backspace, False): chart.show_all,
            (Key.Key_Left, False): lambda: reading.step(-1),
            (Key.Key_Right, False): lambda: reading.step(1),
            (Key.Key_Left, True): lambda: self._pan(-_NUDGE),
            (Key.Key_Right, True): lambda: self._pan(_NUDGE),
            (Key.Key_PageUp, False): lambda: self._pan(-_PAGE),
            (Key.Key_PageDown, False): lambda: self._pan(_PAGE),
            (Key.Key_Home, False): lambda: self._end(-1),
            (Key.Key_End, False): lambda: self._end(1),
            (Key.Key_Return, False): self._enter,
            (Key.Key_Enter, False): self._enter,
            (Key.Key_Return, True): chart.show_values,
            (Key.Key_Enter, True): chart.show_values,
        }
        view.grabGesture(Qt.GestureType.PinchGesture)

    def commands(self) -> list[Command]:
        """What can be done with what a chart shows, for its menu."""
        chart = self._chart
        return [
            Command("closer", "Zoom in", self.closer, menu="look", shown="+"),
            Command("farther", "Zoom out", self.farther, enabled=self._is_inside, menu="look",
                    shown="−"),
            Command("show_all", "Show all", chart.show_all, enabled=self._is_zoomed, menu="look",
                    shown="Backspace"),
            Command("values", "Values as a table", chart.show_values, ("Shift+Return",),
                    self._has_values, "look"),
        ]  # fmt: skip

    def closer(self) -> None:
        """Zoom in, about the value one stands on."""
        self._zoom(STEP, self._standing())

    def farther(self) -> None:
        """Zoom out."""
        self._zoom(1 / STEP, self._standing())

    # The mouse

    def press(self, event: QMouseEvent) -> None:
        """A button went down."""
        if event.button() != Qt.MouseButton.LeftButton:
            return
        self._pressed, self._dragged = event.position().toPoint(), False
        self._start = self._chart.lens.shown
        plot, at = self._spot(event.position().toPoint())
        grip = self._chart.grip_at(plot, at) if plot is not None else None
        self._grip = None if grip is None or plot is None else _Held(grip, at, plot.pane(at.x()))

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
        if self._grip is not None:
            if self._chart.lens.window is None:  # the scale stays while something is held on it
                self._chart.lens.window = self._start
                self._grip.lets_go = True
            self._grip.move(away)
            return True
        if not self._is_zoomed() or not self._chart.plots:
            return True
        low, high = self._start
        wide = max(self._chart.plots[0].getViewBox().width(), 1.0)
        by = -away.x() * (high - low) / wide
        self._view.setCursor(Qt.CursorShape.ClosedHandCursor)
        self._chart.lens.show((low + by, high + by))
        self._chart.refresh()
        return True

    def release(self, event: QMouseEvent) -> None:
        """A button went up: what was dragged is let go, else it was a click."""
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
        """The wheel zooms about the pointer; sideways, or with Shift, it moves. On a page that
        scrolls it is the page's, until the chart has the focus or Ctrl is held."""
        turned, sideways = event.angleDelta().y(), event.angleDelta().x()
        held = event.modifiers()
        if not (held & _CTRL or self._widget.hasFocus()) and self._page_scrolls():
            event.ignore()
            return
        if held & _SHIFT or abs(sideways) > abs(turned):
            self._pan(-_NUDGE * (sideways or turned) / _A_NOTCH)
        else:
            self._zoom(STEP ** (turned / _A_NOTCH), self._along(event.position()))
        event.accept()

    def gesture(self, event: QEvent) -> bool:
        """Two fingers on a screen or a touchpad; whether the event was theirs."""
        if isinstance(event, QNativeGestureEvent):
            kind = event.gestureType()
            if kind == Qt.NativeGestureType.ZoomNativeGesture:
                self._zoom(max(1.0 + event.value(), 0.1), self._along(event.position()))
            elif kind == Qt.NativeGestureType.SmartZoomNativeGesture:
                self._chart.show_all()
            return True
        if isinstance(event, QGestureEvent):
            pinch = event.gesture(Qt.GestureType.PinchGesture)
            if isinstance(pinch, QPinchGesture):
                at = self._view.mapFromGlobal(pinch.centerPoint().toPoint())
                self._zoom(pinch.scaleFactor(), self._along(QPointF(at)))
                return True
        return False

    # Keys

    def key(self, event: QKeyEvent) -> bool:
        """A key, where the chart knows it."""
        held = event.modifiers() & ~_PAD
        if held not in (Qt.KeyboardModifier.NoModifier, _SHIFT):
            return False
        act = self._keys.get((Key(event.key()), held == _SHIFT))
        if act is None or (event.key() not in _ALWAYS and not self._has_values()):
            return False
        act()
        return True

    def _end(self, side: int) -> None:
        self._reading.row = None
        self._reading.step(-side)

    def _enter(self) -> None:
        row = self._reading.current()
        if row is not None and row.key is not None:
            self._chart.go_to(row.key)

    # What both do

    def _zoom(self, factor: float, at: float | None) -> None:
        self._chart.lens.zoom(factor, at)
        self._chart.refresh()

    def _pan(self, share: float) -> None:
        low, high = self._chart.lens.shown
        self._chart.lens.pan(share * (high - low))
        self._chart.refresh()

    def _standing(self) -> float | None:
        row = self._reading.current()
        return None if row is None else row.x

    def _has_values(self) -> bool:
        return len(self._chart.values.x) > 0

    def _is_zoomed(self) -> bool:
        return self._chart.lens.window is not None

    def _is_inside(self) -> bool:
        lens = self._chart.lens
        return lens.shown != lens.limits

    def _along(self, at: QPointF) -> float | None:
        plots = self._chart.plots
        if not plots:
            return None
        scene = self._chart.to_scene(at.toPoint())
        x: float = plots[0].getViewBox().mapSceneToView(scene).x()
        return x

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

    def _page_scrolls(self) -> bool:
        page: QWidget | None = self._widget
        while page is not None and not page.isWindow():
            page = page.parentWidget()
            if isinstance(page, QAbstractScrollArea) and page.verticalScrollBar().maximum() > 0:
                return True
        return False


_ALWAYS = (Key.Key_Plus, Key.Key_Equal, Key.Key_Minus, Key.Key_Backspace)
