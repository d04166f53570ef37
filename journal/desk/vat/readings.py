"""The last readings in sight: strike one out, or correct it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QFontMetricsF,
    QKeyEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QFrame,
    QListWidget,
    QListWidgetItem,
    QStyleOptionViewItem,
    QWidget,
)

from journal.desk.cells import Index, MarksDelegate
from journal.desk.charts.marks import BoxMark, Mark, TextMark, TriangleMark
from journal.desk.commands import Command
from journal.desk.menus import Menu
from journal.desk.theme import STEP, TEXT, font, scaled
from journal.desk.vat.entry import DIGITS
from journal.records.traces import DOUBTFUL, STRUCK, Reading
from journal.wording import worded
from journal.wording.dates import clock
from journal.wording.readings import value_text
from journal.wording.vat_day import instrument_showed, reading_words, what_is_read

SHOWN = 5
_ROW = 8 * STEP
_READING = Qt.ItemDataRole.UserRole
_CLOCK = Qt.ItemDataRole.UserRole + 1


class LastReadings(QListWidget):
    """The newest readings, newest first. `strike_asked` and `correct_asked` carry the Reading."""

    strike_asked = Signal(object)
    correct_asked = Signal(object)
    left_upwards = Signal()
    escaped = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.across = 1  # columns
        self.offers: Callable[[], Sequence[Command]] = tuple
        self.setAccessibleName("Last readings")
        self.setAccessibleDescription(worded("desk.readings-keys"))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setItemDelegate(_Row(self))
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.viewport().setAutoFillBackground(False)
        self.setFlow(QListWidget.Flow.TopToBottom)
        self.show_rows(SHOWN)

    def show_readings(self, readings: list[Reading], zone: str) -> None:
        """Show these, at most five."""
        self.clear()
        for reading in readings[:SHOWN]:
            item = QListWidgetItem(reading_words(reading, zone))
            item.setData(_READING, reading)
            item.setData(_CLOCK, clock(reading.at_ms, zone))
            self.addItem(item)
        self.setCurrentRow(0 if readings else -1)
        self.setVisible(True)

    def show_rows(self, count: int) -> None:
        """Take the height of so many rows; with fewer than five they stand in two columns, or in
        three where these have room, and take no more than they fill."""
        self.across = 1 if count >= SHOWN else 3 if self._widest() * 3 <= self.width() else 2
        if self.narrow:
            count = min(count, math.ceil(self.count() / self.across))
        self.setWrapping(self.narrow)
        self.setFixedHeight(scaled(_ROW) * count + 1)  # a column is full only below its last pixel
        self.scheduleDelayedItemsLayout()

    @property
    def narrow(self) -> bool:
        """In several columns."""
        return self.across > 1

    def _widest(self) -> int:
        """What the widest of them needs in a column of several, px."""
        wide = QFontMetricsF(font(TEXT)).horizontalAdvance
        found = [self.item(row).data(_READING) for row in range(self.count())]
        marks = [4 * STEP * bool(reading.flags & DOUBTFUL) for reading in found]
        words = [f"{_value(reading)} {_apart(reading)}" for reading in found]
        needs = [wide(text) + mark for text, mark in zip(words, marks, strict=True)]
        clocks = [wide(self.item(row).data(_CLOCK)) for row in range(self.count())]
        return round(max(needs, default=0) + max(clocks, default=0)) + 5 * STEP

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def chosen(self) -> Reading | None:
        """The selected reading, the newest when one stands on none."""
        item = self.currentItem() or self.item(0)
        reading: Reading | None = item.data(_READING) if item is not None else None
        return reading

    def strike(self) -> None:
        """Ask to strike the chosen reading out, or to let it stand again."""
        if self.chosen() is not None:
            self.strike_asked.emit(self.chosen())

    def correct(self) -> None:
        """Ask to correct the chosen reading."""
        if self.chosen() is not None:
            self.correct_asked.emit(self.chosen())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.text() and event.text() in DIGITS:
            event.ignore()
            return
        if event.key() == Qt.Key.Key_Escape:
            self.escaped.emit()
            return
        if event.key() == Qt.Key.Key_Up and self.currentRow() <= 0:
            self.left_upwards.emit()
            return
        if event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down):  # also from column to column
            by = 1 if event.key() == Qt.Key.Key_Down else -1
            self.setCurrentRow(min(max(self.currentRow() + by, 0), self.count() - 1))
            return
        super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        item = self.itemAt(event.pos())
        if item is None:
            return
        self.setCurrentItem(item)
        menu = Menu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.offer(self.offers())
        menu.popup(event.globalPos())


class _Row(MarksDelegate):
    def __init__(self, view: LastReadings) -> None:
        super().__init__(view)
        self._view = view

    def sizeHint(self, _option: QStyleOptionViewItem, _index: Index) -> QSize:
        view = self._view
        wide = view.viewport().width() // view.across
        return QSize(max(80, wide), scaled(_ROW))

    def marks(self, index: Index, wide: float, high: float) -> list[Mark]:
        view, y, reading, marks = self._view, high / 2, index.data(_READING), list[Mark]()
        struck = bool(reading.flags & STRUCK)
        if view.hasFocus() and index.row() == view.currentRow():
            across = 0, wide
            marks.append(BoxMark(across, (0, high), "chosen"))
            marks.append(BoxMark(across, (high - 2, high), "ink"))
        role = "ink" if index.row() == 0 and not struck else "quiet"
        face, taken = font(TEXT), QFontMetricsF(font(TEXT)).horizontalAdvance
        face.setStrikeOut(struck)
        at, value = index.data(_CLOCK), _value(reading)
        left = max(scaled((11 if view.narrow else 14) * STEP), round(taken(at)) + 2 * STEP)
        marks.append(TextMark(0, y, at, role, size=TEXT))
        marks.append(TextMark(left, y, value, role, face=face))
        left += round(taken(value)) + 2 * STEP
        if reading.flags & DOUBTFUL and not struck:
            marks.append(TriangleMark(left, 5, 10))
            left += 4 * STEP
        words = _apart(reading)
        if not view.narrow:  # in columns only what is not plain
            words = ", ".join(
                part for part in (what_is_read(reading), instrument_showed(reading)) if part
            )
            left = max(left, scaled(40 * STEP))
        return [*marks, TextMark(left, y, words, size=TEXT)]


def _value(reading: Reading) -> str:
    return value_text(reading.kind, reading.value)


def _apart(reading: Reading) -> str:
    """What the unit alone does not tell: whose acidity it is."""
    return "" if reading.kind in ("milk-temp", "curd-ph") else what_is_read(reading).split()[0]
