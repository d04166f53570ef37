"""A page that scrolls up and down where there is no room for it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from journal.desk.scrollbars import quieten


def scrolled(inner: QWidget) -> QScrollArea:
    """The widget in a quiet scroll area that takes no focus."""
    scroll = QScrollArea()
    quieten(scroll)
    scroll.setFrameShape(QFrame.Shape.NoFrame)
    scroll.setWidgetResizable(True)
    scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    scroll.setWidget(inner)
    return scroll
