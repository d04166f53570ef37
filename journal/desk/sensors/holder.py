"""What holds the sensors of an open journal: nothing of them is loaded until one is wanted."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from journal.desk.work import Work
from journal.keeping import Journal

if TYPE_CHECKING:
    from journal.desk.sensors.bridge import Bridge


class SensorHolder(QObject):
    """Has the bridge once it was made; `begun` and `ended` tell those that show it."""

    begun = Signal()
    ended = Signal()

    def __init__(self, journal: Journal, clock: Callable[[], int], work: Work) -> None:
        super().__init__()
        self._given = (journal, clock, work)
        self.bridge: Bridge | None = None

    def made(self) -> Bridge:
        """The bridge, made when it is first asked for."""
        if self.bridge is None:
            from journal.desk.sensors.bridge import Bridge  # loaded once a sensor is switched on

            self.bridge = Bridge(*self._given, self)
            self.begun.emit()
        return self.bridge

    def stop(self) -> None:
        """Stop every sensor; what came is kept first."""
        if self.bridge is not None:
            self.bridge.stop()
            gone, self.bridge = self.bridge, None
            self.ended.emit()
            gone.deleteLater()
