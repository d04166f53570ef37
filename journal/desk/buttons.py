"""Buttons drawn with ink: the one main act of a page, the others, and the row of places."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from journal.desk.theme import RADIUS, STEP, TEXT, Colours, colours_of, font, scaled
from journal.wording import worded
from journal.wording.keys import is_key_use, key_of

LEAST_TARGET = 8 * STEP  # px; what a finger can hit
MAIN, PLAIN, FAINT = "main", "plain", "faint"


class Button(QAbstractButton):
    """A text button with its key beside the words: filled (main), framed (plain) or faint."""

    def __init__(
        self, text: str, kind: str = PLAIN, key: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.kind = kind
        self.key = key
        self.setFont(font(TEXT, bold=kind == MAIN))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.set_label(text, key)

    def set_label(self, text: str, key: str = "") -> None:
        """What it does, and the use of the key that does it (or the key itself, as "Esc")."""
        self.key = key = key_of(key) if is_key_use(key) else key
        self.setText(text)
        self.setAccessibleName(text)
        self.setAccessibleDescription(worded("desk.key-is", key=key) if key else "")
        self.updateGeometry()
        self.update()

    def shown_label(self) -> str:
        """The words with the key behind them."""
        return f"{self.text()}  {self.key}" if self.key else self.text()

    def sizeHint(self) -> QSize:
        width = QFontMetricsF(self.font()).horizontalAdvance(self.shown_label())
        return QSize(round(width) + 8 * STEP, scaled(9 * STEP))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        c = colours_of(self)
        box = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        self._draw_frame(painter, c, box)
        words = c.paper if self.kind == MAIN and self.isEnabled() else c.ink
        if self.kind == FAINT or not self.isEnabled():
            words = c.quiet
        painter.setPen(words)
        painter.setFont(self.font())
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, self.shown_label())
        painter.end()

    def _draw_frame(self, painter: QPainter, c: Colours, box: QRectF) -> None:
        filled = self.kind == MAIN and self.isEnabled()
        edge = c.ink if self.kind == PLAIN and self.isEnabled() else c.hairline
        fill = c.ink if filled else (c.chosen if self.isDown() or self.underMouse() else c.paper)
        if filled and (self.isDown() or self.underMouse()):
            fill = c.done
        painter.setPen(QPen(c.ink if filled else edge, 1))
        painter.setBrush(fill)
        painter.drawRoundedRect(box, RADIUS, RADIUS)
        if self.hasFocus():
            inner = box.adjusted(3, 3, -3, -3)
            painter.setPen(QPen(c.paper if filled else c.ink, 1, Qt.PenStyle.DotLine))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(inner, RADIUS - 1, RADIUS - 1)


class WordButton(QAbstractButton):
    """A word that can be pressed: a place's name, underlined where one is; between two lines while
    it has the keys."""

    def __init__(self, text: str, parent: QWidget | None = None, *, size: int = TEXT) -> None:
        super().__init__(parent)
        self.setText(text)
        self.setAccessibleName(text)
        self._size = size
        self.setFont(font(size))
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.toggled.connect(self._on_toggled)

    def take_font(self) -> None:
        """Write the word in the size that is chosen now."""
        self._on_toggled(self.isChecked())
        self.updateGeometry()

    def _on_toggled(self, on: bool) -> None:
        self.setFont(font(self._size, bold=on))
        self.update()

    def sizeHint(self) -> QSize:
        metrics = QFontMetricsF(font(self._size, bold=True))
        wide = round(metrics.horizontalAdvance(self.text())) + 2
        return QSize(wide, max(LEAST_TARGET, round(metrics.height()) + 12))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        c = colours_of(self)
        lit = self.isChecked() or self.underMouse() or self.hasFocus()
        painter.setPen(c.ink if lit else c.quiet)
        painter.setFont(self.font())
        words = QRectF(self.rect())
        painter.drawText(words, Qt.AlignmentFlag.AlignVCenter, self.text())
        width = QFontMetricsF(self.font()).horizontalAdvance(self.text())
        line = QRectF(0, self.height() - 3, width, 2)
        if self.isChecked() or self.hasFocus():
            painter.fillRect(line, c.ink)
        if self.hasFocus():  # one that is chosen has its line below in any case
            painter.fillRect(line.translated(0, 5 - self.height()), c.ink)
        painter.end()
