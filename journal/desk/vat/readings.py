"""The last readings in sight: strike one out, or correct it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QFontMetricsF, QKeyEvent, QPainter, QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QListWidget,
    QListWidgetItem,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from journal.desk.commands import Command
from journal.desk.labels import draw_triangle
from journal.desk.menus import Menu
from journal.desk.theme import STEP, TEXT, colours_of, font, scaled
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
_MIDDLE = Qt.AlignmentFlag.AlignVCenter


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


_Index = QModelIndex | QPersistentModelIndex


class _Row(QStyledItemDelegate):
    def __init__(self, view: LastReadings) -> None:
        super().__init__(view)
        self._view = view

    def sizeHint(self, _option: QStyleOptionViewItem, _index: _Index) -> QSize:
        view = self._view
        wide = view.viewport().width() // view.across
        return QSize(max(80, wide), scaled(_ROW))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        view = self._view
        c, reading = colours_of(view), index.data(_READING)
        struck = bool(reading.flags & STRUCK)
        if view.hasFocus() and index.row() == view.currentRow():
            painter.fillRect(option.rect, c.chosen)
            painter.fillRect(
                QRect(option.rect.left(), option.rect.bottom() - 1, option.rect.width(), 2), c.ink
            )
        painter.setPen(c.ink if index.row() == 0 and not struck else c.quiet)
        painter.setFont(font(TEXT))
        painter.drawText(option.rect, _MIDDLE, index.data(_CLOCK))
        face = font(TEXT)
        face.setStrikeOut(struck)
        painter.setFont(face)
        left = scaled((11 if view.narrow else 14) * STEP)
        clock_wide = QFontMetricsF(face).horizontalAdvance(index.data(_CLOCK))
        left = max(left, round(clock_wide) + 2 * STEP)
        painter.drawText(option.rect.adjusted(left, 0, 0, 0), _MIDDLE, _value(reading))
        left += round(QFontMetricsF(face).horizontalAdvance(_value(reading))) + 2 * STEP
        doubted = bool(reading.flags & DOUBTFUL) and not struck
        self._draw_rest(painter, option.rect.adjusted(left, 0, 0, 0), reading, doubted)

    def _draw_rest(self, painter: QPainter, box: QRect, reading: Reading, doubted: bool) -> None:
        """The mark of a doubted one, and what was read; in columns only what is not plain."""
        view = self._view
        c = colours_of(view)
        if doubted:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            draw_triangle(painter, box.x(), box.y() + 5, 10, c.attention)
            box = box.adjusted(4 * STEP, 0, 0, 0)
        words = _apart(reading)
        if not view.narrow:
            words = ", ".join(
                part for part in (what_is_read(reading), instrument_showed(reading)) if part
            )
            box.setLeft(max(box.left(), view.viewport().rect().left() + scaled(40 * STEP)))
        painter.setFont(font(TEXT))
        painter.setPen(c.quiet)
        painter.drawText(box, _MIDDLE, words)


def _value(reading: Reading) -> str:
    return value_text(reading.kind, reading.value)


def _apart(reading: Reading) -> str:
    """What the unit alone does not tell: whose acidity it is."""
    return "" if reading.kind in ("milk-temp", "curd-ph") else what_is_read(reading).split()[0]
