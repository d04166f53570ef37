"""What an event filter asks of an event, and how a layout is emptied."""

from __future__ import annotations

from PySide6.QtCore import QEvent
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLayout


def pressed_key(event: QEvent) -> int | None:
    """The key that is pressed; None for an event of another kind."""
    if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
        return event.key()
    return None


def empty_out(layout: QLayout) -> None:
    """Take everything out of a layout; what was in it goes."""
    while (item := layout.takeAt(0)) is not None:
        widget = item.widget()
        if widget is not None:
            widget.deleteLater()
