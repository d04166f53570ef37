"""The air of a room as a map: a cell a day, week by week; a picked day unfolds to its hours."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from datetime import date, timedelta

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QToolTip, QWidget

from journal.desk.drawn import DrawnWidget
from journal.desk.labels import plain_tip
from journal.desk.theme import SMALL, STEP, Colours, font
from journal.records.air_range import DayAir
from journal.records.wheels import Room
from journal.reports.shelves import HourAir
from journal.wording.dates import days_into_week, format_day, month_name, weekday_name
from journal.wording.shown import shown_figure, unit_label

HUMIDITY, TEMP = "humidity", "temperature"
_UNITS = {HUMIDITY: "%", TEMP: "°C"}
_LEFT, _TITLE, _MONTHS = 9 * STEP, 6 * STEP, 5 * STEP
_CELL, _LEAST = 4 * STEP, 2 * STEP  # px of a day at most, and at least
_WEEK, _HOURS = 7, 24
_HOUR_HIGH = 5 * STEP
_STEPS: dict[int, int] = {
    Qt.Key.Key_Left: -_WEEK, Qt.Key.Key_Right: _WEEK, Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1,
}  # fmt: skip


class AirMap(DrawnWidget):
    """Draws the days of a room. A click on a day, or the arrows and Enter, unfolds it; a click on
    the title, or Space, turns from humidity to temperature."""

    framed = True

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._room: Room | None = None
        self.days: dict[date, DayAir] = {}
        self._hours: dict[date, list[HourAir]] = {}  # those that were looked at
        self._hours_of: Callable[[date], list[HourAir]] = _no_hours
        self._last = date(2000, 1, 3)
        self.what = HUMIDITY
        self.picked: date | None = None
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setMouseTracking(True)
        self.setAccessibleName("Air, a cell a day")
        self.show_air(None, [], _no_hours, self._last)

    def show_air(
        self, room: Room | None, days: Sequence[DayAir],
        hours_of: Callable[[date], list[HourAir]], today: date,
    ) -> None:  # fmt: skip
        """Draw these days of a room up to today; `hours_of` reads those of one."""
        if room != self._room:
            self.picked = None
        self._room, self._last = room, today
        self.days = {day.day: day for day in days}
        self._hours, self._hours_of = {}, hours_of
        self.setFixedHeight(self._high() if room is not None else 0)
        self.setVisible(room is not None)
        out = [day for day in days if day.outside]
        self.setAccessibleDescription(
            f"{self._name()}: {len(days)} days measured, {len(out)} outside what is allowed"
        )
        self.update()

    def _high(self) -> int:
        return _TITLE + _WEEK * _CELL + _MONTHS + _HOUR_HIGH + 5 * STEP

    def sizeHint(self) -> QSize:
        return QSize(480, self.height())

    # Places

    def _first(self) -> date:
        """The Monday of the first week there is room for, or of the first that was measured."""
        weeks = max(1, int((self.width() - _LEFT) // self._size()))
        monday = self._last - timedelta(days=days_into_week(self._last))
        room = monday - timedelta(days=_WEEK * (weeks - 1))
        begun = min(self.days, default=self._last)
        return max(room, begun - timedelta(days=days_into_week(begun)))

    def _size(self) -> float:
        """The side of a cell, so that a year has room where it can."""
        begun = min(self.days, default=self._last)
        weeks = (self._last - begun).days // _WEEK + 2
        return min(max((self.width() - _LEFT) / weeks, _LEAST), _CELL)

    def cell(self, on: date) -> QRectF:
        """Where a day is."""
        side, since = self._size(), (on - self._first()).days
        left, top = _LEFT + since // _WEEK * side, _TITLE + since % _WEEK * _CELL
        return QRectF(left, top, side - 1, _CELL - 1)

    def _day_at(self, spot: QPointF) -> date | None:
        return next((day for day in self.days if self.cell(day).contains(spot)), None)

    # Drawing

    def draw(self, painter: QPainter, c: Colours) -> None:
        if self._room is None:
            painter.end()
            return
        self._draw_title(painter, c)
        first = self._first()
        for number in (0, 2, 4):
            day = weekday_name(first + timedelta(days=number), short=True)
            painter.drawText(QPointF(0, _TITLE + number * _CELL + 3 * STEP), day)
        on = first
        free = -math.inf
        while on <= self._last:
            self._draw_cell(painter, c, on)
            if on.day <= _WEEK and days_into_week(on) == 0:
                left = self.cell(on).left()
                if left > free:
                    painter.setPen(c.quiet)
                    below = _TITLE + _WEEK * _CELL + 3 * STEP
                    painter.drawText(QPointF(left, below), month_name(on, short=True))
                    free = left + 8 * STEP
            on += timedelta(days=1)
        self._draw_hours(painter, c)
        painter.end()

    def _name(self) -> str:
        return "" if self._room is None else f"Air of the {self._room.name}"

    def _draw_title(self, painter: QPainter, c: Colours) -> None:
        painter.setPen(c.quiet)
        allowed, unit = self._allowed(), _UNITS[self.what]
        said = f", allowed {allowed[0]:g} to {allowed[1]:g} {unit}" if allowed else ""
        other = TEMP if self.what == HUMIDITY else HUMIDITY
        words = f"{self._room.name if self._room else ''}: {self.what}{said}"
        painter.drawText(QPointF(0, 3 * STEP), words)
        left = painter.fontMetrics().horizontalAdvance(words) + 4 * STEP
        painter.setPen(c.ink)
        painter.drawText(QPointF(left, 3 * STEP), f"show {_UNITS[other]}")

    def _draw_cell(self, painter: QPainter, c: Colours, on: date) -> None:
        box, day = self.cell(on), self.days.get(on)
        value = math.nan if day is None else self._value(day)
        if day is None or math.isnan(value):
            painter.fillRect(box, c.wash("hairline", 0.35))
        else:
            out = day.humidity_out if self.what == HUMIDITY else day.temp_out
            painter.fillRect(box, self._tone(c, value, out=out))
            if out:  # the colour never says it alone
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(c.paper)
                painter.drawEllipse(box.center(), 2, 2)
        if on == self.picked:
            painter.setPen(QPen(c.ink, 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(box)

    def _draw_hours(self, painter: QPainter, c: Colours) -> None:
        top = _TITLE + _WEEK * _CELL + _MONTHS
        painter.setFont(font(SMALL))
        painter.setPen(c.quiet)
        if self.picked is None:
            words = "Press a day for its hours. A dot: outside for an hour."
            if not self.days:
                words = "Not measured yet. C, or a press on the room's name, takes the air typed."
            painter.drawText(QPointF(0, top + 4 * STEP), words)
            return
        hours = self.hours(self.picked)
        wide = (self.width() - _LEFT) / _HOURS
        for hour in hours:
            value = hour.humidity_pct if self.what == HUMIDITY else hour.temp_c
            box = QRectF(_LEFT + hour.hour * wide, top, wide - 1, _HOUR_HIGH)
            if math.isnan(value):
                continue
            allowed = self._allowed()
            out = allowed is not None and not allowed[0] <= value <= allowed[1]
            painter.fillRect(box, self._tone(c, value, out=out))
            painter.setPen(c.ink)
            if wide >= 7 * STEP:
                painter.drawText(box, Qt.AlignmentFlag.AlignCenter, f"{value:.0f}")
        painter.setPen(c.ink)
        below = top + _HOUR_HIGH + 4 * STEP
        painter.drawText(QPointF(0, below), self._day_words(self.picked))
        painter.setPen(c.quiet)
        painter.drawText(QPointF(0, top + 4 * STEP), "0–24 h")

    def _tone(self, c: Colours, value: float, *, out: bool) -> QColor:
        """Plum outside, else the deeper the damper, or the warmer."""
        if out:
            return c.wash("attention", 0.62)
        allowed = self._allowed() or (value - 5, value + 5)
        share = (value - allowed[0]) / max(allowed[1] - allowed[0], 0.1)
        role = "acidity" if self.what == HUMIDITY else "temperature"
        return c.wash(role, 0.16 + 0.3 * min(max(share, 0.0), 1.0))

    def _allowed(self) -> tuple[float, float] | None:
        if self._room is None:
            return None
        return self._room.range_pct if self.what == HUMIDITY else self._room.range_c

    def _value(self, day: DayAir) -> float:
        return day.humidity_pct if self.what == HUMIDITY else day.temp_c

    def _day_words(self, on: date) -> str:
        """ "25 Nov 2026: 71 to 78 %, 12.1 to 12.9 °C"."""
        hours = self.hours(on)
        parts = []
        for values, quantity, digits in (
            ([h.humidity_pct for h in hours], "humidity", 0),
            ([h.temp_c for h in hours], "temperature", 1),
        ):
            known = [value for value in values if not math.isnan(value)]
            if known:
                low, high = (shown_figure(end(known), quantity, digits) for end in (min, max))
                parts.append(f"{low} to {high} {unit_label(quantity)}")
        return f"{format_day(on, short=True)}: {', '.join(parts) or 'not measured'}"

    def hours(self, on: date) -> list[HourAir]:
        """The hours of a day, each day read once."""
        if on not in self._hours:
            self._hours[on] = self._hours_of(on)
        return self._hours[on]

    # Keys and the mouse

    def turn(self) -> None:
        """Show the temperature, or the humidity again."""
        self.what = TEMP if self.what == HUMIDITY else HUMIDITY
        self.update()

    def pick(self, on: date | None) -> None:
        """Unfold a day; None folds it."""
        self.picked = on
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = _STEPS.get(event.key())
        if step is not None and self.days:
            on = (self.picked or self._last) + timedelta(days=step if self.picked else 0)
            self.pick(min(max(on, self._first()), self._last))
        elif event.key() == Qt.Key.Key_Space:
            self.turn()
        elif event.key() == Qt.Key.Key_Escape and self.picked is not None:
            self.pick(None)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.position().y() < _TITLE:
            self.turn()
            return
        day = self._day_at(event.position())
        if day is not None:
            self.pick(None if day == self.picked else day)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        day = self._day_at(event.position())
        words = "" if day is None else self._day_words(day)
        QToolTip.showText(event.globalPosition().toPoint(), plain_tip(words), self)


def _no_hours(_on: date) -> list[HourAir]:
    return []
