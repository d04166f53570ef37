"""What an event filter asks of an event."""

from __future__ import annotations

from PySide6.QtCore import QEvent
from PySide6.QtGui import QKeyEvent


def pressed_key(event: QEvent) -> int | None:
    """The key that is pressed; None for an event of another kind."""
    if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
        return event.key()
    return None
