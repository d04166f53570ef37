"""Layouts: rows that wrap, and layouts that are emptied to be filled anew."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QLayout, QSizePolicy, QWidget


def empty(layout: QLayout) -> None:
    """Take everything out of a layout; its widgets are deleted."""
    while (item := layout.takeAt(0)) is not None:
        widget = item.widget()
        if widget is not None:
            widget.hide()
            widget.deleteLater()


class WrappedRow(QWidget):
    """Widgets from the left, on a further line where there is no room; `gap` px between them,
    `line_gap` between the lines. All are as high as the last, which is always there."""

    def __init__(self, gap: int, line_gap: int = 0, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._gap, self._line_gap = gap, line_gap
        self._row: list[QWidget] = []
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_row(self, widgets: Sequence[QWidget]) -> None:
        """Have these, in this order."""
        self._row = list(widgets)
        for widget in self._row:
            widget.setParent(self)
            widget.show()
        self.wrap()

    def wrap(self) -> None:
        """Place them in the width there is."""
        x = y = high = 0
        for widget in self._row:
            size = widget.sizeHint()
            high = size.height()
            if x and x + size.width() > self.width():
                x, y = 0, y + high + self._line_gap
            widget.setGeometry(x, y, min(size.width(), max(self.width(), 40)), high)
            x += size.width() + self._gap
        self.setFixedHeight(y + high)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.wrap()
