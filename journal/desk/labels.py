"""Words on a page: labels in the type scale, hairlines, the triangle that asks for attention."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPalette, QPolygonF
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from journal.desk.theme import TEXT, font

_ROLES = {
    "ink": QPalette.ColorRole.WindowText,
    "quiet": QPalette.ColorRole.PlaceholderText,
    "planned": QPalette.ColorRole.Link,
    "attention": QPalette.ColorRole.LinkVisited,
}


class Label(QLabel):
    """Plain text at a size of the scale; never reads typed text as markup."""

    def __init__(
        self,
        text: str = "",
        size: int = TEXT,
        *,
        bold: bool = False,
        role: str = "ink",
        wrap: bool = False,
        right: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setFont(font(size, bold=bold))
        self.setForegroundRole(_ROLES[role])
        self.setWordWrap(wrap)
        if right:
            self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.setText(text)

    def set_role(self, role: str) -> None:
        """Say it in another voice: "ink", "quiet", "planned" or "attention"."""
        self.setForegroundRole(_ROLES[role])


class Hairline(QWidget):
    """A rule across the page."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFixedHeight(1)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def paintEvent(self, event: QPaintEvent) -> None:
        QPainter(self).fillRect(event.rect(), self.palette().mid())


class Triangle(QWidget):
    """The mark beside what needs attention; filled where something is wrong."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFixedSize(QSize(14, 12))

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        draw_triangle(painter, 0, 0, 14, self.palette().linkVisited().color())


def draw_triangle(painter: QPainter, x: float, y: float, width: float, colour: QColor) -> None:
    """The attention mark with its upper left corner at (x, y)."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    height = width * 0.86
    painter.drawPolygon(
        QPolygonF(
            [QPointF(x, y + height), QPointF(x + width, y + height), QPointF(x + width / 2, y)]
        )
    )
