"""Timers, made in a way that works on a Turkish desktop too."""

from __future__ import annotations

from PySide6.QtCore import QObject, QTimer


def timer(parent: QObject | None, interval_ms: int, *, once: bool = False) -> QTimer:
    """A timer that is not started yet. Qt's binding finds the setter of a property that is named to
    a constructor by C's `toupper`, which in Turkish leaves an “i” as it is: `interval` has none."""
    made = QTimer(parent)
    made.setInterval(interval_ms)
    made.setSingleShot(once)
    return made
