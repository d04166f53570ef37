"""Zoom and pan along an axis, by wheel, fingers, keys and a drag: of charts, and of other pictures
that are drawn along one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from PySide6.QtCore import QEvent, QPoint, Qt, SignalInstance
from PySide6.QtGui import QKeyEvent, QNativeGestureEvent, QWheelEvent
from PySide6.QtWidgets import QAbstractScrollArea, QGestureEvent, QPinchGesture, QWidget

from journal.curves.surface import Span
from journal.desk.charts.lens import STEP, Lens
from journal.desk.commands import Command, is_key

_A_NOTCH = 120.0
_NUDGE, _PAGE = 0.1, 0.8  # of what is shown
SHIFT, CTRL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier
_PAD = Qt.KeyboardModifier.KeypadModifier
QtKey = Qt.Key
KeyActions = dict[tuple[QtKey, bool], Callable[[], object]]


class ZoomPicture(Protocol):
    """A picture along an axis; `zoomed` says that another stretch of it is shown."""

    lens: Lens

    @property
    def zoomed(self) -> SignalInstance:
        """Another stretch is shown."""

    @property
    def widget(self) -> QWidget:
        """The picture, as Qt knows it."""

    def along(self, at: QPoint) -> float | None:
        """The place of the axis under a point of the picture."""

    def shown_at(self) -> float | None:
        """The selected place: keys zoom about it."""

    def stretch(self) -> tuple[Span, float]:
        """What is drawn of the axis, and over how many px."""

    def refresh(self) -> None:
        """Draw again."""

    def show_all(self) -> None:
        """Show all again."""

    def show_values(self) -> None:
        """The values as a table."""

    def has_values(self) -> bool:
        """There is anything to be zoomed or read."""


class ZoomHand:
    """Zooms and moves a picture. `view` is what the fingers are on."""

    def __init__(self, picture: ZoomPicture, view: QWidget) -> None:
        self._picture, self._view = picture, view
        self.always: KeyActions = {
            (QtKey.Key_Plus, False): self.closer,
            (QtKey.Key_Plus, True): self.closer,  # where it is a key with Shift
            (QtKey.Key_Equal, False): self.closer,
            (QtKey.Key_Minus, False): self.farther,
            (QtKey.Key_Backspace, False): picture.show_all,
        }
        self.with_values: KeyActions = {
            (QtKey.Key_Left, True): lambda: self.pan(-_NUDGE),
            (QtKey.Key_Right, True): lambda: self.pan(_NUDGE),
            (QtKey.Key_PageUp, False): lambda: self.pan(-_PAGE),
            (QtKey.Key_PageDown, False): lambda: self.pan(_PAGE),
        }
        view.grabGesture(Qt.GestureType.PinchGesture)

    def commands(self) -> list[Command]:
        """What can be done with what is shown, for a menu."""
        picture = self._picture
        return [
            Command("closer", "Zoom in", self.closer, menu="look", shown="+"),
            Command("farther", "Zoom out", self.farther, enabled=self._is_inside, menu="look",
                    shown="−"),
            Command("show_all", "Show all", picture.show_all, enabled=self.is_zoomed, menu="look",
                    shown="Backspace"),
            Command("values", "Values as a table", picture.show_values, (),
                    picture.has_values, "look"),
        ]  # fmt: skip

    def closer(self) -> None:
        """Zoom in, about the selected value."""
        self.zoom(STEP, self._picture.shown_at())

    def farther(self) -> None:
        """Zoom out."""
        self.zoom(1 / STEP, self._picture.shown_at())

    def zoom(self, factor: float, at: float | None) -> None:
        """Come so many times closer to a place."""
        self._picture.lens.zoom(factor, at)
        self._show()

    def pan(self, share: float) -> None:
        """Move by a share of what is shown."""
        low, high = self._picture.lens.shown
        self._picture.lens.pan(share * (high - low))
        self._show()

    def hold(self) -> None:
        """Something is held that may be dragged."""
        self._start, (self._drawn, self._wide) = self._picture.lens.shown, self._picture.stretch()

    def drag(self, px: float) -> bool:
        """What is shown goes along by so many px; False where nothing is zoomed."""
        if not self.is_zoomed():
            return False
        low, high = self._start
        by = -px * (self._drawn[1] - self._drawn[0]) / max(self._wide, 1.0)
        self._view.setCursor(Qt.CursorShape.ClosedHandCursor)
        self._picture.lens.show((low + by, high + by))
        self._show()
        return True

    def wheel(self, event: QWheelEvent) -> None:
        """The wheel zooms about the pointer; sideways, or with Shift, it moves. On a page that
        scrolls it is the page's, until the picture has the focus or Ctrl is held."""
        turned, sideways = event.angleDelta().y(), event.angleDelta().x()
        held = event.modifiers()
        if not (held & CTRL or self._picture.widget.hasFocus()) and self._page_scrolls():
            event.ignore()
            return
        if held & SHIFT or abs(sideways) > abs(turned):
            self.pan(-_NUDGE * (sideways or turned) / _A_NOTCH)
        else:
            along = self._picture.along(event.position().toPoint())
            self.zoom(STEP ** (turned / _A_NOTCH), along)
        event.accept()

    def gesture(self, event: QEvent) -> bool:
        """Two fingers on a screen or a touchpad; whether the event was theirs."""
        if isinstance(event, QNativeGestureEvent):
            kind = event.gestureType()
            if kind == Qt.NativeGestureType.ZoomNativeGesture:
                self._pinch(1.0 + event.value(), event.position().toPoint())
            elif kind == Qt.NativeGestureType.SmartZoomNativeGesture:
                self._picture.show_all()
            return True
        if isinstance(event, QGestureEvent):
            pinch = event.gesture(Qt.GestureType.PinchGesture)
            if isinstance(pinch, QPinchGesture):
                at = self._view.mapFromGlobal(pinch.centerPoint().toPoint())
                self._pinch(pinch.scaleFactor(), at)
                return True
        return False

    def key(self, event: QKeyEvent) -> bool:
        """A key, where the picture knows it."""
        if is_key(event, "values") and self._picture.has_values():
            self._picture.show_values()
            return True
        held = event.modifiers() & ~_PAD
        if held not in (Qt.KeyboardModifier.NoModifier, SHIFT):
            return False
        wanted = QtKey(event.key()), held == SHIFT
        act = self.always.get(wanted)
        if act is None and self._picture.has_values():
            act = self.with_values.get(wanted)
        if act is not None:
            act()
        return act is not None

    def is_zoomed(self) -> bool:
        """A part is shown."""
        return self._picture.lens.window is not None

    def _pinch(self, factor: float, at: QPoint) -> None:
        self.zoom(max(factor, 0.1), self._picture.along(at))

    def _show(self) -> None:
        self._picture.refresh()
        self._picture.zoomed.emit()

    def _is_inside(self) -> bool:
        lens = self._picture.lens
        return lens.shown != lens.limits

    def _page_scrolls(self) -> bool:
        page: QWidget | None = self._picture.widget
        while page is not None and not page.isWindow():
            page = page.parentWidget()
            if isinstance(page, QAbstractScrollArea) and page.verticalScrollBar().maximum() > 0:
                return True
        return False
