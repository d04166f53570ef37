"""A scroll bar that stands back: a slim thumb on the page, no arrows, no trough."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import (
    QAbstractScrollArea,
    QFrame,
    QScrollArea,
    QScrollBar,
    QStyle,
    QStyleOptionSlider,
    QWidget,
)

from journal.desk.charts.drawing import paint_scene
from journal.desk.charts.marks import BoxMark, Mark, Scene
from journal.desk.theme import RADIUS, STEP, colours_of

_WIDE = 3 * STEP
SIDEWAYS = 5 * STEP  # px that a bar along the lower edge takes
_THUMB = 5


class QuietBar(QScrollBar):
    """Upright; works like any other."""

    def __init__(self) -> None:
        super().__init__(Qt.Orientation.Vertical)

    def sizeHint(self) -> QSize:
        return QSize(_WIDE, 10 * STEP)

    def paintEvent(self, _event: QPaintEvent) -> None:
        marks: list[Mark] = [BoxMark((0, self.width()), (0, self.height()), "paper")]
        if self.maximum() > self.minimum():
            option = QStyleOptionSlider()
            self.initStyleOption(option)
            thumb = self.style().subControlRect(
                QStyle.ComplexControl.CC_ScrollBar,
                option,
                QStyle.SubControl.SC_ScrollBarSlider,
                self,
            )
            x, y = self.width() - _THUMB - 1, thumb.y()
            role = "past_line" if self.underMouse() or self.isSliderDown() else "past"
            box = (x, x + _THUMB), (y, y + thumb.height())
            marks.append(BoxMark(*box, role, rounded=RADIUS))
        paint_scene(self, Scene(marks), colours_of(self))


def quieten(area: QAbstractScrollArea) -> None:
    """Give a table, list or page the quiet bar."""
    area.setVerticalScrollBar(QuietBar())


def scrolled(inner: QWidget, *, sideways: bool = False, by_keys: bool = False) -> QScrollArea:
    """The widget in a page without an edge that scrolls where there is no room for it; it takes
    the focus only where keys are to scroll it."""
    area = QScrollArea()
    quieten(area)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setWidgetResizable(True)
    if not sideways:
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    if not by_keys:
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setWidget(inner)
    return area
