"""A page that scrolls where it has to, upright, with the quiet bar."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from journal.desk.scrollbars import quieten


def scrolled(inner: QWidget, *, sideways: bool = False) -> QScrollArea:
    """The widget within a scrolling frame without an edge."""
    area = QScrollArea()
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setWidgetResizable(True)
    if not sideways:
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    quieten(area)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setWidget(inner)
    return area
