"""The last readings in sight: strike one out, or correct it."""

from __future__ import annotations

import math
from functools import partial

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QFontMetricsF, QKeyEvent, QMouseEvent

from journal.desk.charts.marks import BoxMark, Mark, TextMark, TriangleMark
from journal.desk.tables import Column, RowsView
from journal.desk.theme import STEP, TEXT, font, scaled
from journal.desk.vat.entry import DIGITS
from journal.records.traces import DOUBTFUL, STRUCK, Reading
from journal.wording import worded
from journal.wording.dates import clock
from journal.wording.readings import value_text
from journal.wording.vat_day import instrument_showed, reading_words, what_is_read

SHOWN, _ABREAST = 5, 3
_ROW = 8 * STEP
Abreast = tuple[Reading | None, ...]  # the readings of a row


class LastReadings(RowsView[Abreast]):
    """The newest readings, newest first, one below the other; in several columns where there is
    little room. `strike_asked` and `correct_asked` carry the Reading."""

    strike_asked = Signal(object)
    correct_asked = Signal(object)
    left_upwards = Signal()
    escaped = Signal()
    frames_row = False

    def __init__(self) -> None:
        columns: list[Column[Abreast]] = [
            Column("", partial(self._read_aloud, k), stretch=True, marks=partial(self._marks, k))
            for k in range(_ABREAST)
        ]
        super().__init__("Last readings", columns, row_height=_ROW, in_order=True)
        self.across, self._high = 1, SHOWN  # columns, and rows of each
        self.readings: list[Reading] = []
        self._zone = "UTC"
        self.horizontalHeader().hide()
        self.setSelectionMode(self.SelectionMode.NoSelection)
        self.setAccessibleDescription(worded("desk.readings-keys"))
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.fit_rows(SHOWN)

    def show_readings(self, readings: list[Reading], zone: str) -> None:
        """Show these, at most five."""
        self.readings, self._zone = readings[:SHOWN], zone
        self._lay_out(0)
        self.setVisible(True)

    def fit_rows(self, count: int) -> None:
        """Take the height of so many rows; with fewer than five they stand in two columns, or in
        three where these have room, and take no more than they fill."""
        at = self.number
        self.across = 1 if count >= SHOWN else 3 if self._widest() * 3 <= self.width() else 2
        if self.narrow:
            count = min(count, math.ceil(len(self.readings) / self.across))
        self._high = max(count, 1)
        self.setFixedHeight(scaled(_ROW) * count + 1)  # a row is whole only above its last pixel
        self._lay_out(at)

    @property
    def narrow(self) -> bool:
        """In several columns."""
        return self.across > 1

    @property
    def number(self) -> int:
        """Which reading is selected, counted from the newest; -1 for none."""
        at = self.currentIndex()
        block, row = divmod(at.row(), self._high)
        return (block * self.across + at.column()) * self._high + row if at.isValid() else -1

    def select(self, number: int) -> None:
        """Go to that reading."""
        self.setCurrentIndex(self.rows_model.index(*self._place(number)))

    def chosen(self) -> Reading | None:
        """The selected reading, the newest when none is selected."""
        one = self.readings[self.number : self.number + 1] or self.readings[:1]
        return one[0] if one else None

    def strike(self) -> None:
        """Ask to strike the chosen reading out, or to let it stand again."""
        if self.chosen() is not None:
            self.strike_asked.emit(self.chosen())

    def correct(self) -> None:
        """Ask to correct the chosen reading."""
        if self.chosen() is not None:
            self.correct_asked.emit(self.chosen())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if self._is_reading(event.position().toPoint()):
            super().mousePressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        if event.reason() != event.Reason.Mouse or self._is_reading(event.pos()):
            super().contextMenuEvent(event)

    def _is_reading(self, spot: QPoint) -> bool:
        """Whether a reading stands there, and not the room that is left in a row."""
        at = self.indexAt(spot)
        return at.isValid() and self.rows_model.rows[at.row()][at.column()] is not None

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = {int(Qt.Key.Key_Down): 1, int(Qt.Key.Key_Up): -1}.get(event.key(), 0)
        if event.text() and event.text() in DIGITS:
            event.ignore()
        elif event.key() == Qt.Key.Key_Escape:
            self.escaped.emit()
        elif step < 0 and self.number <= 0:
            self.left_upwards.emit()
        elif step:  # also from column to column
            self.select(min(max(self.number + step, 0), len(self.readings) - 1))
        else:
            super().keyPressEvent(event)

    def _place(self, number: int) -> tuple[int, int]:
        """The row and the column of a reading: down, then across, then below what is seen."""
        block, rest = divmod(number, self._high * self.across)
        column, row = divmod(rest, self._high)
        return block * self._high + row, column

    def _lay_out(self, at: int) -> None:
        """Put the readings in their places, and select one of them."""
        there = {self._place(number): one for number, one in enumerate(self.readings)}
        high = 1 + max((row for row, _ in there), default=-1)
        self.show_rows([tuple(there.get((r, c)) for c in range(_ABREAST)) for r in range(high)])
        self.hide_columns(range(self.across, _ABREAST))
        if there:
            self.select(max(at, 0))

    def _widest(self) -> int:
        """What the widest of them needs in a column of several, px."""
        wide = QFontMetricsF(font(TEXT)).horizontalAdvance
        marks = [4 * STEP * bool(reading.flags & DOUBTFUL) for reading in self.readings]
        words = [f"{_value(reading)} {_apart(reading)}" for reading in self.readings]
        needs = [wide(text) + mark for text, mark in zip(words, marks, strict=True)]
        clocks = [wide(clock(one.at_ms, self._zone)) for one in self.readings]
        return round(max(needs, default=0) + max(clocks, default=0)) + 5 * STEP

    def _read_aloud(self, column: int, row: Abreast) -> str:
        reading = row[column]
        return "" if reading is None else reading_words(reading, self._zone)

    def _marks(self, column: int, row: Abreast, wide: float, high: float) -> list[Mark]:
        reading, y, marks = row[column], high / 2, list[Mark]()
        if reading is None:
            return marks
        number, struck = self.readings.index(reading), bool(reading.flags & STRUCK)
        if self.hasFocus() and number == self.number:
            across = 0, wide
            marks.append(BoxMark(across, (0, high), "chosen"))
            marks.append(BoxMark(across, (high - 2, high), "ink"))
        role = "ink" if number == 0 and not struck else "quiet"
        face, taken = font(TEXT), QFontMetricsF(font(TEXT)).horizontalAdvance
        face.setStrikeOut(struck)
        at, value = clock(reading.at_ms, self._zone), _value(reading)
        left = max(scaled((11 if self.narrow else 14) * STEP), round(taken(at)) + 2 * STEP)
        marks.append(TextMark(0, y, at, role, size=TEXT))
        marks.append(TextMark(left, y, value, role, face=face))
        left += round(taken(value)) + 2 * STEP
        if reading.flags & DOUBTFUL and not struck:
            marks.append(TriangleMark(left, 5, 10))
            left += 4 * STEP
        words = _apart(reading)
        if not self.narrow:  # in columns only what is not plain
            parts = (what_is_read(reading), instrument_showed(reading))
            words = ", ".join(part for part in parts if part)
            left = max(left, scaled(40 * STEP))
        return [*marks, TextMark(left, y, words, size=TEXT)]


def _value(reading: Reading) -> str:
    return value_text(reading.kind, reading.value)


def _apart(reading: Reading) -> str:
    """What the unit alone does not tell: whose acidity it is."""
    return "" if reading.kind in ("milk-temp", "curd-ph") else what_is_read(reading).split()[0]
