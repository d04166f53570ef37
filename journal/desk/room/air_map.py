"""The air of a room as a map: a cell a day, week by week; a picked day unfolds to its hours."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from datetime import date, timedelta

import numpy as np
from PySide6.QtCore import QEvent, QPoint, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QFontMetrics,
    QKeyEvent,
    QMouseEvent,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QApplication, QToolTip, QWidget

from journal.curves.surface import Span
from journal.desk.buttons import Button
from journal.desk.charts.drawing import painter_of
from journal.desk.charts.lens import Lens
from journal.desk.charts.marks import MIDDLE, BoxMark, DotMark, Ink, Mark, Scene, TextMark, wash
from journal.desk.charts.saving import PictureActions, PictureSheet, source_of
from journal.desk.charts.values import ValueRow, ValueTable, table_of_rows
from journal.desk.charts.zooming import ZoomHand
from journal.desk.drawn import DrawnWidget
from journal.desk.labels import plain_tip
from journal.desk.spoken import announce
from journal.desk.theme import SMALL, STEP, colours_of, font
from journal.records.air_range import DayAir
from journal.records.wheels import Room
from journal.reports.shelves import HourAir
from journal.wording import worded
from journal.wording.dates import days_into_week, format_day, month_name, weekday_name
from journal.wording.languages import translated
from journal.wording.sentences import listed
from journal.wording.shown import unit_shown, write

HUMIDITY, TEMP = "humidity", "temperature"
_UNITS = {HUMIDITY: "%", TEMP: "°C"}
_LEFT, _TITLE, _MONTHS = 9 * STEP, 6 * STEP, 5 * STEP
_CELL, _LEAST = 4 * STEP, 2 * STEP  # px of a day at most, and at least
_WEEK, _HOURS = 7, 24
_HOUR_HIGH = 5 * STEP
_DATED = 15 * STEP  # px of a week from which on its days say their value
_STEPS: dict[int, int] = {
    Qt.Key.Key_Left: -_WEEK, Qt.Key.Key_Right: _WEEK, Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1,
}  # fmt: skip


class AirMap(DrawnWidget):
    """Draws the days of a room. A click on a day, or the arrows, unfolds it; a click on the title,
    or Space, turns from humidity to temperature. Its axis is weeks from the first that was
    measured; `zoomed` says that others are shown."""

    zoomed = Signal()
    framed = True
    _built = False  # Qt sends events while it is made

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._room: Room | None = None
        self.days: dict[date, DayAir] = {}
        self._hours: dict[date, list[HourAir]] = {}  # those that were looked at
        self._hours_of: Callable[[date], list[HourAir]] = no_hours
        self._last = date(2000, 1, 3)
        self.what = HUMIDITY
        self.picked: date | None = None
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setMouseTracking(True)
        self.lens = Lens()
        self._hand = ZoomHand(self, self)
        self._pressed: QPoint | None = None
        self._dragged = False
        self._whole = Button("Show all", parent=self)
        self._whole.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # by keys it is Backspace
        self._whole.clicked.connect(self.show_all)
        self._whole.hide()
        self._built = True
        self._pictures = PictureActions(self, "picture", self.sheet)
        self.setAccessibleName(translated("Air, a cell a day"))
        self.show_air(None, [], no_hours, self._last)

    def show_air(
        self, room: Room | None, days: Sequence[DayAir],
        hours_of: Callable[[date], list[HourAir]], today: date,
    ) -> None:  # fmt: skip
        """Draw these days of a room up to today; `hours_of` reads those of one."""
        if room != self._room:
            self.picked = None
            self.lens.show_all()
        self._room, self._last = room, today
        self.days = {day.day: day for day in days}
        self._hours, self._hours_of = {}, hours_of
        self.setFixedHeight(self._high() if room is not None else 0)
        self.setVisible(room is not None)
        out = [day for day in days if day.outside]
        self.setAccessibleDescription(
            worded("desk.air-measured", of=self._name(), days=len(days), out=len(out))
        )
        self.update()

    def _high(self) -> int:
        return _TITLE + _WEEK * _CELL + _MONTHS + _HOUR_HIGH + 5 * STEP

    def sizeHint(self) -> QSize:
        return QSize(480, self.height())

    # What is shown

    @property
    def widget(self) -> QWidget:
        """The map itself."""
        return self

    def along(self, at: QPoint) -> float | None:
        """The week under a point."""
        (low, _), side = self._shown(), self._size()
        return low + (at.x() - _LEFT) / side

    def shown_at(self) -> float | None:
        """The week of the day that is unfolded."""
        return None if self.picked is None else self._week(self.picked) + 0.5

    def stretch(self) -> tuple[Span, float]:
        """The weeks that are shown, and over how many px."""
        return self._shown(), float(self.width() - _LEFT)

    def refresh(self) -> None:
        """Draw the weeks that are shown now."""
        self._shown()
        self._whole.setVisible(self.lens.window is not None)
        size = self._whole.sizeHint()
        self._whole.setGeometry(self.width() - size.width(), 0, size.width(), _TITLE)
        self.update()

    def show_all(self) -> None:
        """Show all weeks again."""
        self.lens.show_all()
        self.refresh()
        self.zoomed.emit()

    def has_values(self) -> bool:
        """Anything was measured."""
        return bool(self.days)

    def table(self) -> ValueTable:
        """Each day that was measured: its means, and what was outside what is allowed."""
        rows = [
            ValueRow(
                (
                    format_day(day.day, short=True),
                    _written(HUMIDITY, day.humidity_pct), _written(TEMP, day.temp_c),
                    listed([
                        name
                        for name, out in ((HUMIDITY, day.humidity_out), (TEMP, day.temp_out))
                        if out
                    ]),
                ),
                self._week(day.day),
                key=day.day,
            )
            for _, day in sorted(self.days.items())
        ]  # fmt: skip
        return table_of_rows(("day", HUMIDITY, TEMP, "outside what is allowed"), rows)

    def show_values(self) -> None:
        """The days as a table; one that is entered is unfolded."""
        from journal.desk.charts.values_dialog import ValuesDialog

        if self.days:
            at = sorted(self.days).index(self.picked) if self.picked in self.days else None
            shown = ValuesDialog(self._name(), self.table(), at, self.window())
            shown.picked.connect(self._on_row_picked)
            shown.open()

    def sheet(self) -> PictureSheet:
        """The map as it is saved."""
        units = [unit_shown(unit) for unit in _UNITS.values()]
        return PictureSheet(
            self._name(), self.accessibleDescription(), source_of(self, units), self.size(),
            painter_of(self.scene(), colours_of(self)), colours_of(self),
        )  # fmt: skip

    # Places

    def _begun(self) -> date:
        """The day that the first week that was measured begins with."""
        begun = min(self.days, default=self._last)
        return begun - timedelta(days=days_into_week(begun))

    def _week(self, on: date) -> float:
        """How many weeks a day's week is after the first."""
        return float((on - self._begun()).days // _WEEK)

    def _shown(self) -> Span:
        """The weeks that are shown: usually the latest there is room for."""
        weeks, wide = self._week(self._last) + 1, max(self.width() - _LEFT, 1)
        side = min(max(wide / weeks, _LEAST), _CELL)
        first = max(0.0, math.ceil(weeks - wide / side))
        last = first + wide / side
        return self.lens.set_range((first, last), (0.0, max(weeks, last)))

    def _size(self) -> float:
        """How wide a week is, px."""
        low, high = self._shown()
        return (self.width() - _LEFT) / (high - low)

    def cell(self, on: date) -> QRectF:
        """Where a day is."""
        side, (low, _) = self._size(), self._shown()
        left, top = _LEFT + (self._week(on) - low) * side, _TITLE + days_into_week(on) * _CELL
        return QRectF(left, top, side - 1, _CELL - 1)

    def _day_at(self, spot: QPointF) -> date | None:
        if spot.x() < _LEFT:
            return None
        return next((day for day in self.days if self.cell(day).contains(spot)), None)

    # Drawing

    def scene(self) -> Scene:
        if self._room is None:
            return Scene()
        marks = self._title_marks()
        for number in (0, 2, 4):
            day = weekday_name(self._begun() + timedelta(days=number), short=True)
            marks.append(TextMark(0, _TITLE + number * _CELL + 3 * STEP, day, base=True))
        clip = QRectF(_LEFT, 0, self.width() - _LEFT, self.height())
        return Scene([*marks, Scene(self._day_marks(), clip=clip), *self._hour_marks()])

    def _day_marks(self) -> list[Mark]:
        """The cells of the weeks that are shown, their months and, from close by, their days."""
        low, high = self._shown()
        on = self._begun() + timedelta(days=_WEEK * math.floor(low))
        last = min(self._last, self._begun() + timedelta(days=_WEEK * math.ceil(high)))
        close, marks = self._size() >= _DATED, list[Mark]()
        below = _TITLE + _WEEK * _CELL + 3 * STEP
        while on <= last:
            marks += self._cell_marks(on)
            left = self.cell(on).left()
            if days_into_week(on) == 0 and (close or on.day <= _WEEK) and left >= _LEFT:
                month = month_name(on, short=True)
                words = format_day(on, short=True, year=False) if close else month
                marks.append(TextMark(left, below, words, gap=STEP, base=True))
            on += timedelta(days=1)
        return marks

    def _name(self) -> str:
        return "" if self._room is None else worded("desk.air-of", room=self._room.name)

    def _title_marks(self) -> list[Mark]:
        allowed = self._allowed()
        other = TEMP if self.what == HUMIDITY else HUMIDITY
        words = worded("desk.air-shown" if allowed is None else "desk.air-shown-allowed",
                       room=self._room.name if self._room else "", what=self.what,
                       allowed="" if allowed is None else _ends(self.what, allowed))  # fmt: skip
        left = QFontMetrics(font(SMALL)).horizontalAdvance(words) + 4 * STEP
        turn = worded("desk.show-unit", unit=unit_shown(_UNITS[other]))
        return [
            TextMark(0, 3 * STEP, words, base=True),
            TextMark(left, 3 * STEP, turn, "ink", base=True),
        ]

    def _cell_marks(self, on: date) -> list[Mark]:
        box, day = self.cell(on), self.days.get(on)
        x, y, marks = (box.left(), box.right()), (box.top(), box.bottom()), list[Mark]()
        value = math.nan if day is None else self._value(day)
        if day is None or math.isnan(value):
            marks.append(BoxMark(x, y, wash("hairline", 0.35)))
        else:
            out = day.humidity_out if self.what == HUMIDITY else day.temp_out
            marks.append(BoxMark(x, y, self._tone(value, out=out)))
            if out:  # the colour never says it alone
                marks.append(DotMark(box.left() + 5, box.center().y(), 4, "paper"))
            if box.width() >= _DATED:
                middle, words = box.center(), _written(self.what, value)
                marks.append(TextMark(middle.x(), middle.y(), words, "ink", MIDDLE))
        if on == self.picked:
            marks.append(BoxMark(x, y, edge="ink", width=2))
        return marks

    def _hour_marks(self) -> list[Mark]:
        top = _TITLE + _WEEK * _CELL + _MONTHS
        if self.picked is None:
            words = "Press a day for its hours. A dot: outside for an hour."
            if not self.days:
                words = "Not measured yet. C, or a press on the room's name, takes the air typed."
            return [TextMark(0, top + 4 * STEP, translated(words), base=True)]
        wide, marks = (self.width() - _LEFT) / _HOURS, list[Mark]()
        for hour in self.hours(self.picked):
            value = hour.humidity_pct if self.what == HUMIDITY else hour.temp_c
            if math.isnan(value):
                continue
            allowed, left = self._allowed(), _LEFT + hour.hour * wide
            out = allowed is not None and not allowed[0] <= value <= allowed[1]
            ends = (left, left + wide - 1), (top, top + _HOUR_HIGH)
            marks.append(BoxMark(*ends, self._tone(value, out=out)))
            if wide >= 7 * STEP:
                shown, y = _written(self.what, value).partition(" ")[0], top + _HOUR_HIGH / 2
                marks.append(TextMark(left + (wide - 1) / 2, y, shown, "ink", MIDDLE))
        below = top + _HOUR_HIGH + 4 * STEP
        marks.append(TextMark(0, below, self._read_out(self.picked), "ink", base=True))
        marks.append(TextMark(0, top + 4 * STEP, "0–24 h", base=True))
        return marks

    def _tone(self, value: float, *, out: bool) -> Ink:
        """Plum outside, else the deeper the damper, or the warmer."""
        if out:
            return wash("attention", 0.62)
        allowed = self._allowed() or (value - 5, value + 5)
        share = (value - allowed[0]) / max(allowed[1] - allowed[0], 0.1)
        role = "acidity" if self.what == HUMIDITY else "temperature"
        return wash(role, 0.16 + 0.3 * min(max(share, 0.0), 1.0))

    def _allowed(self) -> tuple[float, float] | None:
        if self._room is None:
            return None
        return self._room.range_pct if self.what == HUMIDITY else self._room.range_c

    def _value(self, day: DayAir) -> float:
        return day.humidity_pct if self.what == HUMIDITY else day.temp_c

    def _read_out(self, on: date) -> str:
        """ "25 Nov 2026: 71 to 78 %, 12.1 to 12.9 °C"."""
        hours = self.hours(on)
        parts = []
        for what, values in (
            (HUMIDITY, [h.humidity_pct for h in hours]), (TEMP, [h.temp_c for h in hours]),
        ):  # fmt: skip
            known = np.array([value for value in values if not math.isnan(value)])
            if len(known):
                parts.append(_ends(what, (float(known.min()), float(known.max()))))
        words = ", ".join(parts) or worded("desk.not-measured")
        return f"{format_day(on, short=True)}: {words}"

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
        """Unfold a day, which comes into sight; None folds it."""
        self.picked = on
        if on is not None:
            low, high = self._shown()
            week = self._week(on)
            if not low <= week <= high - 1:
                self.lens.pan(week + 0.5 - (low + high) / 2)
            announce(self, self._read_out(on))
        self.refresh()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = _STEPS.get(event.key())
        held = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if step is not None and self.days and not held:
            on = (self.picked or self._last) + timedelta(days=step if self.picked else 0)
            self.pick(min(max(on, min(self.days)), self._last))
        elif event.key() == Qt.Key.Key_Space:
            self.turn()
        elif event.key() == Qt.Key.Key_Escape and self.picked is not None:
            self.pick(None)
        elif not self._hand.key(event):
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            self._pressed, self._dragged = event.position().toPoint(), False
            self._hand.hold()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        pressed, self._pressed = self._pressed, None
        self.unsetCursor()
        if pressed is None or self._dragged:
            return
        if event.position().y() < _TITLE:
            self.turn()
            return
        day = self._day_at(event.position())
        if day is not None:
            self.pick(None if day == self.picked else day)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._pressed is not None:
            away = event.position().toPoint() - self._pressed
            if self._dragged or away.manhattanLength() >= QApplication.startDragDistance():
                self._dragged = self._hand.drag(away.x())
            return
        day = self._day_at(event.position())
        words = "" if day is None else self._read_out(day)
        QToolTip.showText(event.globalPosition().toPoint(), plain_tip(words), self)

    def wheelEvent(self, event: QWheelEvent) -> None:
        self._hand.wheel(event)

    def event(self, event: QEvent) -> bool:
        return (self._built and self._hand.gesture(event)) or super().event(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.refresh()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        self._pictures.show_menu(event.globalPos(), self._hand.commands())

    def _on_row_picked(self, row: int) -> None:
        self.setFocus()
        self.pick(sorted(self.days)[row])


def _written(what: str, value: float) -> str:
    """A value with its unit: "72 %", "12.4 °C"."""
    if math.isnan(value):
        return ""
    return f"{value:.0f} %" if what == HUMIDITY else write(value, "temperature", digits=1)


def _ends(what: str, span: Span) -> str:
    """The least and the greatest: "71 to 78 %"."""
    low, high = (_written(what, end) for end in span)
    if low == high:
        return low
    return worded("wording.from-to", first=low.rpartition(" ")[0], last=high)


def no_hours(_on: date) -> list[HourAir]:
    """The hours of a day where there is no room."""
    return []
