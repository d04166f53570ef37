"""The wheel, a drag and two fingers on a picture, as Qt tells them."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import (
    QInputDevice,
    QMouseEvent,
    QNativeGestureEvent,
    QPointingDevice,
    QWheelEvent,
)
from PySide6.QtWidgets import QAbstractScrollArea, QApplication, QWidget

NONE = Qt.KeyboardModifier.NoModifier


def _view(widget: QWidget) -> QWidget:
    """What the pointer is over."""
    return widget.viewport() if isinstance(widget, QAbstractScrollArea) else widget


def turn(widget: QWidget, at: QPoint, by: int, held=NONE) -> None:
    event = QWheelEvent(
        QPointF(at), QPointF(_view(widget).mapToGlobal(at)), QPoint(), QPoint(0, by),
        Qt.MouseButton.NoButton, held, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(_view(widget), event)


def drag(widget: QWidget, start: QPoint, end: QPoint) -> None:
    left = Qt.MouseButton.LeftButton
    for kind, at, button, held in (
        (QEvent.Type.MouseButtonPress, start, left, left),
        (QEvent.Type.MouseMove, (start + end) / 2, Qt.MouseButton.NoButton, left),
        (QEvent.Type.MouseMove, end, Qt.MouseButton.NoButton, left),
        (QEvent.Type.MouseButtonRelease, end, left, Qt.MouseButton.NoButton),
    ):
        there = QPointF(_view(widget).mapToGlobal(at))
        QApplication.sendEvent(
            _view(widget), QMouseEvent(kind, QPointF(at), there, button, held, NONE)
        )


def pinch(widget: QWidget, at: QPoint, by: float) -> None:
    pad = QPointingDevice(
        "pad", 7, QInputDevice.DeviceType.TouchPad, QPointingDevice.PointerType.Finger,
        QInputDevice.Capability.Position, 2, 0,
    )  # fmt: skip
    where = QPointF(at)
    event = QNativeGestureEvent(
        Qt.NativeGestureType.ZoomNativeGesture, pad, 2, where, where,
        QPointF(_view(widget).mapToGlobal(at)), by, QPointF(),
    )  # fmt: skip
    QApplication.sendEvent(_view(widget), event)
