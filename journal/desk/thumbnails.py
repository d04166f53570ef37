"""Photos made small for the screen, each read once, one at a time between other events."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, QSize, QTimer, Signal
from PySide6.QtGui import QPixmap

from journal.desk.photo_file import read_photo

_MOST = 400  # kept at a time


class Thumbnails(QObject):
    """Hands out what it has; `came` says that there is more. Sides are px of the screen, photos are
    read twice as large, for screens of two pixels a point."""

    came = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._kept: dict[tuple[Path, int], QPixmap | None] = {}
        self._wanted: list[tuple[Path, int]] = []
        self._timer = QTimer(self)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._read_one)

    @property
    def pending(self) -> bool:
        """Some are still to be read."""
        return bool(self._wanted)

    def of(self, path: Path | None, side: int) -> QPixmap | None:
        """The photo made to cover a square of that side; None while it is not read yet, or where it
        cannot be read."""
        key = (path or Path(), side)
        if path is not None and key not in self._kept and key not in self._wanted:
            self._wanted.append(key)
            self._timer.start()
        return self._kept.get(key)

    def _read_one(self) -> None:
        if self._wanted:
            path, side = self._wanted.pop()
            image = read_photo(path, QSize(4 * side, 4 * side))
            if len(self._kept) >= _MOST:
                self._kept.clear()
            self._kept[path, side] = None if image is None else QPixmap.fromImage(image)
            self.came.emit()
        if not self._wanted:
            self._timer.stop()
