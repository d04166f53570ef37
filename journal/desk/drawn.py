"""The base of widgets that are drawn by hand: smooth lines, the small font, its colours."""

from __future__ import annotations

from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from journal.desk.theme import SMALL, Colours, colours_of, font


class DrawnWidget(QWidget):
    """A widget that is drawn: a subclass says how in `draw`; one that is `framed` has a frame laid
    over it while it has the keys."""

    framed = False

    def draw(self, painter: QPainter, c: Colours) -> None:
        """Draw it whole, in these colours; letters are small unless another font is set."""
        raise NotImplementedError  # each drawn widget has its own

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(font(SMALL))
        self.draw(painter, colours_of(self))
