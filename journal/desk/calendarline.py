"""A strip with the calendar as its axis: sessions or wheels on the days they fall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from journal.desk.drawn import DrawnWidget
from journal.desk.labels import plain_tip
from journal.desk.theme import Colours, scaled
from journal.records.instants import DAY_MS, from_datetime, local
from journal.wording import worded
from journal.wording.dates import month_name

DOT, RING, CHOSEN = "dot", "ring", "chosen"
_LEFT, _RIGHT = 96, 20
_REACH = 9
_STEPS = (1, 2, 3, 6, 12, 24, 60, 120)  # months


@dataclass(frozen=True)
class CalendarMark:
    """A mark on the line: when, what the pointer reads, and what a click hands out.

    `look` is a small dot, a ring, or chosen (a dot in a ring). `label` is written under it.
    """

    at_ms: int
    words: str
    key: object
    look: str = RING
    label: str = ""


class CalendarLine(DrawnWidget):
    """Draws days on one line; `picked` carries the key of the one that was clicked."""

    picked = Signal(object)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title = name
        self._days: list[CalendarMark] = []
        self._zone = "UTC"
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName(name)

    def show_days(self, title: str, days: Sequence[CalendarMark], zone: str) -> None:
        """Draw these days; `title` stands at the left."""
        self._title, self._zone = title, zone
        self._days = sorted(days, key=_when)
        chosen = [day.words for day in self._days if day.look == CHOSEN]
        described = [worded("desk.dates", count=len(self._days)), *chosen[:3]]
        self.setAccessibleDescription("; ".join(described) if self._days else "nothing to show yet")
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(600, 72)

    def draw(self, painter: QPainter, c: Colours) -> None:
        painter.setPen(c.quiet)
        middle = self.height() / 2
        painter.drawText(
            QRectF(0, middle - scaled(10), scaled(_LEFT) - 16, scaled(20)),
            Qt.AlignmentFlag.AlignVCenter,
            self._title,
        )
        if self._days:
            painter.drawLine(QPointF(scaled(_LEFT), middle), QPointF(self.width(), middle))
            self._draw_names(painter, c, middle)
            for day in sorted(self._days, key=_is_chosen):
                _draw_mark(painter, c, QPointF(self._x(day.at_ms), middle), day.look)
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        day = self._near(event.position().x())
        if day is not None and event.button() == Qt.MouseButton.LeftButton:
            self.picked.emit(day.key)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        day = self._near(event.position().x())
        shape = Qt.CursorShape.ArrowCursor if day is None else Qt.CursorShape.PointingHandCursor
        self.setCursor(shape)
        words = plain_tip(day.words if day else "")
        QToolTip.showText(event.globalPosition().toPoint(), words, self)

    def _near(self, x: float) -> CalendarMark | None:
        close = [day for day in self._days if abs(self._x(day.at_ms) - x) <= scaled(_REACH)]
        return min(close, key=lambda day: abs(self._x(day.at_ms) - x)) if close else None

    def _x(self, at_ms: int) -> float:
        first, last = self._days[0].at_ms, self._days[-1].at_ms
        span = max(last - first, DAY_MS)
        return (
            scaled(_LEFT)
            + 10
            + (at_ms - first) / span * (self.width() - scaled(_LEFT) - scaled(_RIGHT) - 10)
        )

    def _draw_names(self, painter: QPainter, c: Colours, middle: float) -> None:
        """Names under the marks that have one, then the months where there is room."""
        metrics = QFontMetricsF(painter.font())
        taken: list[tuple[float, float]] = []
        named = [(day.at_ms, day.label) for day in self._days if day.label]
        for at_ms, words in [*named, *self._months()]:
            width = metrics.horizontalAdvance(words)
            x = self._x(at_ms)
            left = min(max(x - width / 2, scaled(_LEFT)), self.width() - width)
            if any(left < b + 14 and left + width > a - 14 for a, b in taken):
                continue
            taken.append((left, left + width))
            painter.setPen(c.ink if (at_ms, words) in named else c.quiet)
            painter.drawText(QPointF(left, middle + scaled(16) + metrics.ascent()), words)
            if (at_ms, words) not in named:
                painter.drawLine(QPointF(x, middle - 3), QPointF(x, middle + 3))

    def _months(self) -> list[tuple[int, str]]:
        """First days of months, as many as there is room for; the year where it begins."""
        first = local(self._days[0].at_ms, self._zone)
        last = local(self._days[-1].at_ms, self._zone)
        months = (last.year - first.year) * 12 + last.month - first.month + 1
        room = max(1, (self.width() - scaled(_LEFT)) // scaled(110))
        step = next((s for s in _STEPS if months / s <= room), _STEPS[-1])
        out: list[tuple[int, str]] = []
        for number in range(first.year * 12 + first.month, last.year * 12 + last.month):
            if number % step == 0:
                when = datetime(number // 12, number % 12 + 1, 1)
                year = f" {when.year}" if not out or when.month == 1 else ""
                words = f"{month_name(when)}{year}"
                out.append((from_datetime(when, self._zone), words))
        return out


def _draw_mark(painter: QPainter, c: Colours, at: QPointF, look: str) -> None:
    if look == DOT:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(c.ink)
        painter.drawEllipse(at, *_both(3.5))
        return
    painter.setPen(QPen(c.ink, 1.6))
    painter.setBrush(c.paper)
    painter.drawEllipse(at, *_both(8.5 if look == CHOSEN else 5.0))
    if look == CHOSEN:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(c.ink)
        painter.drawEllipse(at, *_both(4.0))


def _both(radius: float) -> tuple[float, float]:
    grown = scaled(2 * radius) / 2
    return grown, grown


def _when(day: CalendarMark) -> int:
    return day.at_ms


def _is_chosen(day: CalendarMark) -> bool:
    return day.look == CHOSEN
