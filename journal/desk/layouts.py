"""Layouts: rows and columns of widgets, rows that wrap, and layouts that are filled anew."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QLayout, QSizePolicy, QVBoxLayout, QWidget

Shared = tuple[QWidget | QLayout, int]  # with its share of what is left over
AtEdge = tuple[QWidget, int, Qt.AlignmentFlag]
Item = QWidget | QLayout | Shared | AtEdge | int | None  # px of space; None: what is left over
Margins = tuple[int, int, int, int]
Box = TypeVar("Box", bound=QBoxLayout)


def in_column(
    *items: Item, of: QWidget | None = None, margins: Margins | int | None = None,
    gap: int | None = None,
) -> QVBoxLayout:  # fmt: skip
    """Items below each other, in a widget where it is named: with px of space around (left, top,
    right, bottom, or all alike) and between, as the style has it where none is given."""
    return _filled(QVBoxLayout() if of is None else QVBoxLayout(of), items, margins, gap)


def in_row(
    *items: Item, of: QWidget | None = None, margins: Margins | int | None = None,
    gap: int | None = None,
) -> QHBoxLayout:  # fmt: skip
    """Items beside each other, as `in_column` has them below."""
    return _filled(QHBoxLayout() if of is None else QHBoxLayout(of), items, margins, gap)


def _filled(box: Box, items: Sequence[Item], margins: Margins | int | None, gap: int | None) -> Box:
    if margins is not None:
        box.setContentsMargins(*((margins,) * 4 if isinstance(margins, int) else margins))
    if gap is not None:
        box.setSpacing(gap)
    for item in items:
        if item is None:
            box.addStretch(1)
        elif isinstance(item, int):
            box.addSpacing(item)
        elif isinstance(item, tuple):
            if isinstance(item[0], QLayout):
                box.addLayout(item[0], item[1])
            else:
                box.addWidget(item[0], *item[1:])
        elif isinstance(item, QLayout):
            box.addLayout(item)
        else:
            box.addWidget(item)
    return box


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
        """Show these, in this order."""
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
