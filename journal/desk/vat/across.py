"""Across the room: only the step, the clock and the two last values, as large as they go."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from journal.desk.labels import draw_triangle
from journal.desk.theme import colours_of, font
from journal.desk.vat.day import Day, value_text
from journal.desk.vat.stage_words import to_go

_KINDS = (("milk-temp", "temperature"), ("curd-ph", "acidity"))
_CENTRE = Qt.AlignmentFlag.AlignCenter


class AcrossTheRoom(QWidget):
    """Covers its window until F11 or Esc; any other key goes on to what lies under it."""

    def __init__(self, window: QWidget, under: QWidget) -> None:
        super().__init__(window)
        self._under = under
        self._day: Day | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Across the room")
        window.installEventFilter(self)
        self.hide()

    def open_with(self, day: Day) -> None:
        """Cover the window."""
        self.show_day(day)
        self.setGeometry(self.parentWidget().rect())
        self.show()
        self.raise_()
        self.setFocus()

    def show_day(self, day: Day) -> None:
        """Show a make at a moment."""
        self._day = day
        self.setAccessibleDescription(", ".join(_words(day)))
        self.update()

    def eventFilter(self, _watched: QWidget, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and self.isVisible():
            self.setGeometry(self.parentWidget().rect())
        return False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        self.hide()
        self._under.setFocus()
        if event.key() not in (Qt.Key.Key_Escape, Qt.Key.Key_F11):
            event.ignore()

    def mousePressEvent(self, _event) -> None:
        self.hide()
        self._under.setFocus()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        c = colours_of(self)
        painter.fillRect(self.rect(), c.paper)
        if self._day is not None:
            width, high = self.width(), self.height()
            self._draw_step(painter, QRectF(0, 0.04 * high, width, 0.16 * high))
            self._draw_clock(painter, QRectF(0, 0.20 * high, width, 0.42 * high))
            self._draw_values(painter, QRectF(0, 0.66 * high, width, 0.28 * high))
        painter.end()

    def _draw_step(self, painter: QPainter, box: QRectF) -> None:
        painter.setPen(colours_of(self).ink)
        _fit(painter, box, _words(self._day)[0], bold=True)

    def _draw_clock(self, painter: QPainter, box: QRectF) -> None:
        c, ends = colours_of(self), self._day.standing.ends_ms
        if ends is None:
            return
        figures, what = to_go(ends, self._day.now_ms)
        over = what == "over"
        painter.setPen(c.attention if over else c.ink)
        _fit(painter, box.adjusted(0, 0, 0, -0.18 * box.height()), figures)
        painter.setPen(c.attention if over else c.quiet)
        foot = QRectF(box.x(), box.bottom() - 0.16 * box.height(), box.width(), 0.16 * box.height())
        _fit(painter, foot, what)
        if over:
            side = 0.7 * foot.height()
            draw_triangle(painter, box.center().x() - 3 * side, foot.y(), side, c.attention)

    def _draw_values(self, painter: QPainter, box: QRectF) -> None:
        c = colours_of(self)
        half = box.width() / 2
        for i, (kind, role) in enumerate(_KINDS):
            trace = self._day.whole.trace(kind).sound()
            if len(trace):
                painter.setPen(getattr(c, role))
                cell = QRectF(box.x() + i * half, box.y(), half, box.height())
                _fit(painter, cell.adjusted(24, 0, -24, 0), value_text(kind, trace.value[-1]))


def _fit(painter: QPainter, box: QRectF, words: str, *, bold: bool = False) -> None:
    """Write words as large as the box lets them be."""
    face = font(max(12, round(box.height() * 0.8)), bold=bold)
    wide = QFontMetricsF(face).horizontalAdvance(words)
    if wide > box.width() * 0.94:
        face.setPixelSize(max(12, round(face.pixelSize() * box.width() * 0.94 / wide)))
    painter.setFont(face)
    painter.drawText(box, _CENTRE, words)


def _words(day: Day) -> list[str]:
    stage = day.standing.stage
    out = [stage.label.capitalize() if stage is not None else "Finished"]
    if day.standing.ends_ms is not None:
        out.append(" ".join(to_go(day.standing.ends_ms, day.now_ms)))
    for kind, _role in _KINDS:
        trace = day.whole.trace(kind).sound()
        if len(trace):
            out.append(value_text(kind, trace.value[-1]))
    return out
